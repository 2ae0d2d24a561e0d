//! Events to state. Never refuses: what is in the ledger happened.

use std::collections::BTreeMap;

use crate::live::state::{Answered, LiveClue, LiveStep, Seat, Session, Stopped};
use crate::live::{Answer, Event, Mark, Recorded, Report, ReportId, ReportState, SeatId, Why, motion};
use crate::text::Name;
use crate::time::EpochMs;

impl Session {
    /// Applies the next line of the ledger.
    pub fn apply(&mut self, recorded: &Recorded) {
        self.seq = recorded.seq;
        self.counted.extend(recorded.cause);
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
                let step_before = self.moves.last().map(|m| m.step);
                motion::add(&mut self.moves, moves);
                if self.moves.last().map(|m| m.step) != step_before || *why == Why::AgainStep {
                    self.clue = None;
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
            Event::ClueShown { step, number } => {
                self.clue = Some(LiveClue { step: *step, number: *number, hints: 0, answer: false });
            }
            Event::HintShown { hints } => {
                if let Some(clue) = &mut self.clue {
                    clue.hints = *hints;
                }
            }
            Event::AnswerShown => {
                if let Some(clue) = &mut self.clue {
                    clue.answer = true;
                }
            }
            Event::DeskHanded { to } => self.lead = *to,
            Event::Ended => self.ended_at = Some(at),
            of_a_seat => self.apply_to_seats(of_a_seat, at),
        }
    }

    fn apply_to_seats(&mut self, event: &Event, at: EpochMs) {
        match event {
            Event::SeatTaken { seat, name, by_phone } => {
                self.seats.insert(*seat, Seat::new(name.clone(), *by_phone, at));
            }
            Event::CheckedIn { seat, answers } => {
                self.with(*seat, |s| s.check_in = Some(answers.clone()));
            }
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
            Event::Stopped { seat, reason } => self.stop(*seat, at, *reason),
            Event::WentOn { seat } => self.with(*seat, |s| {
                s.stopped = None;
                s.rest_asked = false;
            }),
            Event::Reported { seat, report, place, strength, urgent, words, during } => {
                self.stop(*seat, at, Some(crate::live::StopReason::Hurts));
                self.reports.push(Report {
                    id: *report,
                    seat: *seat,
                    at,
                    place: *place,
                    strength: *strength,
                    urgent: *urgent,
                    words: words.clone(),
                    during: *during,
                    state: ReportState::Recorded,
                    taken_back: false,
                });
            }
            Event::ReportTakenBack { report } => self.report(*report, |r| r.taken_back = true),
            Event::ReportSeen { report } => self.report(*report, |r| r.state = ReportState::Seen),
            Event::ReportClosed { report } => self.report(*report, |r| r.state = ReportState::Closed),
            Event::ClueAnswered { seat, step, number, word } => self.with(*seat, |s| {
                s.clues.insert((*step, *number), word.as_ref().map(ToString::to_string));
            }),
            Event::RestAsked { seat } => self.with(*seat, |s| s.rest_asked = true),
            Event::MessageSent { seat, text } => {
                self.with(*seat, |s| s.messages.push(text.clone()));
            }
            Event::MessageRead { seat } => self.with(*seat, |s| {
                if !s.messages.is_empty() {
                    s.messages.remove(0);
                }
            }),
            Event::Marked { seat, step, mark } => match mark {
                Mark::Stopped => self.stop(*seat, at, None),
                Mark::Back => self.with(*seat, |s| s.stopped = None),
                Mark::Done => self.with(*seat, |s| {
                    if let Some(step) = step {
                        s.answers.insert(*step, Answered { answer: Answer::Done, at, far: None });
                    }
                }),
            },
            Event::SwallowCleared { seats } => {
                for seat in seats {
                    self.with(*seat, |s| s.swallow_cleared = true);
                }
            }
            Event::Left { seat } => self.with(*seat, |s| s.left = true),
            Event::CameBack { seat } => self.with(*seat, |s| s.left = false),
            Event::Removed { seat, reason } => {
                self.with(*seat, |s| s.removed = Some(reason.clone()));
            }
            Event::Merged { from, into } => self.merge(*from, *into),
            Event::Begun { .. }
            | Event::Opened
            | Event::Moved { .. }
            | Event::StepInserted { .. }
            | Event::DoseSwapped { .. }
            | Event::ClueShown { .. }
            | Event::HintShown { .. }
            | Event::AnswerShown
            | Event::DeskHanded { .. }
            | Event::Ended => {}
        }
    }

    fn stop(&mut self, seat: SeatId, at: EpochMs, reason: Option<crate::live::StopReason>) {
        let step = self.moves.last().map(|m| m.step);
        self.with(seat, |s| {
            let since = s.stopped.map_or(at, |stopped| stopped.since);
            let reason = reason.or(s.stopped.and_then(|stopped| stopped.reason));
            s.stopped = Some(Stopped { since, reason });
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
            s.left = s.left && gone.left;
        });
        self.with(from, |s| s.merged_into = Some(into));
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
    fn new(name: Name, by_phone: bool, joined_at: EpochMs) -> Self {
        Self {
            name,
            by_phone,
            joined_at,
            check_in: None,
            answers: BTreeMap::new(),
            stopped: None,
            rest_asked: false,
            messages: Vec::new(),
            swallow_cleared: false,
            clues: BTreeMap::new(),
            left: false,
            removed: None,
            merged_into: None,
        }
    }
}
