//! Why a command is not carried out, in a name for programs and a sentence for people.

use crate::live::state::seat::MOST_SEATS;

/// Why a command was not carried out. A refused command changes nothing.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Refusal {
    /// The kind of command does not belong to this person.
    #[error("this is not yours to do")]
    NotYours,
    /// A desk that does not lead.
    #[error("the other desk leads; ask for the desk first")]
    NotLeading,
    /// The other desk is connected and has not handed over.
    #[error("the other desk is here and leads; it can hand the desk over")]
    StillLed,
    /// Only whoever may see health notes.
    #[error("only a clinician does this; the facilitator can allow the helper to see health notes")]
    NotClinical,
    /// A clinician's act without a clinician's name.
    #[error("say your name at the desk first; it is kept with what you clear")]
    NoName,
    /// Asked to come in and was not let in yet, or was turned away or taken out.
    #[error("this seat is not in the class")]
    NotIn,
    /// So many ask to come in that no more can.
    #[error("many people ask to come in just now; try again in a moment")]
    ManyAsk,
    /// The entry by the code is closed.
    #[error("nobody can come in by the code now; ask for a personal link")]
    EntryClosed,
    /// People were let in so long ago that the code is not for them any more.
    #[error(
        "this code was for a class that opened more than a day ago; ask for a new one or a personal link"
    )]
    CodeOver,
    /// No follow-up of that number that is open.
    #[error("there is no open follow-up of that number")]
    NoSuchFollowUp,
    /// People are not let in yet, or no longer.
    #[error("the class is not open")]
    NotOpen,
    /// The class has not begun.
    #[error("the class has not started yet")]
    NotStarted,
    /// Begun already.
    #[error("the class has already started")]
    AlreadyStarted,
    /// Over.
    #[error("the class has ended")]
    Ended,
    /// No step of that id.
    #[error("there is no step {0}")]
    NoSuchStep(u32),
    /// No seat of that id, or it is gone.
    #[error("there is no seat {0}")]
    NoSuchSeat(u32),
    /// A report id that nobody sent, or somebody else's.
    #[error("there is no such report")]
    NoSuchReport,
    /// The last step.
    #[error("this is the last step; end the class when you are done")]
    LastStep,
    /// The first step.
    #[error("this is the first step")]
    FirstStep,
    /// Standing still already.
    #[error("the class is paused already")]
    Paused,
    /// Pressed in a step, or with a clue, that the class has left.
    #[error("the class has gone on already; press again if you mean it")]
    MovedMeanwhile,
    /// Pressed so long ago that it may not be meant any more.
    #[error("this was pressed a while ago and arrived late; press again if you mean it")]
    TooLate,
    /// The class stands still for safety.
    #[error("the class is paused for safety; only `Resume the class` ends that")]
    SafetyPause,
    /// The desk is to be handed to somebody who is not there.
    #[error("nobody is at the other desk; the lead stays here")]
    NobodyThere,
    /// Not standing still.
    #[error("the class is not paused")]
    NotPaused,
    /// A step that has no clock.
    #[error("this step has no clock")]
    NoClock,
    /// The step's clock has run out.
    #[error("this step's clock has run out")]
    ClockOver,
    /// The span ends anyway.
    #[error("this ends in a moment anyway")]
    EndsAnyway,
    /// Not in a clue round, or no clue shown.
    #[error("no clue is on the screens")]
    NoClue,
    /// The round has no more.
    #[error("nothing is left to show here")]
    NothingLeft,
    /// Everything is the same already.
    #[error("nothing would change")]
    NoChange,
    /// Too many seats.
    #[error("the class is full: it has {MOST_SEATS} seats")]
    Full,
    /// A step or dose that cannot be; the sentence says why.
    #[error("{0}")]
    Wrong(String),
}

impl Refusal {
    /// A stable name for programs.
    #[must_use]
    pub fn code(&self) -> &'static str {
        match self {
            Self::NotYours => "not_yours",
            Self::NotLeading => "not_leading",
            Self::StillLed => "still_led",
            Self::NotClinical => "not_clinical",
            Self::NoName => "no_name",
            Self::NotIn => "not_in",
            Self::ManyAsk => "many_ask",
            Self::EntryClosed => "entry_closed",
            Self::CodeOver => "code_over",
            Self::NoSuchFollowUp => "no_such_follow_up",
            Self::NotOpen => "not_open",
            Self::NotStarted => "not_started",
            Self::AlreadyStarted => "already_started",
            Self::Ended => "ended",
            Self::NoSuchStep(_) => "no_such_step",
            Self::NoSuchSeat(_) => "no_such_seat",
            Self::NoSuchReport => "no_such_report",
            Self::LastStep => "last_step",
            Self::FirstStep => "first_step",
            Self::Paused => "paused",
            Self::MovedMeanwhile => "moved_meanwhile",
            Self::TooLate => "too_late",
            Self::SafetyPause => "safety_pause",
            Self::NobodyThere => "nobody_there",
            Self::NotPaused => "not_paused",
            Self::NoClock => "no_clock",
            Self::ClockOver => "clock_over",
            Self::EndsAnyway => "ends_anyway",
            Self::NoClue => "no_clue",
            Self::NothingLeft => "nothing_left",
            Self::NoChange => "no_change",
            Self::Full => "full",
            Self::Wrong(_) => "wrong",
        }
    }
}
