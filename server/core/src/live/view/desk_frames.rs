//! The shapes of what the desks see. `view/desk.rs` fills them in.

use serde::{Deserialize, Serialize};

use crate::drill::Family;
use crate::live::command::Entry;
use crate::live::ids::{DeskRole, ReportId, SeatId, StepId};
use crate::live::said::{CheckIn, ReportState, Said, StopReason};
use crate::live::state::FollowUp;
use crate::live::state::acts::DeskAct;
use crate::live::state::report::Handled;
use crate::live::state::seat::Message;
use crate::live::view::form::StepForm;
use crate::live::view::roster::{Counts, Row};
use crate::people::care::{Condition, PersonalForm};
use crate::people::rules::Strength;
use crate::text::{LanguageTag, Line, Name, Sentence};
use crate::time::EpochMs;

/// What the desks see.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct DeskFrame {
    /// The number of the last ledger line that this frame includes.
    pub seq: u64,
    /// The desk that leads.
    pub lead: DeskRole,
    /// The desk that gave the lead away and may take it back.
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
    /// Who may come in with the code.
    pub entry: Entry,
    /// The people who ask to come in, oldest first.
    pub asking: Vec<Asking>,
    /// The class in numbers.
    pub counts: Counts,
    /// The roster in the order of attention.
    pub rows: Vec<Row>,
    /// What needs somebody's attention, in order; keys act on the first.
    pub alerts: Vec<Alert>,
    /// How many more alerts there are than fit.
    pub more_alerts: u32,
    /// How many of the people who are to do the present swallow drill have said that their mouth is empty; absent
    /// while the present step is not a swallow drill.
    pub mouths: Option<Mouths>,
    /// The present clue with its answer and hints.
    pub clue: Option<DeskClue>,
    /// The answers to the last effort question.
    pub effort: Option<Effort>,
    /// Planned and actual time.
    pub pace: Pace,
    /// What the desks did lately, newest last.
    pub acts: Vec<DeskAct>,
    /// Goes up when the run sheet changes and must be fetched again.
    pub sheet_rev: u32,
}

/// Something that needs somebody's attention.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Alert {
    /// A report that is not closed.
    Report(Box<DeskReport>),
    /// A person who stopped, which no desk has seen yet.
    Stopped(StoppedRow),
    /// A person who was lost in the middle of a swallow or a hold.
    Lost(LostRow),
}

/// A person who stopped.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct StoppedRow {
    /// The person's seat.
    pub seat: SeatId,
    /// The name of the person who stopped; a seat can have two people.
    pub name: Name,
    /// When they stopped.
    pub since: EpochMs,
    /// Why, if they said so.
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
    /// When they asked.
    pub at: EpochMs,
    /// Somebody on the roster who may be the same person.
    pub perhaps: Option<Perhaps>,
}

/// Somebody on the roster who may be the person who asks.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Perhaps {
    /// Their seat.
    pub seat: SeatId,
    /// The name shown for them.
    pub name: Name,
    /// Whether their screen was lost; otherwise they are expected.
    pub lost: bool,
}

/// A person who was lost in the middle of a swallow or a hold.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct LostRow {
    /// The person's seat.
    pub seat: SeatId,
    /// The person's name.
    pub name: Name,
    /// When they were last heard from.
    pub heard_at: EpochMs,
    /// The step that was running then.
    pub during: StepId,
    /// The offset in that step, in milliseconds.
    pub during_ms: i64,
    /// The desk that is looking after it.
    pub taken_by: Option<DeskRole>,
    /// Where the person is today, as they said.
    pub location: Option<Sentence>,
    /// Whom to call, as they said.
    pub contact: Option<Sentence>,
}

/// How many people have said that their mouth is empty.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Mouths {
    /// How many have said so.
    pub empty: u32,
    /// How many should.
    pub of: u32,
}

/// How much effort it was, as a spread that names nobody.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Effort {
    /// The number of the question in this class, from 1.
    pub number: u32,
    /// Whether it is being asked now.
    pub asked: bool,
    /// How many people answered 0, 1, ... 10.
    pub spread: [u32; 11],
}

/// Somebody for whom swallow drills could be turned on (`GET .../clearing`).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Clearing {
    /// The person's seat.
    pub seat: SeatId,
    /// The person's name.
    pub name: Name,
    /// Reasons not to do it without a look; people with a doubt are not ticked beforehand.
    pub doubts: Vec<Doubt>,
}

/// A reason not to turn swallow drills on for somebody without a look.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Doubt {
    /// Is not here, or their screen is not heard from.
    NotHere,
    /// No clinician has decided about them yet.
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
    /// Has stopped.
    Stopped,
}

/// What a desk sees of one person, on demand.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct PersonCard {
    /// The person's seat.
    pub seat: SeatId,
    /// The person's name.
    pub name: Name,
    /// The whole check-in, including place and contact.
    pub check_in: Option<CheckIn>,
    /// Messages, oldest first.
    pub messages: Vec<Message>,
    /// All reports, including closed ones, oldest first.
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
    /// The person's precautions.
    pub precautions: Vec<Condition>,
    /// The clinician who turned swallow drills on for today.
    pub swallow_cleared_by: Option<Name>,
    /// Families cleared for today in spite of a precaution, and the clinician who did it.
    pub cleared: Vec<(Family, Name)>,
    /// The person's own forms.
    pub forms: Vec<PersonalForm>,
    /// The steps of the plan that this person does differently.
    pub steps: Vec<StepForm>,
}

/// Planned and actual time.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Pace {
    /// How long the class is booked for.
    pub class_ms: i64,
    /// When the class began.
    pub started_at: Option<EpochMs>,
    /// When the present step was entered.
    pub step_at: Option<EpochMs>,
    /// When the class ended.
    pub ended_at: Option<EpochMs>,
}

/// A report as the desk sees it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct DeskReport {
    /// The report's id.
    pub id: ReportId,
    /// The seat of the person who reported.
    pub seat: SeatId,
    /// The name of the person it is about; a seat can have two people.
    pub name: Name,
    /// When the server first had it.
    pub at: EpochMs,
    /// What was said; a strength given as a number stays a number.
    pub said: Said,
    /// How strong it is in words, by the cut-points of the house rules.
    pub strength: Option<Strength>,
    /// The step it was made in.
    pub during: Option<StepId>,
    /// The offset in that step, in milliseconds.
    pub during_ms: Option<i64>,
    /// How far it has come.
    pub state: ReportState,
    /// What desks did about it, oldest first.
    pub handled: Vec<Handled>,
    /// Whether the person took it back.
    pub taken_back: bool,
    /// Whether it is in the ledger, on disk. An urgent report raises the alarm before it is.
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
    /// The clue's number in the round, from 1; 0 before the first one is shown.
    pub number: u32,
    /// How many clues the round has.
    pub of: u32,
    /// The clue; before the first one is shown, that first clue.
    pub clue: Line<200>,
    /// All hints of the clue.
    pub hints: Vec<Line<120>>,
    /// How many of the hints are shown.
    pub hints_shown: u32,
    /// The answer.
    pub answer: Line<60>,
    /// The answer in the other languages that screens show it in.
    pub answer_in: Vec<AnswerIn>,
    /// Whether the answer is shown.
    pub answer_shown: bool,
    /// Why that is the answer.
    pub because: Option<Line<120>>,
    /// How many people answered.
    pub said: u32,
    /// How many people have the answer, written or not.
    pub answered: u32,
}
