//! What the desks did lately, so that each desk sees what the other one does.

use crate::live::event::{CareEvent, ClassEvent, Event, How, Recorded, Why};
use crate::live::ids::Actor;
use crate::live::said::ReportState;
use crate::live::state::Session;
use crate::live::state::acts::{DeskAct, DeskDid};

/// How many acts are remembered.
const LATELY: usize = 6;

impl Session {
    pub(in crate::live) fn remember_act(&mut self, recorded: &Recorded) {
        let Actor::Desk(by) = recorded.by else { return };
        let Some(did) = did(&recorded.event) else { return };
        // Pressing *next* many times is shown as one act.
        if self
            .acts
            .back()
            .is_some_and(|act| act.by == by && act.did == did && act.seat == recorded.event.seat())
        {
            self.acts.pop_back();
        }
        if self.acts.len() == LATELY {
            self.acts.pop_front();
        }
        let name = self.names.get(&by).cloned();
        let (seq, at) = (recorded.seq, recorded.at);
        // The person for whom a clinician set something is a health note, which not every desk may see.
        let clinical = matches!(
            did,
            DeskDid::SwallowEnded | DeskDid::FamilyCleared | DeskDid::FamilyEnded | DeskDid::CareSet
        );
        let seat = recorded.event.seat().filter(|_| !clinical);
        self.acts.push_back(DeskAct { seq, at, by, name, did, seat });
    }
}

/// The act that an event stands for, if a desk can have caused the event.
fn did(event: &Event) -> Option<DeskDid> {
    match event {
        Event::Class(event) => did_to_class(event),
        Event::Care { what, .. } => did_about(what),
        Event::Seat { .. } | Event::Safety { .. } => None,
    }
}

fn did_to_class(event: &ClassEvent) -> Option<DeskDid> {
    Some(match event {
        ClassEvent::Opened => DeskDid::Opened,
        ClassEvent::EntrySet { .. } => DeskDid::EntrySet,
        ClassEvent::Moved { why, .. } => match why {
            Why::Paused => DeskDid::Paused,
            Why::PausedForSafety => DeskDid::PausedForSafety,
            Why::WentOn => DeskDid::WentOn,
            Why::Resumed => DeskDid::Resumed,
            Why::DoseSwapped => DeskDid::DoseSwapped,
            Why::Started
            | Why::Next
            | Why::Back
            | Why::WentTo
            | Why::AgainStep
            | Why::AgainRep
            | Why::MoreTime
            | Why::CutShort => DeskDid::Moved,
        },
        ClassEvent::DoseSwapped { .. } => DeskDid::DoseSwapped,
        ClassEvent::StepInserted { .. } => DeskDid::StepInserted,
        ClassEvent::StepMoved { .. } => DeskDid::StepMoved,
        ClassEvent::StepTakenOut { .. } => DeskDid::StepTakenOut,
        ClassEvent::MinutesSet { .. } => DeskDid::MinutesSet,
        ClassEvent::ClueShown { .. } | ClassEvent::HintShown { .. } | ClassEvent::AnswerShown { .. } => {
            DeskDid::ClueShown
        }
        ClassEvent::EffortAsked { .. } => DeskDid::EffortAsked,
        ClassEvent::Merged { .. } => DeskDid::Merged,
        ClassEvent::SwallowCleared { .. } => DeskDid::SwallowCleared,
        ClassEvent::FollowUpClosed { .. } => DeskDid::FollowUpClosed,
        ClassEvent::DeskNamed { .. } => DeskDid::Named,
        ClassEvent::HealthShared { .. } => DeskDid::HealthShared,
        ClassEvent::DeskHanded { .. } => DeskDid::DeskHanded,
        ClassEvent::Ended => DeskDid::Ended,
        ClassEvent::Begun { .. } | ClassEvent::LeadLost | ClassEvent::LeadBack => return None,
    })
}

fn did_about(event: &CareEvent) -> Option<DeskDid> {
    Some(match event {
        CareEvent::SeatTaken { how: How::ByPhone, .. } => DeskDid::AddedByPhone,
        CareEvent::SeatTaken { how: How::ByCode | How::Asking | How::Expected, .. } => DeskDid::Expected,
        CareEvent::CameIn => DeskDid::LetIn,
        CareEvent::TurnedAway => DeskDid::TurnedAway,
        CareEvent::Removed { .. } => DeskDid::Removed,
        CareEvent::StopSeen => DeskDid::StopSeen,
        CareEvent::ReportHandled { to, .. } => match to {
            ReportState::Recorded => return None,
            ReportState::Seen => DeskDid::ReportSeen,
            ReportState::Taken => DeskDid::ReportTaken,
            ReportState::Resting => DeskDid::ReportResting,
            ReportState::Back => DeskDid::ReportBack,
            ReportState::Closed => DeskDid::ReportClosed,
        },
        CareEvent::LostTaken => DeskDid::LostTaken,
        CareEvent::LostClosed => DeskDid::LostClosed,
        CareEvent::RestAsked => DeskDid::RestAsked,
        CareEvent::MessageSent { .. } => DeskDid::MessageSent,
        CareEvent::Marked { .. } => DeskDid::Marked,
        CareEvent::SwallowEnded => DeskDid::SwallowEnded,
        CareEvent::FamilyCleared { .. } => DeskDid::FamilyCleared,
        CareEvent::FamilyEnded { .. } => DeskDid::FamilyEnded,
        CareEvent::PrecautionsSet { .. }
        | CareEvent::SwallowKeptOff
        | CareEvent::FormSet { .. }
        | CareEvent::FormLifted { .. }
        | CareEvent::OffToday { .. } => DeskDid::CareSet,
        CareEvent::FollowUpAdded { .. } => DeskDid::FollowUpAdded,
        CareEvent::FollowUpDone { .. } => DeskDid::FollowUpClosed,
        CareEvent::AttendanceSet { .. } => DeskDid::AttendanceSet,
        CareEvent::Lost { .. }
        | CareEvent::Found
        | CareEvent::ScreenAway { .. }
        | CareEvent::ScreenBack
        | CareEvent::NewDevice
        | CareEvent::SentWord { .. } => return None,
    })
}
