//! What a desk can ask for, and which desk may ask for it when.

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

/// What a desk can ask for.
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
        /// The step to go to.
        step: StepId,
    },
    /// Stands still until [`DeskCommand::GoOn`].
    Pause,
    /// Stands still at once, for safety, until [`DeskCommand::Resume`].
    PauseForSafety,
    /// Ends a pause.
    GoOn,
    /// Ends a safety pause, which nothing else does: the class goes on from the breath in of the present
    /// repetition.
    Resume,
    /// Starts the step again.
    AgainStep,
    /// Starts the repetition again.
    AgainRep,
    /// Makes the present span longer.
    MoreTime {
        /// By how many seconds, 5 to 120.
        seconds: u32,
    },
    /// Ends the present span early; people still get notice before work.
    CutShort,
    /// Inserts a step after another one, or after the present one.
    Insert {
        /// The step to put it after; the present one when absent.
        after: Option<StepId>,
        /// The step to insert.
        step: StepRequest,
    },
    /// Puts elsewhere a step that was inserted in class and that the class has not come to yet.
    MoveStep {
        /// The step to put elsewhere.
        step: StepId,
        /// The step to put it after: the present one or a later one.
        after: StepId,
    },
    /// Takes out a step that was inserted in class and that the class has not come to yet.
    TakeOut {
        /// The step to take out.
        step: StepId,
    },
    /// Allows another time for a step without a clock, such as a talk or a clue round.
    SetTime {
        /// The step.
        step: StepId,
        /// How many seconds the class allows for it, 10 to 3,600.
        seconds: u32,
    },
    /// Gives a drill another dose; a running drill goes on at the start of the present repetition.
    SwapDose {
        /// The step to change.
        step: StepId,
        /// What differs from the present dose.
        change: Box<DoseChange>,
    },
    /// Shows the following clue of the round.
    ShowClue,
    /// Shows the next hint.
    ShowHint,
    /// Shows the answer.
    ShowAnswer,
    /// Asks everybody how much effort it was, from 0 to 10, in the next rest.
    AskEffort,
    /// Sets who may come in with the code.
    SetEntry {
        /// Who may come in from now on.
        to: Entry,
    },
    /// Lets in somebody who asked.
    LetIn {
        /// The seat of the person who asked.
        seat: SeatId,
        /// The person on the roster whom the desk knows them to be; absent for somebody else.
        #[serde(default)]
        known_as: Option<SeatId>,
    },
    /// Turns away somebody who asked to come in.
    TurnAway {
        /// The seat of the person who asked.
        seat: SeatId,
    },
    /// Says what becomes of a report.
    HandleReport {
        /// The report.
        report: ReportId,
        /// The state it goes to.
        to: ReportState,
    },
    /// Says that the desk has seen a person's stop.
    SeeStop {
        /// The person's seat.
        seat: SeatId,
    },
    /// Says that this desk is looking after a lost person.
    TakeLost {
        /// The person's seat.
        seat: SeatId,
    },
    /// Closes the alert for a lost person: the desk knows how they are.
    CloseLost {
        /// The person's seat.
        seat: SeatId,
    },
    /// Asks a person to rest.
    AskRest {
        /// The person's seat.
        seat: SeatId,
    },
    /// Sends a person a short message.
    Message {
        /// The person's seat.
        seat: SeatId,
        /// The text of the message.
        text: Sentence,
    },
    /// Sends everybody who has a screen here the same short message.
    MessageAll {
        /// The text of the message.
        text: Sentence,
    },
    /// Takes a seat out of the session.
    Remove {
        /// The person's seat.
        seat: SeatId,
        /// Why, for the record.
        reason: Sentence,
    },
    /// Makes one seat of two that belong to the same person.
    Merge {
        /// The seat that goes.
        from: SeatId,
        /// The seat that stays.
        into: SeatId,
    },
    /// Puts on the roster a person who will come by a personal link.
    Expect {
        /// The person's first name.
        name: Name,
    },
    /// Adds a person who takes part by telephone.
    AddByPhone {
        /// The person's first name.
        name: Name,
    },
    /// Marks by hand what a person did.
    MarkSeat {
        /// The person's seat.
        seat: SeatId,
        /// What the desk marks.
        answer: Mark,
    },
    /// Turns swallow drills on for these people, for today.
    ClearSwallow {
        /// The seats; the desk was shown each name.
        seats: Vec<SeatId>,
    },
    /// Turns swallow drills off again for one person.
    EndSwallow {
        /// The person's seat.
        seat: SeatId,
    },
    /// Clears a person for a family of drills in spite of a precaution, for today.
    ClearFamily {
        /// The person's seat.
        seat: SeatId,
        /// The family they are cleared for.
        family: Family,
    },
    /// Takes such a clearance back.
    EndFamily {
        /// The person's seat.
        seat: SeatId,
        /// The family they were cleared for.
        family: Family,
    },
    /// Says which precautions a person has; replaces what was said before.
    SetPrecautions {
        /// The person's seat.
        seat: SeatId,
        /// All precautions that hold from now on.
        conditions: Vec<Condition>,
    },
    /// Gives a person a form of their own.
    SetForm {
        /// The person's seat.
        seat: SeatId,
        /// The form; it replaces an earlier one for the same drill or family.
        form: PersonalForm,
    },
    /// Takes a personal form away.
    LiftForm {
        /// The person's seat.
        seat: SeatId,
        /// The drill or family it was for.
        of: Of,
    },
    /// Gives a person the easier forms until [`DeskCommand::LiftOff`].
    MarkOff {
        /// The person's seat.
        seat: SeatId,
    },
    /// Gives a person the usual forms again.
    LiftOff {
        /// The person's seat.
        seat: SeatId,
    },
    /// Writes down something to be done after class.
    AddFollowUp {
        /// The seat of the person it is for.
        seat: SeatId,
        /// What needs to be done.
        what: Sentence,
        /// Who does it.
        owner: Name,
        /// The last day on which it should be done.
        due: Date,
    },
    /// Marks a follow-up as done.
    CloseFollowUp {
        /// The follow-up's number.
        id: u32,
        /// What came of it.
        outcome: Sentence,
    },
    /// Corrects how long a person was in the class.
    SetAttendance {
        /// The person's seat.
        seat: SeatId,
        /// How many minutes; 0 is not at all.
        minutes: u32,
        /// Why it was something else than was recorded.
        reason: Sentence,
    },
    /// Says who sits at this desk.
    SayName {
        /// The name of the person at this desk.
        name: Name,
    },
    /// Lets the helper see health notes.
    ShareHealth,
    /// Stops sharing health notes with the helper.
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
    /// Only the desk that leads may give it. Commands for people's safety and for the roster are open to both
    /// desks.
    pub for_the_lead: bool,
    /// It decides what a drill may ask of a person, so only a desk that may see health notes gives it, and the
    /// name said at that desk is kept with it.
    pub clinical: bool,
    /// How long after the press it may still act, in milliseconds; absent where it is never too late. The desk
    /// itself gives up a little earlier and says so; this limit is for what the network held back.
    pub within_ms: Option<i64>,
    /// It is also accepted after the class: what concerns safety does not end with it.
    pub afterwards: bool,
}

impl Rights {
    const BOTH: Self =
        Self { for_the_lead: false, clinical: false, within_ms: Some(8_000), afterwards: false };
    const LEAD: Self = Self { for_the_lead: true, ..Self::BOTH };
    const CLINICAL: Self = Self { clinical: true, ..Self::BOTH };
    /// Looking after a person does no harm when it comes late, and a text must not be lost.
    const AT_ANY_TIME: Self = Self { within_ms: None, afterwards: true, ..Self::BOTH };
}

impl DeskCommand {
    /// Who may give this command, and when.
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
            | Self::MoveStep { .. }
            | Self::TakeOut { .. }
            | Self::SetTime { .. }
            | Self::SwapDose { .. }
            | Self::ShowClue
            | Self::ShowHint
            | Self::ShowAnswer
            | Self::AskEffort
            | Self::End => Rights::LEAD,
            // Better late than never, as long as the class is still in the step in which it was pressed.
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
            | Self::MessageAll { .. }
            | Self::AddFollowUp { .. }
            | Self::CloseFollowUp { .. }
            | Self::SetAttendance { .. }
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
