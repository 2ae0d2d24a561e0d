//! What happened to people in a class, by the server's clock: reports and what was done about them, stops, losses,
//! safety pauses, clearances. It is made from the ledger alone, so it can be made again at any time. What it means
//! is for a clinician to say.

use serde::{Deserialize, Serialize};

use crate::live::{
    Actor, CareEvent, ClassEvent, Event, Mark, Recorded, ReportState, SafetyEvent, Said, SeatId, Session,
    StopReason, Whose, Why,
};
use crate::plan::Title;
use crate::text::{Name, Sentence};
use crate::time::EpochMs;

/// One line of the timeline.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Incident {
    /// Its place in the ledger.
    pub seq: u64,
    /// When it happened, by the server's clock.
    pub at: EpochMs,
    /// Who caused it.
    pub by: Actor,
    /// The name said at the desk, if a desk caused it.
    pub staff: Option<Name>,
    /// The seat of the person it is about, if any.
    pub seat: Option<SeatId>,
    /// That person's name.
    pub name: Option<Name>,
    /// What happened.
    pub what: IncidentKind,
    /// What the person said.
    pub said: Option<Said>,
    /// Why the person stopped, if said.
    pub reason: Option<StopReason>,
    /// What a desk wrote, such as the reason for taking somebody out.
    pub words: Option<Sentence>,
    /// The title of the step on the screens.
    pub step: Option<Title>,
    /// The offset in that step, in milliseconds.
    pub offset_ms: Option<i64>,
}

/// The kinds of lines.
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
    AttendanceSet,
}

impl IncidentKind {
    /// Whether it tells what a clinician set for a person, which not every desk may see.
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
            Event::Class(ClassEvent::SwallowCleared { seats, .. }) => {
                seats.iter().copied().map(Some).collect()
            }
            event => vec![event.seat()],
        };
        lines.extend(seats.into_iter().map(|seat| line(&session, recorded, what, seat)));
    }
    lines
}

/// What was said together with an event.
#[derive(Default)]
struct Told {
    whose: Whose,
    said: Option<Said>,
    reason: Option<StopReason>,
    words: Option<Sentence>,
    /// The clinician whom the event names.
    clinician: Option<Name>,
}

impl Told {
    fn with(event: &Event) -> Self {
        let nothing = Self::default();
        match event {
            Event::Safety {
                what: SafetyEvent::Reported { said, .. } | SafetyEvent::ReportAmended { said, .. },
                ..
            } => Self { whose: said.whose, said: Some(said.clone()), ..nothing },
            Event::Safety { what: SafetyEvent::Stopped { reason, whose }, .. } => {
                Self { whose: *whose, reason: *reason, ..nothing }
            }
            Event::Care {
                what: CareEvent::Removed { reason: words } | CareEvent::FollowUpDone { outcome: words, .. },
                ..
            } => Self { words: Some(words.clone()), ..nothing },
            Event::Care { what: CareEvent::AttendanceSet { minutes, reason }, .. } => {
                let words = Sentence::try_from(format!("{minutes} min: {reason}"));
                Self { words: Some(words.unwrap_or_else(|_| reason.clone())), ..nothing }
            }
            Event::Care { what: CareEvent::FollowUpAdded { what, .. }, .. } => {
                Self { words: Some(what.clone()), ..nothing }
            }
            Event::Class(ClassEvent::SwallowCleared { by, .. })
            | Event::Care { what: CareEvent::FamilyCleared { by, .. }, .. } => {
                Self { clinician: Some(by.clone()), ..nothing }
            }
            Event::Class(_) | Event::Seat { .. } | Event::Safety { .. } | Event::Care { .. } => nothing,
        }
    }
}

fn line(session: &Session, recorded: &Recorded, what: IncidentKind, seat: Option<SeatId>) -> Incident {
    let at = session.position(recorded.at);
    let Told { whose, said, reason, words, clinician } = Told::with(&recorded.event);
    let at_desk = match recorded.by {
        Actor::Desk(role) => session.name_at(role).cloned(),
        Actor::Seat(_) | Actor::Entry | Actor::Watch => None,
    };
    let staff = clinician.or(at_desk);
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
    match event {
        Event::Class(event) => kind_of_class(event),
        Event::Safety { what, .. } => Some(kind_of_safety(what)),
        Event::Seat { .. } => None,
        Event::Care { what, .. } => kind_of_care(what),
    }
}

fn kind_of_class(event: &ClassEvent) -> Option<IncidentKind> {
    Some(match event {
        ClassEvent::Moved { why: Why::PausedForSafety, .. } => IncidentKind::PausedForSafety,
        ClassEvent::Moved { why: Why::Resumed, .. } => IncidentKind::Resumed,
        ClassEvent::LeadLost => IncidentKind::LeadLost,
        ClassEvent::LeadBack => IncidentKind::LeadBack,
        ClassEvent::DeskHanded { .. } => IncidentKind::DeskHanded,
        ClassEvent::SwallowCleared { .. } => IncidentKind::SwallowCleared,
        ClassEvent::FollowUpClosed { .. } => IncidentKind::FollowUpClosed,
        ClassEvent::Begun { .. }
        | ClassEvent::Opened
        | ClassEvent::Moved { .. }
        | ClassEvent::StepInserted { .. }
        | ClassEvent::StepMoved { .. }
        | ClassEvent::StepTakenOut { .. }
        | ClassEvent::MinutesSet { .. }
        | ClassEvent::DoseSwapped { .. }
        | ClassEvent::ClueShown { .. }
        | ClassEvent::HintShown { .. }
        | ClassEvent::AnswerShown { .. }
        | ClassEvent::EffortAsked { .. }
        | ClassEvent::EntrySet { .. }
        | ClassEvent::Merged { .. }
        | ClassEvent::DeskNamed { .. }
        | ClassEvent::HealthShared { .. }
        | ClassEvent::Ended => return None,
    })
}

fn kind_of_safety(event: &SafetyEvent) -> IncidentKind {
    match event {
        SafetyEvent::Reported { .. } => IncidentKind::Reported,
        SafetyEvent::ReportAmended { .. } => IncidentKind::ReportAmended,
        SafetyEvent::ReportTakenBack { .. } => IncidentKind::ReportTakenBack,
        SafetyEvent::Stopped { .. } => IncidentKind::Stopped,
        SafetyEvent::StopUndone => IncidentKind::StopUndone,
        SafetyEvent::WentOn => IncidentKind::WentOn,
    }
}

fn kind_of_care(event: &CareEvent) -> Option<IncidentKind> {
    Some(match event {
        CareEvent::ReportHandled { to, .. } => match to {
            ReportState::Recorded => return None,
            ReportState::Seen => IncidentKind::ReportSeen,
            ReportState::Taken => IncidentKind::ReportTaken,
            ReportState::Resting => IncidentKind::ReportResting,
            ReportState::Back => IncidentKind::ReportBack,
            ReportState::Closed => IncidentKind::ReportClosed,
        },
        CareEvent::StopSeen => IncidentKind::StopSeen,
        CareEvent::Lost { .. } => IncidentKind::Lost,
        CareEvent::Found => IncidentKind::Found,
        CareEvent::LostTaken => IncidentKind::LostTaken,
        CareEvent::LostClosed => IncidentKind::LostClosed,
        CareEvent::RestAsked => IncidentKind::RestAsked,
        CareEvent::Removed { .. } => IncidentKind::Removed,
        CareEvent::Marked { mark: Mark::Stopped, .. } => IncidentKind::MarkedStopped,
        CareEvent::Marked { mark: Mark::Back, .. } => IncidentKind::MarkedBack,
        CareEvent::SwallowEnded => IncidentKind::SwallowEnded,
        CareEvent::FamilyCleared { .. } => IncidentKind::FamilyCleared,
        CareEvent::FamilyEnded { .. } => IncidentKind::FamilyEnded,
        CareEvent::FollowUpAdded { .. } => IncidentKind::FollowUpAdded,
        CareEvent::FollowUpDone { .. } => IncidentKind::FollowUpClosed,
        CareEvent::AttendanceSet { .. } => IncidentKind::AttendanceSet,
        CareEvent::SeatTaken { .. }
        | CareEvent::CameIn
        | CareEvent::NewDevice
        | CareEvent::ScreenAway { .. }
        | CareEvent::ScreenBack
        | CareEvent::SentWord { .. }
        | CareEvent::TurnedAway
        | CareEvent::MessageSent { .. }
        | CareEvent::Marked { mark: Mark::Done, .. }
        | CareEvent::SwallowKeptOff
        | CareEvent::PrecautionsSet { .. }
        | CareEvent::FormSet { .. }
        | CareEvent::FormLifted { .. }
        | CareEvent::OffToday { .. } => return None,
    })
}
