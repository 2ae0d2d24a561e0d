//! What a desk can ask, and who may ask it when.

use crate::drill::Family;
use crate::drill::dose::DoseChange;
use crate::live::command::Entry;
use crate::live::ids::{DeskRole, ReportId, SeatId, StepId};
use crate::live::said::{Mark, ReportState};
use crate::people::care::{Condition, Of, PersonalForm};
use crate::plan::StepRequest;
use crate::text::{Name, Sentence};
use crate::time::day::Date;
use serde::{Deserialize, Serialize};

/// What a desk can ask.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "do", rename_all = "snake_case", deny_unknown_fields)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum DeskCommand {
    /// Lets people in.
    Open,
    /// Begins with the first step.
    Start,
    /// Goes to the following step.
    Next,
    /// Goes to the step before.
    Back,
    /// Goes to any step.
    GoTo {
        /// Where to.
        step: StepId,
    },
    /// Stands still until [`DeskCommand::GoOn`].
    Pause,
    /// Stands still at once, for safety, until [`DeskCommand::Resume`].
    PauseForSafety,
    /// Ends a pause.
    GoOn,
    /// Ends a safety pause: goes on from the breath in of the repetition. Nothing else does.
    Resume,
    /// Repeats the step.
    AgainStep,
    /// Repeats the repetition.
    AgainRep,
    /// Makes the present span longer.
    MoreTime {
        /// By how many seconds, 5 to 120.
        seconds: u32,
    },
    /// Ends the present span, giving notice before work.
    CutShort,
    /// Puts a step after another, or after the present one.
    Insert {
        /// After which.
        after: Option<StepId>,
        /// What to put there.
        step: StepRequest,
    },
    /// Gives a drill another dose; a running one goes on at the start of its repetition.
    SwapDose {
        /// Which step.
        step: StepId,
        /// What changes.
        change: DoseChange,
    },
    /// Shows the following clue of the round.
    ShowClue,
    /// Shows the next hint.
    ShowHint,
    /// Shows the answer.
    ShowAnswer,
    /// Asks everybody how much effort it was, from 0 to 10, in the next rest.
    AskEffort,
    /// Sets who may come in by the code.
    SetEntry {
        /// Who.
        to: Entry,
    },
    /// Lets somebody in who asked.
    LetIn {
        /// Who.
        seat: SeatId,
        /// The person on the roster whom the desk knows them to be; nothing for somebody else.
        #[serde(default)]
        known_as: Option<SeatId>,
    },
    /// Does not let somebody in who asked.
    TurnAway {
        /// Who.
        seat: SeatId,
    },
    /// Sees to a report.
    HandleReport {
        /// Which report.
        report: ReportId,
        /// What becomes of it.
        to: ReportState,
    },
    /// Has seen that a person stopped.
    SeeStop {
        /// Who.
        seat: SeatId,
    },
    /// Sees to a person who was lost.
    TakeLost {
        /// Who.
        seat: SeatId,
    },
    /// Knows how a lost person is.
    CloseLost {
        /// Who.
        seat: SeatId,
    },
    /// Asks a person to rest.
    AskRest {
        /// Who.
        seat: SeatId,
    },
    /// Sends a person a short message.
    Message {
        /// Who.
        seat: SeatId,
        /// What.
        text: Sentence,
    },
    /// Takes a seat out of the session.
    Remove {
        /// Who.
        seat: SeatId,
        /// Why, for the record.
        reason: Sentence,
    },
    /// Makes one seat of two that are the same person.
    Merge {
        /// The seat that goes.
        from: SeatId,
        /// The seat that stays.
        into: SeatId,
    },
    /// Puts a person on the roster who will come by a personal link.
    Expect {
        /// Who.
        name: Name,
    },
    /// Adds a person who takes part by telephone.
    AddByPhone {
        /// Who.
        name: Name,
    },
    /// Marks by hand what a person did.
    MarkSeat {
        /// Who.
        seat: SeatId,
        /// Done or stopped.
        answer: Mark,
    },
    /// Turns swallow drills on for these people, for today.
    ClearSwallow {
        /// Who; the desk saw each name.
        seats: Vec<SeatId>,
    },
    /// Turns them off again for one person.
    EndSwallow {
        /// Who.
        seat: SeatId,
    },
    /// Clears a person for a family of drills in spite of a precaution, for today.
    ClearFamily {
        /// Who.
        seat: SeatId,
        /// For what.
        family: Family,
    },
    /// Takes that back.
    EndFamily {
        /// Who.
        seat: SeatId,
        /// For what.
        family: Family,
    },
    /// Says which precautions a person has; replaces what was said before.
    SetPrecautions {
        /// Who.
        seat: SeatId,
        /// Which.
        conditions: Vec<Condition>,
    },
    /// Gives a person a form of their own.
    SetForm {
        /// Who.
        seat: SeatId,
        /// The form; replaces one of the same drill or family.
        form: PersonalForm,
    },
    /// Takes a personal form away.
    LiftForm {
        /// Who.
        seat: SeatId,
        /// Of what.
        of: Of,
    },
    /// Gives a person the easier forms until it is lifted.
    MarkOff {
        /// Who.
        seat: SeatId,
    },
    /// Lifts that.
    LiftOff {
        /// Who.
        seat: SeatId,
    },
    /// Writes down what is to be done after class.
    AddFollowUp {
        /// For whom.
        seat: SeatId,
        /// What.
        what: Sentence,
        /// Who does it.
        owner: Name,
        /// Until which day.
        due: Date,
    },
    /// It is done.
    CloseFollowUp {
        /// Which.
        id: u32,
    },
    /// Says who sits at this desk.
    SayName {
        /// The name.
        name: Name,
    },
    /// Lets the helper see health notes.
    ShareHealth,
    /// Ends that.
    EndShareHealth,
    /// Gives the lead to the other desk, or takes it when the other one is gone.
    HandDesk {
        /// Who leads from now on.
        to: DeskRole,
    },
    /// Ends the session.
    End,
}

/// Who may give a desk's command, and when.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Rights {
    /// Only the desk that leads gives it. The others serve people's safety and the roster, and both desks give them.
    pub for_the_lead: bool,
    /// It says what a drill may ask of a person: only whoever may see health notes gives it, and their name is kept
    /// with it.
    pub clinical: bool,
    /// How long after the press it may still act, in milliseconds; nothing where it is never too late. The desk
    /// itself gives up a little earlier and says so; this is for what the network kept.
    pub within_ms: Option<i64>,
    /// It is taken after the class as well: what concerns safety does not end with it.
    pub afterwards: bool,
}

impl Rights {
    const BOTH: Self =
        Self { for_the_lead: false, clinical: false, within_ms: Some(8_000), afterwards: false };
    const LEAD: Self = Self { for_the_lead: true, ..Self::BOTH };
    const CLINICAL: Self = Self { clinical: true, ..Self::BOTH };
    /// What sees to a person does no harm when it is late, and a text would be lost.
    const AT_ANY_TIME: Self = Self { within_ms: None, afterwards: true, ..Self::BOTH };
}

impl DeskCommand {
    /// Who may give it, and when.
    #[must_use]
    pub fn rights(&self) -> Rights {
        match self {
            Self::Open
            | Self::Start
            | Self::Next
            | Self::Back
            | Self::GoTo { .. }
            | Self::Pause
            | Self::GoOn
            | Self::Resume
            | Self::AgainStep
            | Self::AgainRep
            | Self::MoreTime { .. }
            | Self::CutShort
            | Self::Insert { .. }
            | Self::SwapDose { .. }
            | Self::ShowClue
            | Self::ShowHint
            | Self::ShowAnswer
            | Self::AskEffort
            | Self::End => Rights::LEAD,
            // Late is better than never, while the class is still in the step in which it was pressed.
            Self::PauseForSafety => Rights { within_ms: Some(60_000), ..Rights::BOTH },
            Self::SetEntry { .. }
            | Self::LetIn { .. }
            | Self::TurnAway { .. }
            | Self::Remove { .. }
            | Self::Merge { .. }
            | Self::Expect { .. }
            | Self::AddByPhone { .. }
            | Self::MarkSeat { .. }
            | Self::MarkOff { .. } => Rights::BOTH,
            Self::HandleReport { .. }
            | Self::SeeStop { .. }
            | Self::TakeLost { .. }
            | Self::CloseLost { .. }
            | Self::Message { .. }
            | Self::AddFollowUp { .. }
            | Self::CloseFollowUp { .. }
            | Self::SayName { .. } => Rights::AT_ANY_TIME,
            Self::AskRest { .. } => Rights { afterwards: false, ..Rights::AT_ANY_TIME },
            Self::ShareHealth | Self::EndShareHealth | Self::HandDesk { .. } => {
                Rights { afterwards: true, ..Rights::BOTH }
            }
            Self::ClearSwallow { .. }
            | Self::EndSwallow { .. }
            | Self::ClearFamily { .. }
            | Self::EndFamily { .. }
            | Self::SetPrecautions { .. }
            | Self::SetForm { .. }
            | Self::LiftForm { .. }
            | Self::LiftOff { .. } => Rights::CLINICAL,
        }
    }
}
