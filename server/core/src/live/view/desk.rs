//! What the desks see: the whole class at a glance, and one person on demand.

use std::cmp::Reverse;
use std::collections::BTreeMap;

use crate::drill::form::Form;
use crate::live::ids::{DeskRole, SeatId};
use crate::live::presence::{Presence, Screen};
use crate::live::said::{Feeling, ReportState, Whose};
use crate::live::state::Session;
use crate::live::state::report::Report;
use crate::live::state::seat::{Place, Seat};
use crate::live::view::class::count;
use crate::live::view::desk_frames::{
    Alert, AnswerIn, Asking, Clearing, DeskClue, DeskFrame, DeskReport, Doubt, Effort, Health, LostRow,
    Mouths, Pace, Perhaps, PersonCard, StoppedRow,
};
use crate::live::view::roster::{Counts, Row};
use crate::people::care::Condition;
use crate::text::Name;
use crate::time::EpochMs;

/// The name shown for each person.
type Called = BTreeMap<SeatId, Name>;

/// Most alerts in one frame; the desk is told how many more there are (an agreed choice: no screen shows so many).
const MOST_ALERTS: usize = 50;
/// Most reports of one person that a desk gets at once, the newest ones.
const MOST_REPORTS_OF_ONE: usize = 50;

impl Session {
    /// What the desks see at `now`.
    #[must_use]
    pub fn desk(&self, now: EpochMs, presence: &Presence) -> DeskFrame {
        let called = self.all_called();
        let rows = self.roster_of(&called, now, presence);
        let mut alerts = self.alerts(&called);
        let more_alerts = count(alerts.len().saturating_sub(MOST_ALERTS));
        alerts.truncate(MOST_ALERTS);
        let asking = self.seats.iter().filter(|(_, seat)| seat.place == Place::Asking);
        DeskFrame {
            seq: self.seq,
            lead: self.lead,
            lead_here: presence.desk_is_here(self.lead),
            handed_by: self.handed_by,
            helper_here: presence.desk_is_here(DeskRole::Helper),
            facilitator_here: presence.desk_is_here(DeskRole::Facilitator),
            facilitator: self.names.get(&DeskRole::Facilitator).cloned(),
            helper: self.names.get(&DeskRole::Helper).cloned(),
            helper_sees_health: self.helper_sees_health,
            entry: self.entry,
            asking: asking.map(|(id, seat)| self.asking(*id, seat, &called)).collect(),
            counts: Counts::of(&rows),
            mouths: self.mouths(&rows),
            rows,
            alerts,
            more_alerts,
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

    /// What needs somebody's attention: urgent reports that nobody has taken, unseen reports (strongest first,
    /// then oldest), urgent reports that somebody is taking care of, unseen stops, lost people, then what was only
    /// seen, and last what else somebody is taking care of. So a lost screen never hides somebody who chokes.
    fn alerts(&self, called: &Called) -> Vec<Alert> {
        let reports = self.reports.iter().filter(|r| r.is_open() || r.is_unseen()).filter_map(|r| {
            let urgent = r.said.urgent.is_some();
            let rank = match r.state {
                ReportState::Recorded if urgent => 0,
                ReportState::Seen if urgent => 1,
                ReportState::Recorded => 2,
                ReportState::Taken if urgent => 3,
                ReportState::Seen => 6,
                ReportState::Taken | ReportState::Resting | ReportState::Back | ReportState::Closed => 7,
            };
            let strength = self.strength(&r.said);
            Some(((rank, Reverse(strength), r.at), Alert::Report(Box::new(self.desk_report(r)?))))
        });
        // A stop that came with a report needs no alert of its own: the report has one.
        let reporting = |id: SeatId, since: EpochMs| {
            let of_it = |r: &Report| r.is_open() || r.at >= since && !r.taken_back;
            self.reports.iter().any(|r| r.seat == id && of_it(r))
        };
        let here = || self.seats.iter().filter(|(_, seat)| seat.is_here());
        let stopped = here().filter_map(|(id, seat)| {
            let stopped = seat.stopped.filter(|stopped| !stopped.seen && !reporting(*id, stopped.since))?;
            let name = match stopped.whose {
                Whose::Own => called.get(id).unwrap_or(&seat.name).clone(),
                Whose::Partner => self.name_of(*id, Whose::Partner)?,
            };
            let row = StoppedRow { seat: *id, name, since: stopped.since, reason: stopped.reason };
            Some(((4, Reverse(None), stopped.since), Alert::Stopped(row)))
        });
        let lost = here().filter_map(|(id, seat)| {
            let lost = seat.lost.filter(|lost| !lost.closed)?;
            let check_in = seat.check_in.as_ref();
            let row = LostRow {
                seat: *id,
                name: called.get(id).unwrap_or(&seat.name).clone(),
                heard_at: lost.heard_at,
                during: lost.during.0,
                during_ms: lost.during.1,
                taken_by: lost.taken_by,
                location: check_in.and_then(|c| c.place.clone()),
                contact: check_in.and_then(|c| c.contact.clone()),
            };
            let rank = if lost.taken_by.is_some() { 7 } else { 5 };
            Some(((rank, Reverse(None), lost.heard_at), Alert::Lost(row)))
        });
        let mut alerts: Vec<_> = reports.chain(stopped).chain(lost).collect();
        alerts.sort_by_key(|(order, _)| *order);
        alerts.into_iter().map(|(_, alert)| alert).collect()
    }

    fn asking(&self, id: SeatId, seat: &Seat, called: &Called) -> Asking {
        let known = seat.perhaps.and_then(|id| self.seat_of(id));
        let perhaps = known.map(|(seat, known)| Perhaps {
            seat,
            name: called.get(&seat).unwrap_or(&known.name).clone(),
            lost: known.lost.is_some(),
        });
        Asking { seat: id, name: seat.name.clone(), at: seat.joined_at, perhaps }
    }

    fn mouths(&self, rows: &[Row]) -> Option<Mouths> {
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
        let counted = self.seats.values().filter(|seat| seat.merged_into.is_none());
        for score in counted.filter_map(|seat| seat.efforts.get(&number)) {
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
            name: self.name_of(report.seat, report.said.whose)?,
            at: report.at,
            said: report.said.clone(),
            strength: self.strength(&report.said),
            during: report.during.map(|(step, _)| step),
            during_ms: report.during.map(|(_, offset_ms)| offset_ms),
            state: report.state,
            handled: report.handled.clone(),
            taken_back: report.taken_back,
            recorded: true,
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

    /// The people for whom swallow drills could be turned on, by name, each with the reasons not to do it without
    /// a look.
    #[must_use]
    pub fn clearing(&self, now: EpochMs, presence: &Presence) -> Vec<Clearing> {
        let called = self.all_called();
        let wanting = self.seats.iter().filter(|(_, seat)| {
            matches!(seat.place, Place::In | Place::Expected)
                && seat.merged_into.is_none()
                && seat.swallow_cleared_by.is_none()
        });
        let mut clearing: Vec<Clearing> = wanting
            .map(|(id, seat)| Clearing {
                seat: *id,
                name: called.get(id).unwrap_or(&seat.name).clone(),
                doubts: self.doubts(*id, seat, now, presence),
            })
            .collect();
        clearing.sort_by(|a, b| (&a.name, a.seat).cmp(&(&b.name, b.seat)));
        clearing
    }

    fn doubts(&self, id: SeatId, seat: &Seat, now: EpochMs, presence: &Presence) -> Vec<Doubt> {
        let reported = self.reports.iter().any(|r| r.seat == id);
        let away = !seat.by_phone && matches!(presence.screen(id, now), Screen::Away | Screen::NotYet);
        let check_in = seat.check_in.as_ref();
        let partner = check_in.and_then(|c| c.partner.as_ref());
        let full = seat.mouth_empty == Some(false)
            || check_in.is_some_and(|c| c.mouth_empty == Some(false))
            || partner.is_some_and(|p| p.mouth_empty == Some(false));
        let all = [
            (seat.place == Place::Expected || away, Doubt::NotHere),
            (seat.swallow_kept_off, Doubt::NotDecided),
            (seat.precautions.contains(&Condition::Aspiration), Doubt::Aspiration),
            (check_in.is_none(), Doubt::NotCheckedIn),
            (full, Doubt::MouthNotEmpty),
            (check_in.is_some_and(|c| c.feeling == Some(Feeling::NotWell)), Doubt::NotWell),
            (reported, Doubt::Reported),
            (seat.stopped.is_some(), Doubt::Stopped),
        ];
        all.into_iter().filter(|(so, _)| *so).map(|(_, doubt)| doubt).collect()
    }

    /// One person, as the desk of `role` may see them; `None` for a seat that does not exist.
    #[must_use]
    pub fn person(&self, seat: SeatId, role: DeskRole) -> Option<PersonCard> {
        let (id, seat) = self.seat_of(seat)?;
        let all = || self.reports.iter().filter(|r| r.seat == id);
        let reports = all().skip(all().count().saturating_sub(MOST_REPORTS_OF_ONE));
        let health = || Health {
            precautions: seat.precautions.iter().copied().collect(),
            swallow_cleared_by: seat.swallow_cleared_by.clone(),
            cleared: seat.cleared.iter().map(|(family, by)| (*family, by.clone())).collect(),
            forms: seat.forms.clone(),
            steps: self
                .steps
                .iter()
                .map(|step| self.step_form(seat, step))
                .filter(|of| of.form != Form::Full || of.hold_ms.is_some())
                .collect(),
        };
        Some(PersonCard {
            seat: id,
            name: self.called(id, seat),
            check_in: seat.check_in.clone(),
            messages: seat.messages.clone(),
            reports: reports.filter_map(|r| self.desk_report(r)).collect(),
            follow_ups: self.follow_ups.iter().filter(|f| f.seat == id).cloned().collect(),
            health: self.sees_health(role).then(health),
        })
    }
}
