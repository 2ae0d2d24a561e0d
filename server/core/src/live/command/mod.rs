//! What people can ask of a session.

use serde::{Deserialize, Serialize};

use crate::drill::Family;
use crate::drill::dose::DoseChange;
use crate::library::Library;
use crate::live::ids::{DeskRole, MessageId, ReportId, SeatId, StepId};
use crate::live::presence::Presence;
use crate::live::said::{CheckIn, HowFar, Mark, ReportState, Said, StopReason, Whose};
use crate::people::care::{Condition, Of, PersonalForm};
use crate::plan::StepRequest;
use crate::text::{Line, Name, Sentence};
use crate::time::EpochMs;
use crate::time::day::Date;

/// What a command is decided with besides the state.
#[derive(Debug, Clone, Copy)]
pub struct Context<'a> {
    /// The server's clock.
    pub now: EpochMs,
    /// How far ahead something set moving takes effect, so that every screen has it before.
    pub lead_ms: i64,
    /// Where drills are looked up.
    pub library: &'a Library,
    /// Who is connected.
    pub presence: &'a Presence,
    /// Where and when a desk's key was pressed, where the desk said so.
    pub pressed: Option<Pressed>,
}

/// What was on a desk's screen when its key was pressed. What moves the class acts only there: a key that comes
/// twice, or after the class went on, does nothing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Pressed {
    /// The present step; nothing before the start.
    pub step: Option<StepId>,
    /// The number of the clue on the screens; 0 before the first, and where there is none.
    pub clue: u32,
    /// How many of its hints were shown.
    pub hints: u32,
    /// When, by the desk's estimate of the server's clock; nothing while it has none.
    pub at: Option<EpochMs>,
}

/// Anything that can be asked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Command {
    /// Somebody joins by the code, or asks to.
    TakeSeat {
        /// How the person wants to be called.
        name: Name,
    },
    /// Somebody opens their personal link.
    Arrive {
        /// The seat it leads to.
        seat: SeatId,
    },
    /// The server noticed something.
    Notice(Noticed),
    /// A desk's command.
    Desk(DeskCommand),
    /// A participant's command.
    Seat(SeatCommand),
}

/// What the server notices by itself.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Noticed {
    /// A person is not heard any more, in the middle of a swallow or a hold.
    Lost(SeatId),
    /// A lost person is heard again.
    Found(SeatId),
    /// The desk that leads is not heard any more.
    LeadLost,
    /// It is heard again.
    LeadBack,
}

/// Who may come in by the code.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Entry {
    /// Everybody who has it.
    #[default]
    Code,
    /// Whoever a desk lets in.
    Ask,
    /// Nobody; personal links still work.
    Closed,
}

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

/// What a participant can ask.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "do", rename_all = "snake_case", deny_unknown_fields)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum SeatCommand {
    /// The check-in before the start; can be given again.
    CheckIn {
        /// What was tapped.
        answers: CheckIn,
    },
    /// Did the step.
    Done {
        /// Which.
        step: StepId,
    },
    /// Takes *Done* back.
    Undo {
        /// Of which step.
        step: StepId,
    },
    /// How far an open hold went.
    HowFar {
        /// Of which step.
        step: StepId,
        /// Up to which mark.
        far: HowFar,
    },
    /// Stops. Without a reason first; the reason can follow.
    Stop {
        /// Why, when said.
        reason: Option<StopReason>,
        /// Who of the seat.
        #[serde(default)]
        whose: Whose,
    },
    /// The stop was a slip of the finger.
    UndoStop,
    /// Can go on after a stop.
    GoOn,
    /// Reports discomfort; stops as well. Sent again with the same report id it completes it.
    Report {
        /// Made by the browser, so that it counts once.
        report: ReportId,
        /// What was said so far.
        said: Said,
    },
    /// Takes a report back; it stays in the record.
    TakeBack {
        /// Which.
        report: ReportId,
    },
    /// Says whether the mouth is empty, before the first swallow drill.
    ConfirmMouth {
        /// Whether it is.
        empty: bool,
    },
    /// How much effort it was.
    SayEffort {
        /// Which question of the class, from 1.
        number: u32,
        /// From 0 to 10.
        score: u8,
    },
    /// Answers the clue that is shown.
    AnswerClue {
        /// Of which round.
        step: StepId,
        /// Which clue of the round, from 1.
        number: u32,
        /// The word, or nothing for a spoken "got it".
        word: Option<Line<60>>,
    },
    /// Read a message.
    ReadMessage {
        /// Which.
        message: MessageId,
    },
    /// Leaves the class.
    Leave,
}
