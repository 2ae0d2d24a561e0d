//! What the desks see: the whole class at a glance, and one person on demand.

use std::cmp::Reverse;

use crate::live::desk_frames::{
    AnswerIn, Asking, DeskClue, DeskFrame, DeskReport, Effort, Health, LostRow, Mouths, Pace, Person,
};
use crate::live::seat::Place;
use crate::live::state::Session;
use crate::live::view::count;
use crate::live::{Counts, DeskRole, Form, Presence, Report, SeatId, StepForm};
use crate::time::EpochMs;

impl Session {
    /// What the desks see at `now`.
    #[must_use]
    pub fn desk(&self, now: EpochMs, presence: &Presence) -> DeskFrame {
        let rows = self.roster(now, presence);
        let mut reports: Vec<&Report> =
            self.reports.iter().filter(|r| r.is_open() || r.is_unseen()).collect();
        reports.sort_by_key(|r| {
            let strength = r.said.strength.map(|felt| self.rules.strength(felt));
            (!r.is_unseen(), r.said.urgent.is_none(), Reverse(strength), r.at)
        });
        let asking = self.seats.iter().filter(|(_, seat)| seat.place == Place::Asking);
        DeskFrame {
            seq: self.seq,
            lead: self.lead,
            lead_here: presence.desk_is_here(self.lead),
            facilitator: self.names.get(&DeskRole::Facilitator).cloned(),
            helper: self.names.get(&DeskRole::Helper).cloned(),
            helper_sees_health: self.helper_sees_health,
            entry: self.entry,
            asking: asking
                .map(|(id, s)| Asking { seat: *id, name: s.name.clone(), at: s.joined_at })
                .collect(),
            counts: Counts::of(&rows),
            mouths: self.mouths(&rows),
            rows,
            reports: reports.into_iter().filter_map(|r| self.desk_report(r)).collect(),
            lost: self.lost_rows(),
            clue: self.desk_clue(),
            effort: self.effort_spread(),
            pace: Pace {
                class_ms: self.class_ms,
                started_at: self.started_at,
                step_at: self.entered_at(),
                ended_at: self.ended_at,
            },
            acts: self.acts.iter().cloned().collect(),
            sheet_rev: self.sheet_rev,
        }
    }

    fn lost_rows(&self) -> Vec<LostRow> {
        let lost = self.seats.iter().filter(|(_, s)| s.is_here()).filter_map(|(id, seat)| {
            let lost = seat.lost.filter(|lost| !lost.closed)?;
            let check_in = seat.check_in.as_ref();
            Some(LostRow {
                seat: *id,
                name: seat.name.clone(),
                heard_at: lost.heard_at,
                during: lost.during.0,
                during_ms: lost.during.1,
                taken_by: lost.taken_by,
                location: check_in.and_then(|c| c.place.clone()),
                contact: check_in.and_then(|c| c.contact.clone()),
            })
        });
        let mut lost: Vec<_> = lost.collect();
        lost.sort_by_key(|row| (row.taken_by.is_some(), row.heard_at));
        lost
    }

    fn mouths(&self, rows: &[super::Row]) -> Option<Mouths> {
        self.present_step().filter(|step| step.is_swallow())?;
        let wanted = rows.iter().filter(|row| row.form != Form::Rest);
        let (mut empty, mut of) = (0, 0);
        for row in wanted {
            of += 1;
            empty += u32::from(row.form != Form::MouthFirst);
        }
        Some(Mouths { empty, of })
    }

    fn effort_spread(&self) -> Option<Effort> {
        let number = Some(self.efforts_asked).filter(|n| *n > 0)?;
        let mut spread = [0; 11];
        for score in self.seats.values().filter_map(|seat| seat.efforts.get(&number)) {
            if let Some(many) = spread.get_mut(usize::from(*score)) {
                *many += 1;
            }
        }
        Some(Effort { number, asked: self.effort == Some(number), spread })
    }

    fn entered_at(&self) -> Option<EpochMs> {
        let present = self.moves.last()?.step;
        let since = self.moves.iter().rev().take_while(|m| m.step == present);
        since.last().map(|m| m.at)
    }

    fn desk_report(&self, report: &Report) -> Option<DeskReport> {
        let seat = self.seats.get(&report.seat)?;
        let check_in = seat.check_in.as_ref();
        Some(DeskReport {
            id: report.id,
            seat: report.seat,
            name: self.name_of(report.seat, report.said.whose)?.clone(),
            at: report.at,
            said: report.said.clone(),
            strength: report.said.strength.map(|felt| self.rules.strength(felt)),
            during: report.during.map(|(step, _)| step),
            during_ms: report.during.map(|(_, offset_ms)| offset_ms),
            state: report.state,
            handled: report.handled.clone(),
            taken_back: report.taken_back,
            location: check_in.and_then(|c| c.place.clone()),
            contact: check_in.and_then(|c| c.contact.clone()),
        })
    }

    fn desk_clue(&self) -> Option<DeskClue> {
        let present = self.present_step()?;
        let set = present.step.clues()?;
        let shown = self.clue.filter(|clue| clue.step == present.id);
        let number = shown.map_or(0, |clue| clue.number);
        let words = set.clues.get((number as usize).saturating_sub(1))?;
        let said = self.seats.values().filter_map(|s| s.clues.get(&(present.id, number)));
        let answer_in = set.also.iter().filter_map(|other| {
            let words = other.clues.get((number as usize).saturating_sub(1))?;
            Some(AnswerIn { language: other.language.clone(), answer: words.answer.clone() })
        });
        Some(DeskClue {
            number,
            of: count(set.clues.len()),
            clue: words.clue.clone(),
            hints: words.hints.clone(),
            hints_shown: shown.map_or(0, |clue| clue.hints),
            answer: words.answer.clone(),
            answer_in: answer_in.collect(),
            answer_shown: shown.is_some_and(|clue| clue.answer),
            because: words.because.clone(),
            said: count(said.clone().count()),
            answered: count(said.filter(|said| said.has_it()).count()),
        })
    }

    /// One person, as the desk of `role` may see them; `None` for a seat nobody took.
    #[must_use]
    pub fn person(&self, seat: SeatId, role: DeskRole) -> Option<Person> {
        let (id, seat) = self.seat_of(seat)?;
        let reports = self.reports.iter().filter(|r| r.seat == id);
        let health = || Health {
            precautions: seat.precautions.iter().copied().collect(),
            swallow_cleared_by: seat.swallow_cleared_by.clone(),
            cleared: seat.cleared.iter().map(|(family, by)| (*family, by.clone())).collect(),
            forms: seat.forms.clone(),
            steps: self
                .steps
                .iter()
                .map(|step| StepForm { step: step.id, form: self.form(seat, step) })
                .filter(|of| of.form != Form::Full)
                .collect(),
        };
        Some(Person {
            seat: id,
            name: seat.name.clone(),
            check_in: seat.check_in.clone(),
            messages: seat.messages.clone(),
            reports: reports.filter_map(|r| self.desk_report(r)).collect(),
            follow_ups: self.follow_ups.iter().filter(|f| f.seat == id).cloned().collect(),
            health: self.sees_health(role).then(health),
        })
    }
}
