//! Discomfort reports: what was said, and what was done about it, by whom and when.

use serde::{Deserialize, Serialize};

use crate::live::ids::{DeskRole, ReportId, SeatId, StepId};
use crate::live::said::{ReportState, Said};
use crate::text::Name;
use crate::time::EpochMs;

/// A discomfort report.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Report {
    /// The report's id.
    pub id: ReportId,
    /// Later reports by the same person that came while this one was open and were added to it.
    pub also: Vec<ReportId>,
    /// The seat of the person who reported.
    pub seat: SeatId,
    /// When the server first had it.
    pub at: EpochMs,
    /// What the person has said so far.
    pub said: Said,
    /// The step and offset at which the session was.
    pub during: Option<(StepId, i64)>,
    /// How far the report has come.
    pub state: ReportState,
    /// What desks did about it, oldest first.
    pub handled: Vec<Handled>,
    /// Whether the person took it back.
    pub taken_back: bool,
}

/// One thing that a desk did about a report.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Handled {
    /// The state the report went to.
    pub to: ReportState,
    /// The desk that did it.
    pub by: DeskRole,
    /// The name said at that desk.
    pub name: Option<Name>,
    /// When the desk did it.
    pub at: EpochMs,
}

impl Report {
    pub(in crate::live) fn new(
        id: ReportId,
        seat: SeatId,
        at: EpochMs,
        said: Said,
        during: Option<(StepId, i64)>,
    ) -> Self {
        let (also, handled) = (Vec::new(), Vec::new());
        Self { id, also, seat, at, said, during, state: ReportState::Recorded, handled, taken_back: false }
    }

    /// Whether `id` is this report's, or that of a report that was added to it.
    #[must_use]
    pub fn is_called(&self, id: ReportId) -> bool {
        self.id == id || self.also.contains(&id)
    }

    /// Adds another report by the same person, which has to be seen like any new one.
    pub(in crate::live) fn fold(&mut self, id: ReportId, said: &Said) {
        self.amend(said);
        self.state = ReportState::Recorded;
        self.also.push(id);
    }

    /// Adds what the person says later. If it is graver than before, or the report was already over, it has to be
    /// seen anew.
    pub(in crate::live) fn amend(&mut self, said: &Said) {
        let over = self.state == ReportState::Closed || self.taken_back;
        if over || said.is_graver_than(&self.said) {
            self.state = ReportState::Recorded;
        }
        self.said = said.clone();
        self.taken_back = false;
    }

    /// Whether it is neither resolved nor taken back.
    #[must_use]
    pub fn is_open(&self) -> bool {
        self.state != ReportState::Closed && !self.taken_back
    }

    /// Whether no desk has seen it. An urgent report stays unseen even when it is taken back: somebody must look.
    #[must_use]
    pub fn is_unseen(&self) -> bool {
        self.state == ReportState::Recorded && (!self.taken_back || self.said.urgent.is_some())
    }

    /// The desk that handled it last, unless something graver was added since.
    #[must_use]
    pub fn seen_by(&self) -> Option<DeskRole> {
        self.handled.last().filter(|_| self.state != ReportState::Recorded).map(|handled| handled.by)
    }
}
