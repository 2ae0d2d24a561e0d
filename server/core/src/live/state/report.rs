//! Discomfort reports: what was said, and what was done about it, by whom and when.

use serde::{Deserialize, Serialize};

use crate::live::ids::{DeskRole, ReportId, SeatId, StepId};
use crate::live::said::{ReportState, Said};
use crate::text::Name;
use crate::time::EpochMs;

/// A discomfort report.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Report {
    /// Its id.
    pub id: ReportId,
    /// Reports of the same person that came while this one was open, and are part of it now.
    pub also: Vec<ReportId>,
    /// Whose.
    pub seat: SeatId,
    /// When the server had it first.
    pub at: EpochMs,
    /// What was said, as far as it was.
    pub said: Said,
    /// Step and offset.
    pub during: Option<(StepId, i64)>,
    /// How far it has come.
    pub state: ReportState,
    /// What desks did about it, oldest first.
    pub handled: Vec<Handled>,
    /// Taken back by the person.
    pub taken_back: bool,
}

/// A desk's part in a report.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Handled {
    /// What it became.
    pub to: ReportState,
    /// Which desk.
    pub by: DeskRole,
    /// The name said at that desk.
    pub name: Option<Name>,
    /// When.
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

    /// Whether `id` is this report's, or that of one which became part of it.
    #[must_use]
    pub fn is_called(&self, id: ReportId) -> bool {
        self.id == id || self.also.contains(&id)
    }

    /// Takes another report of the same person in, which somebody must look at like any new one.
    pub(in crate::live) fn fold(&mut self, id: ReportId, said: &Said) {
        self.amend(said);
        self.state = ReportState::Recorded;
        self.also.push(id);
    }

    /// Takes what the person adds. What is graver than before, or comes when the report was over, has to
    /// be seen anew.
    pub(in crate::live) fn amend(&mut self, said: &Said) {
        let over = self.state == ReportState::Closed || self.taken_back;
        if over || said.is_graver_than(&self.said) {
            self.state = ReportState::Recorded;
        }
        self.said = said.clone();
        self.taken_back = false;
    }

    /// Not dealt with and not taken back.
    #[must_use]
    pub fn is_open(&self) -> bool {
        self.state != ReportState::Closed && !self.taken_back
    }

    /// No desk has seen it. An urgent report stays unseen even when it is taken back: somebody
    /// must look.
    #[must_use]
    pub fn is_unseen(&self) -> bool {
        self.state == ReportState::Recorded && (!self.taken_back || self.said.urgent.is_some())
    }

    /// The desk that looked at it last, unless something graver was added since.
    #[must_use]
    pub fn seen_by(&self) -> Option<DeskRole> {
        self.handled.last().filter(|_| self.state != ReportState::Recorded).map(|handled| handled.by)
    }
}
