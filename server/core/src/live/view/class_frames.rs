//! The shapes of what the class (and the wall) and one person see, and of the run sheet. They are
//! filled in by `view`.

use serde::{Deserialize, Serialize};

use crate::clue::{Game, Verdict};
use crate::drill::dose::Dose;
use crate::drill::{Reference, Tap};
use crate::live::ids::{DeskRole, MessageId, ReportId, SeatId, StepId};
use crate::live::motion::Move;
use crate::live::said::{HowFar, ReportState, Said};
use crate::live::state::seat::Answer;
use crate::live::view::form::Form;
use crate::plan::timeline::Timeline;
use crate::plan::{Note, Title};
use crate::text::{Line, Name, Sentence};
use crate::time::EpochMs;

/// The newest stage is all a class screen or wall needs; older ones can be thrown away.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Stage {
    /// Grows with every change; a stage with a smaller number is older.
    pub seq: u64,
    /// Before, during or after the class.
    pub phase: StagePhase,
    /// The move in force and those about to take effect, oldest first; empty before the start.
    pub moves: Vec<Move>,
    /// The steps of those moves and the next two, whose content can be fetched ahead.
    pub steps: Vec<StepRef>,
    /// The present step's place in the plan, from 1; 0 before the start.
    pub number: u32,
    /// How many steps the plan has.
    pub of: u32,
    /// The clue on the screens.
    pub clue: Option<ClueFrame>,
    /// The question of how much effort it was, by its number, to be asked in rests.
    pub effort: Option<u32>,
    /// The facilitator's connection is lost; the class waits in a rest when the step is over.
    pub lead_lost: bool,
    /// Since when everybody stands still for safety: unlike a pause in look, sound and words.
    pub safety_pause: Option<EpochMs>,
}

/// Before, during or after the class.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum StagePhase {
    /// People are not let in yet.
    Closed,
    /// People are let in; the class has not begun.
    Waiting,
    /// The class runs, or is paused.
    Running,
    /// Over.
    Ended,
}

/// Names the content of a step. Content of one id and revision never changes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct StepRef {
    /// The step.
    pub id: StepId,
    /// Its revision.
    pub rev: u32,
}

/// What is shown of a clue so far: never more than the facilitator has shown.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct ClueFrame {
    /// Which of the round, from 1.
    pub number: u32,
    /// How many the round has.
    pub of: u32,
    /// The clue.
    pub clue: Line<200>,
    /// The hints shown so far.
    pub hints: Vec<Line<120>>,
    /// The answer, once shown.
    pub answer: Option<Line<60>>,
    /// Why, once the answer is shown.
    pub because: Option<Line<120>>,
    /// What is asked.
    pub game: Game,
    /// When the newest of these words are to be shown, everywhere at once: a lead after they were sent.
    pub from: EpochMs,
    /// When the counter of this clue began, if it has one, and how long it runs.
    pub counter: Option<Counter>,
}

/// A counter beside a clue.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Counter {
    /// When it begins.
    pub from: EpochMs,
    /// How long it runs.
    pub length_ms: i64,
}

/// The words, pictures and timeline of a step, fetched ahead over HTTP.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Content {
    /// The step.
    pub id: StepId,
    /// Its revision.
    pub rev: u32,
    /// What it is.
    pub kind: ContentKind,
    /// Its head.
    pub title: Title,
    /// What the drill is for.
    pub purpose: Option<Line<200>>,
    /// The caution that matters most.
    pub caution: Option<Line<200>>,
    /// The easier form, in one plain sentence.
    pub easier: Option<Line<120>>,
    /// The pose of the picture.
    pub pose: Option<Line<40>>,
    /// Names and poses of the sides, by the index that spans use; names are absent where there is
    /// only one.
    pub sides: Vec<SideContent>,
    /// Repetitions in a set.
    pub reps: u32,
    /// Sets.
    pub sets: u32,
    /// Whether eyes leave the screen.
    pub eyes_away: bool,
    /// When a tap may be asked for.
    pub tap: Tap,
    /// A swallow drill: everyone's mouth must be empty.
    pub swallow: bool,
    /// The clock; empty for steps without one.
    pub timeline: Timeline,
}

/// A side's name and pose.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct SideContent {
    /// Its name.
    pub name: Option<Line<60>>,
    /// Its pose.
    pub pose: Option<Line<40>>,
}

/// Kinds of content.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
#[allow(missing_docs, reason = "named as in plans")]
pub enum ContentKind {
    Drill,
    Talk,
    CheckIn,
    Sip,
    Effort,
    Clues,
}

/// What only one person sees.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Mine {
    /// The seat.
    pub seat: SeatId,
    /// The name.
    pub name: Name,
    /// The second name on this device.
    pub partner: Option<Name>,
    /// Whether the check-in was given.
    pub checked_in: bool,
    /// Where a latecomer begins to take part.
    pub joins: Option<JoinPoint>,
    /// The step that `answer` and `far` belong to: the present one.
    pub step: Option<StepId>,
    /// What the person said of it.
    pub answer: Option<Answer>,
    /// How far the open hold went.
    pub far: Option<HowFar>,
    /// How many steps the person said they did.
    pub did: u32,
    /// What each of the stage's steps asks of this person. A drill that is not named here is not
    /// for them until it is.
    pub forms: Vec<StepForm>,
    /// Set from a stop until the person goes on.
    pub stopped: bool,
    /// The stop's reason was said.
    pub reason_given: bool,
    /// A desk asked the person to rest.
    pub rest_asked: bool,
    /// The person's own reports, oldest first; of those that are over only the newest few.
    pub reports: Vec<MyReport>,
    /// The oldest message not read yet.
    pub message: Option<MyMessage>,
    /// The clue that the person answered last in this step.
    pub clue: Option<MyClue>,
    /// What the person last said of their mouth before a swallow drill.
    pub mouth_empty: Option<bool>,
    /// The number of the effort question that the person answered last.
    pub effort_said: Option<u32>,
}

/// What a step asks of one person.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct StepForm {
    /// The step.
    pub step: StepId,
    /// What it asks.
    pub form: Form,
}

/// A message to one person.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct MyMessage {
    /// Which.
    pub id: MessageId,
    /// What.
    pub text: Sentence,
    /// From which desk.
    pub from: DeskRole,
}

/// A latecomer waits until the session is at this offset of the step, or at another step.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct JoinPoint {
    /// The step that was running.
    pub step: StepId,
    /// Where its next boundary is.
    pub offset_ms: i64,
}

/// A person's own report.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct MyReport {
    /// Its id.
    pub id: ReportId,
    /// Reports that became part of it, since it was open when they came.
    pub also: Vec<ReportId>,
    /// When the server had it.
    pub at: EpochMs,
    /// What was said, so that a page that reloads goes on where it was.
    pub said: Said,
    /// How far it has come.
    pub state: ReportState,
    /// The desk that saw to it last.
    pub seen_by: Option<DeskRole>,
    /// The name said at that desk.
    pub seen_by_name: Option<Name>,
    /// Dealt with or taken back.
    pub over: bool,
}

/// A line of the run sheet.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct SheetStep {
    /// The step.
    pub id: StepId,
    /// Its revision.
    pub rev: u32,
    /// What it is.
    pub kind: ContentKind,
    /// Its head.
    pub title: Title,
    /// Private note.
    pub note: Option<Note>,
    /// What the plan allows.
    pub planned_ms: i64,
    /// Its dose, if it is a drill.
    pub dose: Option<Dose>,
    /// All cautions.
    pub cautions: Vec<Line<200>>,
    /// Who should be cleared first.
    pub clearance: Vec<Line<200>>,
    /// Where dose and cautions come from.
    pub sources: Vec<Reference>,
    /// What to know about weak or null evidence.
    pub evidence: Option<Line<300>>,
    /// The harder form.
    pub harder: Option<Line<120>>,
}

/// What a person said to a clue.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct MyClue {
    /// Which clue of the round, from 1.
    pub number: u32,
    /// What their word was; nothing when they have it without writing.
    pub word: Option<Verdict>,
}
