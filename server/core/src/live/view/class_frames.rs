//! The shapes of what the class, the wall and one person see, and of the run sheet. `view/class.rs` fills them in.

use serde::{Deserialize, Serialize};

use crate::clue::{Game, Verdict};
use crate::drill::dose::Dose;
use crate::drill::{Family, Reference, Tap};
use crate::live::ids::{DeskRole, MessageId, ReportId, SeatId, StepId};
use crate::live::motion::Move;
use crate::live::said::{HowFar, ReportState, Said};
use crate::live::state::seat::Answer;
use crate::live::view::form::{FormContent, StepForm};
use crate::plan::timeline::Timeline;
use crate::plan::{ForHome, Note, Title};
use crate::text::{Line, Name, Sentence};
use crate::time::EpochMs;

/// What the class screens and walls show. The newest stage is all they need; older ones can be thrown away.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Stage {
    /// Goes up with every change, so a stage with a smaller number is older.
    pub seq: u64,
    /// Before, during or after the class.
    pub phase: StagePhase,
    /// The move in force and those about to take effect, oldest first; empty before the start.
    pub moves: Vec<Move>,
    /// The steps of those moves and the next two; their content can be fetched ahead.
    pub steps: Vec<StepRef>,
    /// The present step's place in the plan, from 1; 0 before the start.
    pub number: u32,
    /// How many steps the plan has.
    pub of: u32,
    /// The clue on the screens.
    pub clue: Option<ClueFrame>,
    /// The number of the effort question, which is asked in the rests; absent when there is none.
    pub effort: Option<u32>,
    /// The facilitator's connection is lost; the class rests when the present step is over.
    pub lead_lost: bool,
    /// Since when everybody has stood still for safety. It looks, sounds and reads unlike any other pause.
    pub safety_pause: Option<EpochMs>,
    /// What people read before the class has begun; absent from then on.
    pub before: Option<Before>,
    /// What people read when the class is over; absent until then.
    pub after: Option<After>,
}

/// Before the class has begun.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Before {
    /// When the class is to start, if that is known.
    pub starts: Option<EpochMs>,
    /// How many people are in the class; from 20 on only the full tens, so that many who come at once do not make
    /// as many frames for everybody.
    pub here: u32,
}

/// After the class.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct After {
    /// How many people took part.
    pub here: u32,
    /// What was done, in the order of the class.
    pub families: Vec<Family>,
    /// How many clues were shown.
    pub clues: u32,
    /// What to do at home, as far as it is for everybody.
    pub home: Vec<ForHome>,
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
    /// The class is running or paused.
    Running,
    /// The class is over.
    Ended,
}

/// Names the content of a step. The content of one id and revision never changes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct StepRef {
    /// The step's id.
    pub id: StepId,
    /// The step's revision.
    pub rev: u32,
}

/// What is shown of a clue so far, never more than the facilitator has shown.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct ClueFrame {
    /// The clue's number in the round, from 1.
    pub number: u32,
    /// How many clues the round has.
    pub of: u32,
    /// The clue.
    pub clue: Line<200>,
    /// The hints shown so far.
    pub hints: Vec<Line<120>>,
    /// A place for each letter of the answer, `_` where the hints do not tell it yet, with a space between words; absent
    /// until their number is known, and once the answer is shown.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "ts-rs", ts(optional))]
    pub letters: Option<Line<60>>,
    /// The answer, once shown.
    pub answer: Option<Line<60>>,
    /// Why that is the answer, once it is shown.
    pub because: Option<Line<120>>,
    /// What people are asked to do.
    pub game: Game,
    /// When the newest of these words are to be shown everywhere at once: one lead time after they were sent.
    pub from: EpochMs,
    /// The countdown beside this clue, if it has one.
    pub counter: Option<Counter>,
}

/// A countdown beside a clue.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Counter {
    /// When it starts.
    pub from: EpochMs,
    /// How long it runs, in milliseconds.
    pub length_ms: i64,
}

/// The words, pictures and timeline of a step, fetched ahead over HTTP.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Content {
    /// The step's id.
    pub id: StepId,
    /// The step's revision.
    pub rev: u32,
    /// The kind of step.
    pub kind: ContentKind,
    /// The title on the screens.
    pub title: Title,
    /// What the drill is for.
    pub purpose: Option<Line<200>>,
    /// The caution that matters most.
    pub caution: Option<Line<200>>,
    /// How to do the easier form, in one plain sentence.
    pub easier: Option<Line<120>>,
    /// The other forms that have a clock of their own.
    pub forms: Vec<FormContent>,
    /// The pose that the picture shows.
    pub pose: Option<Line<40>>,
    /// Names and poses of the sides; spans refer to them by index. A single side has no name.
    pub sides: Vec<SideContent>,
    /// Repetitions in a set.
    pub reps: u32,
    /// Sets.
    pub sets: u32,
    /// Whether people look away from the screen.
    pub eyes_away: bool,
    /// When the screen may ask for a tap.
    pub tap: Tap,
    /// A swallow drill: everyone's mouth must be empty.
    pub swallow: bool,
    /// The timeline; empty for steps without a clock.
    pub timeline: Timeline,
}

/// A side's name and pose.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct SideContent {
    /// The side's name; absent where there is only one.
    pub name: Option<Line<60>>,
    /// The side's pose; absent where it is the drill's own.
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

/// What only one person sees, besides the stage.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Mine {
    /// The person's seat.
    pub seat: SeatId,
    /// The person's name.
    pub name: Name,
    /// The name of the second person on this device.
    pub partner: Option<Name>,
    /// Whether the person has checked in.
    pub checked_in: bool,
    /// Where a latecomer begins to take part.
    pub joins: Option<JoinPoint>,
    /// The step that `answer` and `far` are about: the present one.
    pub step: Option<StepId>,
    /// What the person said about that step.
    pub answer: Option<Answer>,
    /// How far the person got in its open hold.
    pub far: Option<HowFar>,
    /// How many steps the person said they had done.
    pub did: u32,
    /// What each of the stage's steps asks of this person. A drill that is not named here is not for them.
    pub forms: Vec<StepForm>,
    /// True from a stop until the person goes on.
    pub stopped: bool,
    /// Whether the person said why they stopped.
    pub reason_given: bool,
    /// Whether a desk has asked the person to rest.
    pub rest_asked: bool,
    /// The person's own reports, oldest first; of those that are over, only the newest few.
    pub reports: Vec<MyReport>,
    /// The oldest message that the person has not read yet.
    pub message: Option<MyMessage>,
    /// The clue that the person answered last in this step.
    pub clue: Option<MyClue>,
    /// What the person last said about their mouth before a swallow drill.
    pub mouth_empty: Option<bool>,
    /// The number of the effort question that the person answered last.
    pub effort_said: Option<u32>,
    /// What the person does at home; empty until the class is over.
    pub home: Vec<ForHome>,
}

/// A message to one person.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct MyMessage {
    /// The message's id.
    pub id: MessageId,
    /// The text of the message.
    pub text: Sentence,
    /// The desk that sent it.
    pub from: DeskRole,
}

/// A latecomer waits until the session reaches this offset of the step, or another step.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct JoinPoint {
    /// The step that was running when they came.
    pub step: StepId,
    /// The offset of its next boundary, in milliseconds.
    pub offset_ms: i64,
}

/// A person's own report.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct MyReport {
    /// The report's id.
    pub id: ReportId,
    /// Later reports that were added to this one because it was still open.
    pub also: Vec<ReportId>,
    /// When the server first had it.
    pub at: EpochMs,
    /// What was said, so that a page that reloads can go on from there.
    pub said: Said,
    /// How far it has come.
    pub state: ReportState,
    /// The desk that handled it last.
    pub seen_by: Option<DeskRole>,
    /// The name said at that desk.
    pub seen_by_name: Option<Name>,
    /// Whether it is resolved or taken back.
    pub over: bool,
}

/// A line of the run sheet.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct SheetStep {
    /// The step's id.
    pub id: StepId,
    /// The step's revision.
    pub rev: u32,
    /// The kind of step.
    pub kind: ContentKind,
    /// The family of drills, if the step is a drill.
    pub family: Option<Family>,
    /// Whether it was put in during the class, so that it can be moved and taken out.
    pub inserted: bool,
    /// The title on the screens.
    pub title: Title,
    /// The facilitator's private note.
    pub note: Option<Note>,
    /// How long the plan allows for it, in milliseconds.
    pub planned_ms: i64,
    /// The dose, if the step is a drill.
    pub dose: Option<Dose>,
    /// All cautions, the most important one first.
    pub cautions: Vec<Line<200>>,
    /// Who needs to be cleared first.
    pub clearance: Vec<Line<200>>,
    /// Where the dose and the cautions come from.
    pub sources: Vec<Reference>,
    /// What to know about weak or missing evidence.
    pub evidence: Option<Line<300>>,
    /// How to do the harder form, in one plain sentence.
    pub harder: Option<Line<120>>,
}

/// What a person said to a clue.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct MyClue {
    /// The clue's number in the round, from 1.
    pub number: u32,
    /// What their word was worth; absent when they have it without writing.
    pub word: Option<Verdict>,
}
