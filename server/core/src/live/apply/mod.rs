//! Turns events into state. It never refuses: what is in the ledger has happened.

mod acts;
mod care;
mod class;
mod merge;
mod safety;
mod seat;

use std::collections::{BTreeMap, BTreeSet, VecDeque};

use crate::live::command::Entry;
use crate::live::event::{ClassEvent, Event, Recorded};
use crate::live::ids::{DeskRole, ReportId, SeatId, StepId};
use crate::live::state::report::Report;
use crate::live::state::seat::Seat;
use crate::live::state::{LiveStep, Session};

impl Session {
    /// The state after the first line of a ledger; `None` when that line is not [`ClassEvent::Begun`].
    #[must_use]
    pub fn from_first(first: &Recorded) -> Option<Self> {
        let Event::Class(ClassEvent::Begun { plan, rules, starts, opens }) = &first.event else {
            return None;
        };
        let steps: Vec<_> =
            (1..).zip(&plan.steps).map(|(id, step)| LiveStep::new(StepId(id), 0, step.clone())).collect();
        Some(Self {
            seq: first.seq,
            stage_seq: first.seq,
            title: plan.title.clone(),
            class_ms: plan.class_ms,
            home: plan.home.clone(),
            starts: *starts,
            opens: *opens,
            moves: Vec::new(),
            clue: None,
            seats: BTreeMap::new(),
            reports: Vec::new(),
            lead: DeskRole::Facilitator,
            opened_at: None,
            started_at: None,
            ended_at: None,
            sheet_rev: 0,
            rules: rules.clone(),
            entry: Entry::default(),
            effort: None,
            efforts_asked: 0,
            lead_lost: false,
            last_at: first.at,
            safety_pause: None,
            mouths_due: true,
            last_step_id: steps.iter().map(|live| live.id.0).max().unwrap_or(0),
            steps,
            clues_left: BTreeMap::new(),
            clues_shown: BTreeMap::new(),
            handed_by: None,
            names: BTreeMap::new(),
            helper_sees_health: false,
            follow_ups: Vec::new(),
            acts: VecDeque::new(),
            counted: BTreeSet::new(),
            made: BTreeMap::new(),
        })
    }

    /// Rebuilds a session from its ledger.
    ///
    /// `None` when the ledger is empty, does not open with a beginning, or has a gap.
    #[must_use]
    pub fn replay(ledger: &[Recorded]) -> Option<Self> {
        let (first, rest) = ledger.split_first().filter(|(first, _)| first.seq == 1)?;
        let mut session = Self::from_first(first)?;
        for recorded in rest {
            if recorded.seq != session.seq + 1 {
                return None;
            }
            session.apply(recorded);
        }
        Some(session)
    }

    /// Applies the next line of the ledger.
    pub fn apply(&mut self, recorded: &Recorded) {
        self.seq = recorded.seq;
        self.last_at = self.last_at.max(recorded.at);
        self.counted.extend(recorded.cause);
        let before = self.before();
        match &recorded.event {
            Event::Class(event) => self.apply_to_class(event, recorded),
            Event::Seat { seat, what } => self.apply_of_seat(*seat, what, recorded.at),
            Event::Safety { seat, what } => self.apply_safety(*seat, what, recorded.at),
            Event::Care { seat, what } => self.apply_care(*seat, what, recorded),
        }
        if recorded.event.changes_stage() || before != self.before() {
            self.stage_seq = recorded.seq;
        }
        self.remember_act(recorded);
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
