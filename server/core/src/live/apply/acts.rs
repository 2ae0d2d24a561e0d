//! What desks did lately, so that two desks see each other's hands.

use crate::live::event::{Event, How, Recorded, Why};
use crate::live::ids::Actor;
use crate::live::said::ReportState;
use crate::live::state::Session;
use crate::live::state::acts::{DeskAct, DeskDid};

/// How many are remembered.
const LATELY: usize = 6;

impl Session {
    pub(in crate::live) fn remember_act(&mut self, recorded: &Recorded) {
        let Actor::Desk(by) = recorded.by else { return };
        let Some(did) = did(&recorded.event) else { return };
        // Pressing *next* many times is one thing that a desk did.
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
        // For whom a clinician set something is a health note, which not every desk may see.
        let clinical = matches!(
            did,
            DeskDid::SwallowEnded | DeskDid::FamilyCleared | DeskDid::FamilyEnded | DeskDid::CareSet
        );
        let seat = recorded.event.seat().filter(|_| !clinical);
        self.acts.push_back(DeskAct { seq, at, by, name, did, seat });
    }
}

/// What an event was, if a desk can have caused it.
fn did(event: &Event) -> Option<DeskDid> {
    Some(match event {
        Event::Opened => DeskDid::Opened,
        Event::EntrySet { .. } => DeskDid::EntrySet,
        Event::CameIn { .. } => DeskDid::LetIn,
        Event::TurnedAway { .. } => DeskDid::TurnedAway,
        Event::Moved { why, .. } => match why {
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
        Event::DoseSwapped { .. } => DeskDid::DoseSwapped,
        Event::StepInserted { .. } => DeskDid::StepInserted,
        Event::ClueShown { .. } | Event::HintShown { .. } | Event::AnswerShown { .. } => DeskDid::ClueShown,
        Event::EffortAsked { .. } => DeskDid::EffortAsked,
        Event::ReportHandled { to, .. } => match to {
            ReportState::Recorded => return None,
            ReportState::Seen => DeskDid::ReportSeen,
            ReportState::Taken => DeskDid::ReportTaken,
            ReportState::Resting => DeskDid::ReportResting,
            ReportState::Back => DeskDid::ReportBack,
            ReportState::Closed => DeskDid::ReportClosed,
        },
        Event::StopSeen { .. } => DeskDid::StopSeen,
        Event::LostTaken { .. } => DeskDid::LostTaken,
        Event::LostClosed { .. } => DeskDid::LostClosed,
        Event::RestAsked { .. } => DeskDid::RestAsked,
        Event::MessageSent { .. } => DeskDid::MessageSent,
        Event::Removed { .. } => DeskDid::Removed,
        Event::Merged { .. } => DeskDid::Merged,
        Event::SeatTaken { how: How::ByPhone, .. } => DeskDid::AddedByPhone,
        Event::SeatTaken { .. } => DeskDid::Expected,
        Event::Marked { .. } => DeskDid::Marked,
        Event::SwallowCleared { .. } => DeskDid::SwallowCleared,
        Event::SwallowEnded { .. } => DeskDid::SwallowEnded,
        Event::FamilyCleared { .. } => DeskDid::FamilyCleared,
        Event::FamilyEnded { .. } => DeskDid::FamilyEnded,
        Event::PrecautionsSet { .. }
        | Event::SwallowKeptOff { .. }
        | Event::FormSet { .. }
        | Event::FormLifted { .. }
        | Event::OffToday { .. } => DeskDid::CareSet,
        Event::FollowUpAdded { .. } => DeskDid::FollowUpAdded,
        Event::FollowUpClosed { .. } => DeskDid::FollowUpClosed,
        Event::DeskNamed { .. } => DeskDid::Named,
        Event::HealthShared { .. } => DeskDid::HealthShared,
        Event::DeskHanded { .. } => DeskDid::DeskHanded,
        Event::Ended => DeskDid::Ended,
        Event::Begun { .. }
        | Event::CheckedIn { .. }
        | Event::Did { .. }
        | Event::Undid { .. }
        | Event::Got { .. }
        | Event::Stopped { .. }
        | Event::StopUndone { .. }
        | Event::Unchanged { .. }
        | Event::WentOn { .. }
        | Event::Reported { .. }
        | Event::ReportAmended { .. }
        | Event::ReportTakenBack { .. }
        | Event::Lost { .. }
        | Event::Found { .. }
        | Event::MouthSaid { .. }
        | Event::EffortSaid { .. }
        | Event::ClueAnswered { .. }
        | Event::MessageRead { .. }
        | Event::Left { .. }
        | Event::CameBack { .. }
        | Event::LeadLost
        | Event::LeadBack => return None,
    })
}
