//! Events to state. Never refuses: what is in the ledger happened.

pub(super) mod acts;

use std::collections::{BTreeMap, BTreeSet};

use crate::live::event::{Event, How, Recorded, Why};
use crate::live::ids::{Actor, MessageId, ReportId, SeatId, StepId};
use crate::live::motion;
use crate::live::said::{Mark, ReportState, StopReason, Whose};
use crate::live::state::report::{Handled, Report};
use crate::live::state::seat::{Answer, Answered, ClueSaid, Lost, Message, Place, Seat, Stopped};
use crate::live::state::{FollowUp, LiveClue, LiveStep, Session};
use crate::plan::Body;
use crate::text::{Name, name};
use crate::time::EpochMs;

impl Session {
    /// Applies the next line of the ledger.
    pub fn apply(&mut self, recorded: &Recorded) {
        self.seq = recorded.seq;
        self.last_at = self.last_at.max(recorded.at);
        self.counted.extend(recorded.cause);
        if let (Some(cause), Event::SeatTaken { .. }) = (recorded.cause, &recorded.event) {
            self.made.insert(cause, recorded.event.clone());
        }
        if recorded.event.changes_stage() {
            self.stage_seq = recorded.seq;
        }
        let at = recorded.at;
        match &recorded.event {
            Event::Begun { .. } => {}
            Event::Opened => self.opened_at = Some(at),
            Event::Moved { why, moves } => {
                if *why == Why::Started {
                    self.started_at = moves.first().map(|m| m.at);
                }
                self.safety_pause = match why {
                    Why::PausedForSafety => self.safety_pause.or(Some(at)),
                    _ => None,
                };
                let step_before = self.moves.last().map(|m| m.step);
                motion::add(&mut self.moves, moves);
                self.empty_mouths(step_before);
                if self.moves.last().map(|m| m.step) != step_before || *why == Why::AgainStep {
                    self.clue = None;
                    self.effort = None;
                    if self.present_step().is_some_and(|step| matches!(step.step.body, Body::Effort { .. })) {
                        self.efforts_asked += 1;
                        self.effort = Some(self.efforts_asked);
                    }
                }
            }
            Event::StepInserted { id, after, step } => {
                let at = after.and_then(|after| self.steps.iter().position(|s| s.id == after));
                self.steps.insert(at.map_or(0, |i| i + 1), LiveStep::new(*id, 0, step.clone()));
                self.sheet_rev += 1;
            }
            Event::DoseSwapped { step, rev, with } => {
                if let Some(live) = self.steps.iter_mut().find(|s| s.id == *step) {
                    *live = LiveStep::new(*step, *rev, with.clone());
                }
                self.sheet_rev += 1;
            }
            Event::ClueShown { step, number, from } => {
                let (step, number, from) = (*step, *number, *from);
                self.clue = Some(LiveClue { step, number, hints: 0, answer: false, from, since: from });
                let shown = self.clues_shown.entry(step).or_default();
                *shown = number.max(*shown);
            }
            Event::HintShown { hints, from } => {
                if let Some(clue) = &mut self.clue {
                    (clue.hints, clue.from) = (*hints, *from);
                }
            }
            Event::AnswerShown { from } => {
                if let Some(clue) = &mut self.clue {
                    (clue.answer, clue.from) = (true, *from);
                }
            }
            Event::EffortAsked { number } => {
                self.effort = Some(*number);
                self.efforts_asked = *number;
            }
            Event::EntrySet { to } => self.entry = *to,
            Event::DeskNamed { role, name } => drop(self.names.insert(*role, name.clone())),
            Event::HealthShared { with_helper } => self.helper_sees_health = *with_helper,
            Event::LeadLost => self.lead_lost = true,
            Event::LeadBack => self.lead_lost = false,
            Event::DeskHanded { to } => {
                self.handed_by = if let Actor::Desk(by) = recorded.by { Some(by) } else { None };
                self.lead = *to;
                self.lead_lost = false;
            }
            Event::Ended => self.ended_at = Some(at),
            of_people => self.apply_to_people(of_people, recorded),
        }
        self.remember_act(recorded);
    }

    fn apply_to_people(&mut self, event: &Event, recorded: &Recorded) {
        let (at, by) = (recorded.at, recorded.by);
        match event {
            Event::SeatTaken { seat, name, how, perhaps } => {
                self.seats.insert(*seat, Seat::new(name.clone(), *how, *perhaps, at));
            }
            Event::CameIn { seat } => self.with(*seat, |s| {
                s.place = Place::In;
                s.perhaps = None;
                s.joined_at = at;
            }),
            Event::TurnedAway { seat } => self.with(*seat, |s| s.place = Place::TurnedAway),
            Event::CheckedIn { seat, answers } => self.with(*seat, |s| {
                s.off_today |= answers.easier;
                s.check_in = Some(answers.clone());
            }),
            Event::Did { seat, step } => self.with(*seat, |s| {
                s.answers.insert(*step, Answered { answer: Answer::Done, at, far: None });
            }),
            Event::Undid { seat, step } => self.with(*seat, |s| {
                s.answers.remove(step);
            }),
            Event::Got { seat, step, far } => self.with(*seat, |s| {
                let done = Answered { answer: Answer::Done, at, far: None };
                s.answers.entry(*step).or_insert(done).far = Some(*far);
            }),
            Event::Stopped { seat, reason, whose } => self.stop(*seat, at, *reason, *whose),
            Event::StopSeen { seat } => self.with(*seat, |s| {
                if let Some(stopped) = &mut s.stopped {
                    stopped.seen = true;
                }
            }),
            Event::Unchanged { .. } => {}
            Event::StopUndone { seat } => {
                let step = self.moves.last().map(|m| m.step);
                self.with(*seat, |s| {
                    s.stopped = None;
                    s.answers.retain(|of, answered| Some(*of) != step || answered.answer != Answer::Stopped);
                });
            }
            Event::WentOn { seat } => self.with(*seat, |s| {
                s.stopped = None;
                s.rest_asked = false;
            }),
            Event::ClueAnswered { seat, step, number, word } => {
                let word = word.as_ref().map(ToString::to_string);
                let set = self.step(*step).and_then(|live| live.step.clues());
                let verdict = set.zip(word.as_ref()).map(|(set, word)| set.hear(*number, word));
                self.with(*seat, |s| drop(s.clues.insert((*step, *number), ClueSaid { word, verdict })));
            }
            Event::MouthSaid { seat, empty } => self.with(*seat, |s| s.mouth_empty = Some(*empty)),
            Event::EffortSaid { seat, number, score } => self.with(*seat, |s| {
                s.efforts.insert(*number, *score);
            }),
            Event::RestAsked { seat } => self.with(*seat, |s| s.rest_asked = true),
            Event::MessageSent { seat, text } => {
                let Actor::Desk(by) = by else { return };
                let id = MessageId(u32::try_from(recorded.seq).unwrap_or(u32::MAX));
                let message = Message { id, text: text.clone(), by, at, read_at: None };
                self.with(*seat, |s| s.messages.push(message));
            }
            Event::MessageRead { seat, message } => self.with(*seat, |s| {
                let mut unread = s.messages.iter_mut().filter(|m| m.read_at.is_none());
                if let Some(read) = unread.find(|m| message.is_none_or(|id| m.id == id)) {
                    read.read_at = Some(at);
                }
            }),
            Event::Marked { seat, step, mark } => match mark {
                Mark::Stopped => self.stop(*seat, at, None, Whose::Own),
                Mark::Back => self.with(*seat, |s| s.stopped = None),
                Mark::Done => self.with(*seat, |s| {
                    if let Some(step) = step {
                        s.answers.insert(*step, Answered { answer: Answer::Done, at, far: None });
                    }
                }),
            },
            Event::Left { seat } => self.with(*seat, |s| s.place = Place::Left),
            Event::CameBack { seat } => self.with(*seat, |s| s.place = Place::In),
            Event::Removed { seat, reason } => {
                self.with(*seat, |s| {
                    s.place = Place::Removed(reason.clone());
                    s.removed_at = Some(at);
                });
            }
            Event::Merged { from, into } => self.merge(*from, *into),
            of_care => self.apply_to_care(of_care, recorded),
        }
    }

    fn apply_to_care(&mut self, event: &Event, recorded: &Recorded) {
        let at = recorded.at;
        match event {
            Event::Reported { seat, report, said, during } => {
                self.with(*seat, |s| s.reported_at = Some(at));
                self.stop(*seat, at, Some(StopReason::Hurts), said.whose);
                self.reports.push(Report {
                    id: *report,
                    also: Vec::new(),
                    seat: *seat,
                    at,
                    said: said.clone(),
                    during: *during,
                    state: ReportState::Recorded,
                    handled: Vec::new(),
                    taken_back: false,
                });
            }
            Event::ReportAmended { seat, report, said, also } => {
                self.with(*seat, |s| s.reported_at = Some(at));
                self.stop(*seat, at, Some(StopReason::Hurts), said.whose);
                self.report(*report, |r| match also {
                    Some(other) => r.fold(*other, said),
                    None => r.amend(said),
                });
            }
            Event::ReportTakenBack { report, .. } => self.report(*report, |r| r.taken_back = true),
            Event::ReportHandled { report, to, .. } => {
                let Actor::Desk(by) = recorded.by else { return };
                let handled = Handled { to: *to, by, name: self.names.get(&by).cloned(), at };
                self.report(*report, |r| {
                    r.state = *to;
                    r.handled.push(handled);
                });
            }
            Event::Lost { seat, heard_at, during } => self.with(*seat, |s| {
                s.lost = Some(Lost { heard_at: *heard_at, during: *during, taken_by: None, closed: false });
            }),
            Event::Found { seat } => self.with(*seat, |s| s.lost = None),
            Event::LostClosed { seat } => self.with(*seat, |s| {
                if let Some(lost) = &mut s.lost {
                    lost.closed = true;
                }
            }),
            Event::LostTaken { seat } => {
                let Actor::Desk(by) = recorded.by else { return };
                self.with(*seat, |s| {
                    if let Some(lost) = &mut s.lost {
                        lost.taken_by = Some(by);
                    }
                });
            }
            Event::SwallowCleared { seats, by } => {
                for seat in seats {
                    self.with(*seat, |s| s.swallow_cleared_by = Some(by.clone()));
                }
            }
            Event::SwallowKeptOff { seat } => self.with(*seat, |s| s.swallow_kept_off = true),
            Event::SwallowEnded { seat } => self.with(*seat, |s| s.swallow_cleared_by = None),
            Event::FamilyCleared { seat, family, by } => self.with(*seat, |s| {
                s.cleared.insert(*family, by.clone());
            }),
            Event::FamilyEnded { seat, family } => self.with(*seat, |s| {
                s.cleared.remove(family);
            }),
            Event::PrecautionsSet { seat, conditions } => {
                self.with(*seat, |s| s.precautions = conditions.iter().copied().collect());
            }
            Event::FormSet { seat, form } => self.with(*seat, |s| {
                s.forms.retain(|other| other.of != form.of);
                s.forms.push(form.clone());
            }),
            Event::FormLifted { seat, of } => self.with(*seat, |s| s.forms.retain(|form| form.of != *of)),
            Event::OffToday { seat, off } => self.with(*seat, |s| s.off_today = *off),
            Event::FollowUpAdded { id, seat, what, owner, due } => self.follow_ups.push(FollowUp {
                id: *id,
                seat: *seat,
                what: what.clone(),
                owner: owner.clone(),
                due: *due,
                closed_at: None,
            }),
            Event::FollowUpClosed { id } => {
                if let Some(follow_up) = self.follow_ups.iter_mut().find(|f| f.id == *id) {
                    follow_up.closed_at = Some(at);
                }
            }
            _ => debug_assert!(false, "applied above: {event:?}"),
        }
    }

    fn stop(&mut self, seat: SeatId, at: EpochMs, reason: Option<StopReason>, whose: Whose) {
        let step = self.moves.last().map(|m| m.step);
        self.with(seat, |s| {
            let since = s.stopped.map_or(at, |stopped| stopped.since);
            let reason = reason.or(s.stopped.and_then(|stopped| stopped.reason));
            s.stopped = Some(Stopped { since, reason, whose, seen: false });
            if let Some(step) = step {
                s.answers.entry(step).or_insert(Answered { answer: Answer::Stopped, at, far: None });
            }
        });
    }

    /// The seat that stays keeps its own answers and gains those only the other one had.
    fn merge(&mut self, from: SeatId, into: SeatId) {
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
            for (step, answered) in gone.answers {
                s.answers.entry(step).or_insert(answered);
            }
            for (clue, word) in gone.clues {
                s.clues.entry(clue).or_insert(word);
            }
            s.check_in = s.check_in.take().or(gone.check_in);
            s.stopped = s.stopped.or(gone.stopped);
            // Whoever is there with another screen is not lost.
            match gone.place {
                Place::In => {
                    s.place = Place::In;
                    s.lost = None;
                }
                Place::Asking => s.lost = None,
                Place::Expected | Place::TurnedAway | Place::Left | Place::Removed(_) => {}
            }
            // Of two records of one person the more careful one holds.
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
            s.messages.extend(gone.messages);
            s.efforts.extend(gone.efforts);
        });
        self.with(from, |s| s.merged_into = Some(into));
    }

    /// After a sip nobody's mouth is empty until they say so; a swallow drill that runs was asked about.
    fn empty_mouths(&mut self, step_before: Option<StepId>) {
        let Some(last) = self.moves.last() else { return };
        let (step, running) = (last.step, last.running);
        let entered = step_before != Some(step);
        let sipped_before = step_before.filter(|_| entered).and_then(|id| self.step(id));
        let here = self.step(step);
        let is_swallow = here.is_some_and(LiveStep::is_swallow);
        let sips = here.is_some_and(|step| matches!(step.step.body, Body::Sip { .. })) && entered;
        if sips || sipped_before.is_some_and(LiveStep::has_sip) {
            self.mouths_due = true;
            self.seats.values_mut().for_each(|seat| seat.mouth_empty = None);
        }
        if is_swallow && running {
            self.mouths_due = false;
        }
    }

    fn with(&mut self, seat: SeatId, change: impl FnOnce(&mut Seat)) {
        if let Some(seat) = self.seats.get_mut(&seat) {
            change(seat);
        }
    }

    fn report(&mut self, id: ReportId, change: impl FnOnce(&mut Report)) {
        if let Some(report) = self.reports.iter_mut().find(|r| r.id == id) {
            change(report);
        }
    }
}

impl Seat {
    fn new(name: Name, how: How, perhaps: Option<SeatId>, joined_at: EpochMs) -> Self {
        Self {
            folded: name::folded(name.as_str()),
            name,
            place: match how {
                How::ByCode | How::ByPhone => Place::In,
                How::Asking => Place::Asking,
                How::Expected => Place::Expected,
            },
            by_phone: how == How::ByPhone,
            joined_at,
            check_in: None,
            answers: BTreeMap::new(),
            stopped: None,
            rest_asked: false,
            messages: Vec::new(),
            swallow_cleared_by: None,
            swallow_kept_off: false,
            cleared: BTreeMap::new(),
            precautions: BTreeSet::new(),
            forms: Vec::new(),
            off_today: false,
            mouth_empty: None,
            efforts: BTreeMap::new(),
            lost: None,
            clues: BTreeMap::new(),
            merged_into: None,
            perhaps,
            removed_at: None,
            reported_at: None,
        }
    }
}
