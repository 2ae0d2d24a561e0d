//! Applies what others did about one person.

use crate::live::event::{CareEvent, Recorded};
use crate::live::ids::{Actor, MessageId, ReportId, SeatId, StepId};
use crate::live::said::{Mark, ReportState, Whose};
use crate::live::state::report::Handled;
use crate::live::state::seat::{Answer, Answered, Attendance, Lost, Message, Place, Seat, Stop};
use crate::live::state::{FollowUp, Session};
use crate::time::EpochMs;

impl Session {
    pub(super) fn apply_care(&mut self, seat: SeatId, what: &CareEvent, recorded: &Recorded) {
        let at = recorded.at;
        match what {
            CareEvent::SeatTaken { name, how, perhaps, person } => {
                let taken = Seat::new(name.clone(), *how, *perhaps, at);
                self.seats.insert(seat, Seat { person: *person, ..taken });
                if let Some(cause) = recorded.cause {
                    self.made.insert(cause, recorded.event.clone());
                }
            }
            CareEvent::CameIn => self.with(seat, |s| {
                s.place = Place::In;
                s.perhaps = None;
                s.joined_at = at;
            }),
            CareEvent::NewDevice => self.with(seat, |s| s.new_device = true),
            CareEvent::SentWord { comes } => self.with(seat, |s| s.comes = Some(*comes)),
            CareEvent::TurnedAway => self.with(seat, |s| s.place = Place::TurnedAway),
            CareEvent::Removed { reason } => self.with(seat, |s| {
                s.place = Place::Removed(reason.clone());
                s.removed_at = Some(at);
            }),
            CareEvent::StopSeen => self.with(seat, |s| {
                s.stopped = s.stopped.map(|stop| Stop { seen: true, ..stop });
            }),
            CareEvent::ReportHandled { report, to } => self.handle(*report, *to, recorded),
            CareEvent::Lost { heard_at, during } => self.with(seat, |s| {
                s.lost = Some(Lost { heard_at: *heard_at, during: *during, taken_by: None, closed: false });
            }),
            CareEvent::Found => self.with(seat, |s| s.lost = None),
            CareEvent::ScreenAway { heard_at } => self.with(seat, |s| s.away_since = Some(*heard_at)),
            CareEvent::ScreenBack => self.with(seat, |s| s.away_since = None),
            CareEvent::LostClosed => self.with(seat, |s| {
                s.lost = s.lost.map(|lost| Lost { closed: true, ..lost });
            }),
            CareEvent::LostTaken => {
                let Actor::Desk(by) = recorded.by else { return };
                self.with(seat, |s| s.lost = s.lost.map(|lost| Lost { taken_by: Some(by), ..lost }));
            }
            CareEvent::RestAsked => self.with(seat, |s| s.rest_asked = true),
            CareEvent::MessageSent { text } => {
                let Actor::Desk(by) = recorded.by else { return };
                let id = MessageId(u32::try_from(recorded.seq).unwrap_or(u32::MAX));
                let message = Message { id, text: text.clone(), by, at, read_at: None };
                self.with(seat, |s| s.messages.push(message));
            }
            CareEvent::Marked { step, mark } => self.mark(seat, *step, *mark, at),
            CareEvent::SwallowKeptOff => self.with(seat, |s| s.swallow_kept_off = true),
            CareEvent::SwallowEnded => self.with(seat, |s| s.swallow_cleared_by = None),
            CareEvent::FamilyCleared { family, by } => self.with(seat, |s| {
                s.cleared.insert(*family, by.clone());
            }),
            CareEvent::FamilyEnded { family } => self.with(seat, |s| {
                s.cleared.remove(family);
            }),
            CareEvent::PrecautionsSet { conditions } => {
                self.with(seat, |s| s.precautions = conditions.iter().copied().collect());
            }
            CareEvent::FormSet { form } => self.with(seat, |s| {
                s.forms.retain(|other| other.of != form.of);
                s.forms.push(form.clone());
            }),
            CareEvent::FormLifted { of } => self.with(seat, |s| s.forms.retain(|form| form.of != *of)),
            CareEvent::OffToday { off } => self.with(seat, |s| s.off_today = *off),
            CareEvent::AttendanceSet { minutes, reason } => self.with(seat, |s| {
                s.attendance = Some(Attendance { minutes: *minutes, reason: reason.clone() });
            }),
            CareEvent::FollowUpDone { id, outcome } => {
                if let Some(of) = self.follow_ups.iter_mut().find(|of| of.id == *id) {
                    (of.closed_at, of.outcome) = (Some(at), Some(outcome.clone()));
                }
            }
            CareEvent::FollowUpAdded { id, what, owner, due } => self.follow_ups.push(FollowUp {
                id: *id,
                seat,
                what: what.clone(),
                owner: owner.clone(),
                due: *due,
                closed_at: None,
                outcome: None,
            }),
        }
    }

    fn handle(&mut self, report: ReportId, to: ReportState, recorded: &Recorded) {
        let Actor::Desk(by) = recorded.by else { return };
        let handled = Handled { to, by, name: self.names.get(&by).cloned(), at: recorded.at };
        self.report(report, |r| {
            r.state = to;
            r.handled.push(handled);
        });
    }

    fn mark(&mut self, seat: SeatId, step: Option<StepId>, mark: Mark, at: EpochMs) {
        match mark {
            Mark::Stopped => self.stop(seat, at, None, Whose::Own),
            Mark::Back => self.with(seat, |s| s.stopped = None),
            Mark::Done => self.with(seat, |s| {
                if let Some(step) = step {
                    s.answers.insert(step, Answered { answer: Answer::Done, at, far: None });
                }
            }),
        }
    }
}
