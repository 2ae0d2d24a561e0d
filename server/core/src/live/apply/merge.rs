//! Makes one seat of two that belong to the same person.

use crate::live::ids::SeatId;
use crate::live::state::Session;
use crate::live::state::seat::Place;

impl Session {
    /// The seat that stays keeps its own answers and gains those that only the other one had.
    pub(super) fn merge(&mut self, from: SeatId, into: SeatId) {
        let Some(gone) = self.seats.get(&from).cloned() else { return };
        for report in self.reports.iter_mut().filter(|r| r.seat == from) {
            report.seat = into;
        }
        for follow_up in self.follow_ups.iter_mut().filter(|f| f.seat == from) {
            follow_up.seat = into;
        }
        for seat in self.seats.values_mut().filter(|s| s.merged_into == Some(from)) {
            seat.merged_into = Some(into);
        }
        self.with(into, |s| {
            s.person = s.person.or(gone.person);
            for (step, answered) in gone.answers {
                s.answers.entry(step).or_insert(answered);
            }
            for (clue, word) in gone.clues {
                s.clues.entry(clue).or_insert(word);
            }
            let must_not_drink = gone.check_in.as_ref().is_some_and(|given| given.must_not_drink);
            s.check_in = s.check_in.take().or(gone.check_in);
            if let Some(given) = &mut s.check_in {
                given.must_not_drink |= must_not_drink;
            }
            s.stopped = s.stopped.or(gone.stopped);
            // A person who is there with another screen is not lost.
            match gone.place {
                Place::In => {
                    s.place = Place::In;
                    s.lost = None;
                }
                Place::Asking => s.lost = None,
                Place::Expected | Place::TurnedAway | Place::Left | Place::Removed(_) => {}
            }
            // Of two records of one person, the more careful one holds.
            s.precautions.extend(gone.precautions);
            s.swallow_kept_off |= gone.swallow_kept_off;
            for form in gone.forms {
                if s.forms.iter().all(|own| own.of != form.of) {
                    s.forms.push(form);
                }
            }
            s.off_today |= gone.off_today;
            s.rest_asked |= gone.rest_asked;
            if gone.mouth_empty == Some(false) {
                s.mouth_empty = Some(false);
            }
            s.attendance = s.attendance.take().or(gone.attendance);
            s.comes = s.comes.or(gone.comes);
            s.messages.extend(gone.messages);
            s.efforts.extend(gone.efforts);
            s.practised.extend(gone.practised);
        });
        self.with(from, |s| s.merged_into = Some(into));
    }
}
