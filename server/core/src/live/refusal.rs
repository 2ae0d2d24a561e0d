//! Why a command is refused: a name for programs and a sentence for people.

use crate::live::state::seat::MOST_SEATS;

/// Why a command was refused. A refused command changes nothing.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Refusal {
    /// Commands of this kind do not belong to this person.
    #[error("this is not yours to do")]
    NotYours,
    /// The desk does not lead.
    #[error("the other desk leads; ask for the desk first")]
    NotLeading,
    /// The other desk is connected and has not handed over.
    #[error("the other desk is here and leads; it can hand the desk over")]
    StillLed,
    /// Only a desk that may see health notes can do this.
    #[error("only a clinician can do this; the facilitator can allow the helper to see health notes")]
    NotClinical,
    /// Only a clinician's account may do this.
    #[error("only a desk that a clinician opened from their own account decides this")]
    NotClinician,
    /// A clinical command from a desk without a name.
    #[error("enter your name at the desk first; it is kept with what you clear")]
    NoName,
    /// The person asked to come in and was not let in yet, or was turned away or taken out.
    #[error("this seat is not in the class")]
    NotIn,
    /// As many people as allowed are already asking to come in.
    #[error("many people are asking to come in just now; try again in a moment")]
    ManyAsk,
    /// The code is switched off.
    #[error("nobody can come in with the code now; ask for a personal link")]
    EntryClosed,
    /// People were let in so long ago that the code no longer works.
    #[error(
        "this code was for a class that opened more than a day ago; ask for a new one or a personal link"
    )]
    CodeOver,
    /// No open follow-up has this number.
    #[error("there is no open follow-up with that number")]
    NoSuchFollowUp,
    /// People are not let in yet, or no longer.
    #[error("the class is not open")]
    NotOpen,
    /// The class has not begun.
    #[error("the class has not started yet")]
    NotStarted,
    /// The class has already begun.
    #[error("the class has already started")]
    AlreadyStarted,
    /// The class is over.
    #[error("the class has ended")]
    Ended,
    /// No step has this id.
    #[error("there is no step {0}")]
    NoSuchStep(u32),
    /// No seat has this id, or the person is not in the class any more.
    #[error("there is no seat {0}")]
    NoSuchSeat(u32),
    /// Nobody sent a report with this id, or somebody else did.
    #[error("there is no such report")]
    NoSuchReport,
    /// The class is at the last step.
    #[error("this is the last step; end the class when you are done")]
    LastStep,
    /// The class is at the first step.
    #[error("this is the first step")]
    FirstStep,
    /// The class already stands still.
    #[error("the class is already paused")]
    Paused,
    /// The key was pressed at a step or clue that the class has since left.
    #[error("the class has already gone on; press again if you mean it")]
    MovedMeanwhile,
    /// The key was pressed so long ago that it may no longer be meant.
    #[error("this was pressed a while ago and arrived late; press again if you mean it")]
    TooLate,
    /// The class stands still for safety.
    #[error("the class is paused for safety; only `Resume the class` ends that")]
    SafetyPause,
    /// Nobody is there to take over the desk.
    #[error("nobody is at the other desk; the lead stays here")]
    NobodyThere,
    /// Nobody with a screen is in the class.
    #[error("nobody with a screen is here to read it")]
    NobodyToRead,
    /// The class does not stand still.
    #[error("the class is not paused")]
    NotPaused,
    /// The step has no clock.
    #[error("this step has no clock")]
    NoClock,
    /// The step's clock has run out.
    #[error("this step's clock has run out")]
    ClockOver,
    /// The span is about to end anyway.
    #[error("this ends in a moment anyway")]
    EndsAnyway,
    /// The class is not in a clue round, or no clue is shown.
    #[error("no clue is on the screens")]
    NoClue,
    /// The round has nothing more to show.
    #[error("there is nothing left to show here")]
    NothingLeft,
    /// Everything is already as asked.
    #[error("nothing would change")]
    NoChange,
    /// All seats are taken.
    #[error("the class is full: it has {MOST_SEATS} seats")]
    Full,
    /// A number, step or dose that is not possible; the sentence says why.
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
            Self::NotClinician => "not_clinician",
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
            Self::NobodyToRead => "nobody_to_read",
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
