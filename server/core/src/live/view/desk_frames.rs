//! The shapes of what the desks see. They are filled in by `desk_view`.

use serde::{Deserialize, Serialize};

use crate::drill::Family;
use crate::live::command::Entry;
use crate::live::ids::{DeskRole, ReportId, SeatId, StepId};
use crate::live::said::{CheckIn, ReportState, Said, StopReason};
use crate::live::state::FollowUp;
use crate::live::state::acts::DeskAct;
use crate::live::state::report::Handled;
use crate::live::state::seat::Message;
use crate::live::view::class_frames::StepForm;
use crate::live::view::roster::{Counts, Row};
use crate::people::care::{Condition, PersonalForm};
use crate::people::rules::Strength;
use crate::text::{LanguageTag, Line, Name, Sentence};
use crate::time::EpochMs;

/// What the desks see.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct DeskFrame {
    /// The ledger's number up to which this is true.
    pub seq: u64,
    /// Which desk leads.
    pub lead: DeskRole,
    /// The desk that gave the lead away, and may take it back.
    pub handed_by: Option<DeskRole>,
    /// Whether the helper's desk is connected.
    pub helper_here: bool,
    /// Whether the facilitator's desk is connected.
    pub facilitator_here: bool,
    /// Whether the desk that leads is connected.
    pub lead_here: bool,
    /// The name said at the facilitator's desk.
    pub facilitator: Option<Name>,
    /// The name said at the helper's desk.
    pub helper: Option<Name>,
    /// Whether the helper may see health notes and clear people.
    pub helper_sees_health: bool,
    /// Who may come in by the code.
    pub entry: Entry,
    /// Who asks to come in, oldest first.
    pub asking: Vec<Asking>,
    /// The class in numbers.
    pub counts: Counts,
    /// The roster in the order of attention.
    pub rows: Vec<Row>,
    /// What calls for somebody, in the order of attention. Keys act on the first.
    pub alerts: Vec<Alert>,
    /// How many more there are than fit.
    pub more_alerts: u32,
    /// How many of those whom a swallow drill is for have said that their mouth is empty; only
    /// while the present step is one.
    pub mouths: Option<Mouths>,
    /// The clue with all its words.
    pub clue: Option<DeskClue>,
    /// The answers to the last effort question.
    pub effort: Option<Effort>,
    /// Planned and real time.
    pub pace: Pace,
    /// What desks did lately, newest last.
    pub acts: Vec<DeskAct>,
    /// Grows when the run sheet changes and must be read again.
    pub sheet_rev: u32,
}

/// Something that calls for somebody.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Alert {
    /// A report that is not closed.
    Report(Box<DeskReport>),
    /// A person who stopped, and no desk has seen it.
    Stopped(StoppedRow),
    /// A person who was lost in the middle of a swallow or a hold.
    Lost(LostRow),
}

/// A person who stopped.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct StoppedRow {
    /// Whose.
    pub seat: SeatId,
    /// The name of the person on the seat who stopped.
    pub name: Name,
    /// When.
    pub since: EpochMs,
    /// Why, if said.
    pub reason: Option<StopReason>,
}

/// Somebody who asks to come in.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Asking {
    /// The seat they would have.
    pub seat: SeatId,
    /// The name they gave.
    pub name: Name,
    /// Since when.
    pub at: EpochMs,
    /// Somebody on the roster who may be the same person.
    pub perhaps: Option<Perhaps>,
}

/// Somebody on the roster who may be the one who asks.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Perhaps {
    /// Their seat.
    pub seat: SeatId,
    /// What they are called.
    pub name: Name,
    /// Their screen was lost; else they are expected.
    pub lost: bool,
}

/// A person who was lost in the middle of a swallow or a hold.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct LostRow {
    /// Whose.
    pub seat: SeatId,
    /// The name.
    pub name: Name,
    /// When they were last heard.
    pub heard_at: EpochMs,
    /// The step then.
    pub during: StepId,
    /// Its offset.
    pub during_ms: i64,
    /// The desk that sees to it.
    pub taken_by: Option<DeskRole>,
    /// Where the person is today, as they said.
    pub location: Option<Sentence>,
    /// Whom to call, as they said.
    pub contact: Option<Sentence>,
}

/// Who said that their mouth is empty.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Mouths {
    /// How many said so.
    pub empty: u32,
    /// Of how many.
    pub of: u32,
}

/// How much effort it was, as a spread: never by name.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Effort {
    /// Which question of the class.
    pub number: u32,
    /// Whether it is asked now.
    pub asked: bool,
    /// How many said 0, 1, ... 10.
    pub spread: [u32; 11],
}

/// Somebody for whom swallow drills could be turned on (`GET .../clearing`).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Clearing {
    /// Whose.
    pub seat: SeatId,
    /// The name.
    pub name: Name,
    /// What speaks against doing it without a look; nobody with a doubt is ticked beforehand.
    pub doubts: Vec<Doubt>,
}

/// What speaks against turning swallow drills on for somebody unseen.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Doubt {
    /// Is not here, or their screen is not heard.
    NotHere,
    /// No clinician decided on them yet.
    NotDecided,
    /// Food or drink may go the wrong way.
    Aspiration,
    /// Has not checked in.
    NotCheckedIn,
    /// Said that their mouth is not empty.
    MouthNotEmpty,
    /// Does not feel well.
    NotWell,
    /// Reported discomfort in this class.
    Reported,
    /// Stopped.
    Stopped,
}

/// What a desk sees of one person, on demand.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct PersonCard {
    /// Whose.
    pub seat: SeatId,
    /// The name.
    pub name: Name,
    /// The whole check-in, with place and contact.
    pub check_in: Option<CheckIn>,
    /// Messages, oldest first.
    pub messages: Vec<Message>,
    /// All reports, also closed ones, oldest first.
    pub reports: Vec<DeskReport>,
    /// Follow-ups for this person.
    pub follow_ups: Vec<FollowUp>,
    /// Health notes; absent for a desk that may not see them.
    pub health: Option<Health>,
}

/// What a clinician set for a person.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Health {
    /// Precautions.
    pub precautions: Vec<Condition>,
    /// Who turned swallow drills on for today.
    pub swallow_cleared_by: Option<Name>,
    /// Families cleared for today in spite of a precaution, and by whom.
    pub cleared: Vec<(Family, Name)>,
    /// Personal forms.
    pub forms: Vec<PersonalForm>,
    /// What of the plan is not as it is for this person.
    pub steps: Vec<StepForm>,
}

/// Planned and real time.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Pace {
    /// How long the class is booked for.
    pub class_ms: i64,
    /// When it began.
    pub started_at: Option<EpochMs>,
    /// When the present step was entered.
    pub step_at: Option<EpochMs>,
    /// When it ended.
    pub ended_at: Option<EpochMs>,
}

/// A report as the desk sees it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct DeskReport {
    /// Its id.
    pub id: ReportId,
    /// Whose.
    pub seat: SeatId,
    /// The name of the person on the seat whom it is about.
    pub name: Name,
    /// When the server had it.
    pub at: EpochMs,
    /// What was said, a number as a number.
    pub said: Said,
    /// How strong in words, by the cut-points of the house rules.
    pub strength: Option<Strength>,
    /// The step it came from.
    pub during: Option<StepId>,
    /// Its offset.
    pub during_ms: Option<i64>,
    /// How far it has come.
    pub state: ReportState,
    /// What desks did about it, oldest first.
    pub handled: Vec<Handled>,
    /// Taken back.
    pub taken_back: bool,
    /// It is in the ledger, on disk. An urgent one alarms before it is.
    pub recorded: bool,
    /// Where the person is today, as they said.
    pub location: Option<Sentence>,
    /// Whom to call, as they said.
    pub contact: Option<Sentence>,
}

/// The answer to a clue in another language.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct AnswerIn {
    /// The language, a BCP 47 tag.
    pub language: LanguageTag,
    /// The answer.
    pub answer: Line<60>,
}

/// A clue as the desk sees it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct DeskClue {
    /// Which of the round, from 1; 0 before the first is shown.
    pub number: u32,
    /// How many the round has.
    pub of: u32,
    /// The clue; the first one before it is shown.
    pub clue: Line<200>,
    /// All its hints.
    pub hints: Vec<Line<120>>,
    /// How many of them are shown.
    pub hints_shown: u32,
    /// Its answer.
    pub answer: Line<60>,
    /// Its answer on the screens in other languages.
    pub answer_in: Vec<AnswerIn>,
    /// Whether it is shown.
    pub answer_shown: bool,
    /// Why.
    pub because: Option<Line<120>>,
    /// How many people said something.
    pub said: u32,
    /// How many of them have it, written or spoken.
    pub answered: u32,
}
