//! What a desk did, kept so that each desk sees what the other one does.

use serde::{Deserialize, Serialize};

use crate::live::ids::{DeskRole, SeatId};
use crate::text::Name;
use crate::time::EpochMs;

/// One thing that a desk did.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct DeskAct {
    /// Its place in the ledger.
    pub seq: u64,
    /// When the desk did it.
    pub at: EpochMs,
    /// The desk that did it.
    pub by: DeskRole,
    /// The name said at that desk.
    pub name: Option<Name>,
    /// What the desk did.
    pub did: DeskDid,
    /// The seat of the person it concerned, if any.
    pub seat: Option<SeatId>,
}

/// The kinds of things that a desk does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
#[allow(missing_docs, reason = "named as the commands are")]
pub enum DeskDid {
    Opened,
    EntrySet,
    LetIn,
    TurnedAway,
    Moved,
    Paused,
    PausedForSafety,
    WentOn,
    Resumed,
    DoseSwapped,
    StepInserted,
    StepMoved,
    StepTakenOut,
    MinutesSet,
    ClueShown,
    EffortAsked,
    ReportSeen,
    ReportTaken,
    ReportResting,
    ReportBack,
    ReportClosed,
    StopSeen,
    LostTaken,
    LostClosed,
    RestAsked,
    MessageSent,
    Removed,
    Merged,
    Expected,
    AddedByPhone,
    Marked,
    SwallowCleared,
    SwallowEnded,
    FamilyCleared,
    FamilyEnded,
    CareSet,
    FollowUpAdded,
    FollowUpClosed,
    AttendanceSet,
    Named,
    HealthShared,
    DeskHanded,
    Ended,
}
