//! What a desk did, so that two desks see each other's hands.

use serde::{Deserialize, Serialize};

use crate::live::ids::{DeskRole, SeatId};
use crate::text::Name;
use crate::time::EpochMs;

/// What a desk did.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct DeskAct {
    /// Its place in the ledger.
    pub seq: u64,
    /// When.
    pub at: EpochMs,
    /// Which desk.
    pub by: DeskRole,
    /// The name said at that desk.
    pub name: Option<Name>,
    /// What.
    pub did: DeskDid,
    /// To whom.
    pub seat: Option<SeatId>,
}

/// Kinds of what a desk did.
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
    Named,
    HealthShared,
    DeskHanded,
    Ended,
}
