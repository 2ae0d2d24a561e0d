//! What happened to people in a class, from the server's clock: reports and what was done about them,
//! stops, losses, safety pauses, clearances. Read from the ledger alone, so it can be made again at any
//! time; what it means is for a clinician to write.

use serde::{Deserialize, Serialize};

use crate::live::{Actor, Event, Mark, Recorded, ReportState, Said, SeatId, Session, StopReason, Whose, Why};
use crate::plan::Title;
use crate::text::{Name, Sentence};
use crate::time::EpochMs;

/// One line of the timeline.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Incident {
    /// Its place in the ledger.
    pub seq: u64,
    /// When, by the server's clock.
    pub at: EpochMs,
    /// Who caused it.
    pub by: Actor,
    /// The name said at that desk, if a desk did.
    pub staff: Option<Name>,
    /// About whom.
    pub seat: Option<SeatId>,
    /// That person's name.
    pub name: Option<Name>,
    /// What.
    pub what: IncidentKind,
    /// What the person said.
    pub said: Option<Said>,
    /// Why the person stopped, if said.
    pub reason: Option<StopReason>,
    /// A desk's words.
    pub words: Option<Sentence>,
    /// The step on the screens.
    pub step: Option<Title>,
    /// Its offset.
    pub offset_ms: Option<i64>,
}

/// Kinds of lines.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
#[allow(missing_docs, reason = "named as the events are")]
pub enum IncidentKind {
    Reported,
    ReportAmended,
    ReportTakenBack,
    ReportSeen,
    ReportTaken,
    ReportResting,
    ReportBack,
    ReportClosed,
    Stopped,
    StopSeen,
    StopUndone,
    WentOn,
    Lost,
    Found,
    LostTaken,
    LostClosed,
    RestAsked,
    Removed,
    PausedForSafety,
    Resumed,
    LeadLost,
    LeadBack,
    DeskHanded,
    MarkedStopped,
    MarkedBack,
    SwallowCleared,
    SwallowEnded,
    FamilyCleared,
    FamilyEnded,
    FollowUpAdded,
    FollowUpClosed,
}

impl IncidentKind {
    /// Whether it says what a clinician set for a person, which not every desk may see.
    #[must_use]
    pub fn is_health_note(self) -> bool {
        matches!(self, Self::SwallowCleared | Self::SwallowEnded | Self::FamilyCleared | Self::FamilyEnded)
    }
}

/// The timeline of a session, oldest first.
#[must_use]
pub fn incidents(ledger: &[Recorded]) -> Vec<Incident> {
    let Some((first, rest)) = ledger.split_first() else { return Vec::new() };
    let Some(mut session) = Session::from_first(first) else { return Vec::new() };
    let mut lines = Vec::new();
    for recorded in rest {
        session.apply(recorded);
        let Some(what) = kind(&recorded.event) else { continue };
        let seats = match &recorded.event {
            Event::SwallowCleared { seats, .. } => seats.iter().copied().map(Some).collect(),
            event => vec![event.seat()],
        };
        lines.extend(seats.into_iter().map(|seat| line(&session, recorded, what, seat)));
    }
    lines
}

fn line(session: &Session, recorded: &Recorded, what: IncidentKind, seat: Option<SeatId>) -> Incident {
    let at = session.position(recorded.at);
    let (said, reason, words) = match &recorded.event {
        Event::Reported { said, .. } | Event::ReportAmended { said, .. } => (Some(said.clone()), None, None),
        Event::Stopped { reason, .. } => (None, *reason, None),
        Event::Removed { reason, .. } => (None, None, Some(reason.clone())),
        Event::FollowUpAdded { what, .. } => (None, None, Some(what.clone())),
        _ => (None, None, None),
    };
    let whose = match &recorded.event {
        Event::Stopped { whose, .. } => *whose,
        Event::Reported { said, .. } | Event::ReportAmended { said, .. } => said.whose,
        _ => Whose::Own,
    };
    let staff = match (&recorded.event, recorded.by) {
        (Event::SwallowCleared { by, .. } | Event::FamilyCleared { by, .. }, _) => Some(by.clone()),
        (_, Actor::Desk(role)) => session.name_at(role).cloned(),
        _ => None,
    };
    Incident {
        seq: recorded.seq,
        at: recorded.at,
        by: recorded.by,
        staff,
        seat,
        name: seat.and_then(|id| session.name_of(id, whose)),
        what,
        said,
        reason,
        words,
        step: at.as_ref().and_then(|p| session.step(p.of.step)).map(|step| step.step.title.clone()),
        offset_ms: at.map(|p| p.offset_ms),
    }
}

fn kind(event: &Event) -> Option<IncidentKind> {
    Some(match event {
        Event::Reported { .. } => IncidentKind::Reported,
        Event::ReportAmended { .. } => IncidentKind::ReportAmended,
        Event::ReportTakenBack { .. } => IncidentKind::ReportTakenBack,
        Event::ReportHandled { to, .. } => match to {
            ReportState::Recorded => return None,
            ReportState::Seen => IncidentKind::ReportSeen,
            ReportState::Taken => IncidentKind::ReportTaken,
            ReportState::Resting => IncidentKind::ReportResting,
            ReportState::Back => IncidentKind::ReportBack,
            ReportState::Closed => IncidentKind::ReportClosed,
        },
        Event::Stopped { .. } => IncidentKind::Stopped,
        Event::StopSeen { .. } => IncidentKind::StopSeen,
        Event::StopUndone { .. } => IncidentKind::StopUndone,
        Event::WentOn { .. } => IncidentKind::WentOn,
        Event::Lost { .. } => IncidentKind::Lost,
        Event::Found { .. } => IncidentKind::Found,
        Event::LostTaken { .. } => IncidentKind::LostTaken,
        Event::LostClosed { .. } => IncidentKind::LostClosed,
        Event::RestAsked { .. } => IncidentKind::RestAsked,
        Event::Removed { .. } => IncidentKind::Removed,
        Event::Moved { why: Why::PausedForSafety, .. } => IncidentKind::PausedForSafety,
        Event::Moved { why: Why::Resumed, .. } => IncidentKind::Resumed,
        Event::LeadLost => IncidentKind::LeadLost,
        Event::LeadBack => IncidentKind::LeadBack,
        Event::DeskHanded { .. } => IncidentKind::DeskHanded,
        Event::Marked { mark: Mark::Stopped, .. } => IncidentKind::MarkedStopped,
        Event::Marked { mark: Mark::Back, .. } => IncidentKind::MarkedBack,
        Event::SwallowCleared { .. } => IncidentKind::SwallowCleared,
        Event::SwallowEnded { .. } => IncidentKind::SwallowEnded,
        Event::FamilyEnded { .. } => IncidentKind::FamilyEnded,
        Event::FamilyCleared { .. } => IncidentKind::FamilyCleared,
        Event::FollowUpAdded { .. } => IncidentKind::FollowUpAdded,
        Event::FollowUpClosed { .. } => IncidentKind::FollowUpClosed,
        Event::Begun { .. }
        | Event::Opened
        | Event::Moved { .. }
        | Event::StepInserted { .. }
        | Event::DoseSwapped { .. }
        | Event::ClueShown { .. }
        | Event::HintShown { .. }
        | Event::AnswerShown { .. }
        | Event::EffortAsked { .. }
        | Event::EntrySet { .. }
        | Event::SeatTaken { .. }
        | Event::CameIn { .. }
        | Event::TurnedAway { .. }
        | Event::CheckedIn { .. }
        | Event::Did { .. }
        | Event::Undid { .. }
        | Event::Got { .. }
        | Event::MouthSaid { .. }
        | Event::EffortSaid { .. }
        | Event::ClueAnswered { .. }
        | Event::MessageSent { .. }
        | Event::MessageRead { .. }
        | Event::Marked { mark: Mark::Done, .. }
        | Event::PrecautionsSet { .. }
        | Event::SwallowKeptOff { .. }
        | Event::FormSet { .. }
        | Event::FormLifted { .. }
        | Event::OffToday { .. }
        | Event::Unchanged { .. }
        | Event::Left { .. }
        | Event::CameBack { .. }
        | Event::Merged { .. }
        | Event::DeskNamed { .. }
        | Event::HealthShared { .. }
        | Event::Ended => return None,
    })
}
