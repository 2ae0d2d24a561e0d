//! The parts of the record of a class.

use serde::{Deserialize, Serialize};

use crate::drill::DrillId;
use crate::live::{
    Answer, Attendance, CheckIn, ContentKind, Form, Handled, HomeLog, HowFar, ReportId, ReportState, Said,
    SeatId, StepId, StopReason, Whose,
};
use crate::people::person::PersonId;
use crate::people::rules::Strength;
use crate::plan::timeline::Figures;
use crate::plan::{ForHome, Title};
use crate::record::holds::Held;
use crate::text::Name;
use crate::time::EpochMs;

/// A class that is over, or as far as it has come.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct ClassRecord {
    /// What it was called.
    pub title: Title,
    /// When its first step began; absent when none did.
    pub started_at: Option<EpochMs>,
    /// When it ended; absent while it goes on.
    pub ended_at: Option<EpochMs>,
    /// How many whole minutes it took.
    pub minutes: u32,
    /// The names said at its desks.
    pub led_by: Vec<Name>,
    /// What it was given to take home.
    pub home: Vec<ForHome>,
    /// Everybody who was expected or came, in the order of their seats.
    pub people: Vec<PersonRecord>,
    /// Its steps, in their order.
    pub steps: Vec<StepRecord>,
    /// What was reported, the oldest first. What somebody took back stays.
    pub reports: Vec<ReportRecord>,
}

impl ClassRecord {
    /// The record without what was set for people and what they said of themselves, for a desk that may not see that.
    #[must_use]
    pub fn without_health(mut self) -> Self {
        for person in &mut self.people {
            person.steps.clear();
            person.efforts.clear();
            person.check_in = None;
            person.practised.clear();
            person.to_follow_up = false;
        }
        self
    }
}

/// In which way somebody was there.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Attended {
    /// By a screen.
    Screen,
    /// By telephone.
    Phone,
    /// Somebody wrote down that they were; nothing else shows it.
    ByHand,
    /// Not at all.
    No,
}

/// What a class was for one person.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct PersonRecord {
    /// Their seat.
    pub seat: SeatId,
    /// Who it is, if they are enrolled in the group.
    pub person: Option<PersonId>,
    /// Their name, numbered where two had the same one.
    pub name: Name,
    /// A second person on their screen.
    pub partner: Option<Name>,
    /// Whether they were there, and how.
    pub attended: Attended,
    /// How many whole minutes of the class they were there: corrected, if somebody did that.
    pub minutes: u32,
    /// The same as it was recorded.
    pub recorded_minutes: u32,
    /// The correction.
    pub corrected: Option<Attendance>,
    /// When they came, if that was after the class began.
    pub came_at: Option<EpochMs>,
    /// When they were last there, if that was before the class ended.
    pub left_at: Option<EpochMs>,
    /// How many whole minutes between the two their screen was away.
    pub away_minutes: u32,
    /// How many whole minutes before the end their screen went away, and did not come back; 0 for somebody who left.
    pub gone_minutes: u32,
    /// How often they were lost in the middle of a swallow or a hold.
    pub lost: u32,
    /// Whether they had said that they cannot come.
    pub cannot_come: bool,
    /// What each drill asked of them that the class did while they were there.
    pub steps: Vec<Asked>,
    /// Each time that they stopped.
    pub stops: Vec<Stopped>,
    /// What they said when they checked in, as they put it last.
    pub check_in: Option<CheckIn>,
    /// How much effort it was for them, each time that the class was asked.
    pub efforts: Vec<EffortSaid>,
    /// What they did at home afterwards, by their own word, as it came in.
    pub practised: Vec<HomeLog>,
    /// Whether something is still to be done about them.
    pub to_follow_up: bool,
}

/// What somebody answered when the class was asked how much effort it was.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct EffortSaid {
    /// The drill that the question was about; absent for one before the first drill.
    pub step: Option<StepId>,
    /// The number, 0 to 10.
    pub score: u8,
}

/// What a drill asked of one person, and what they said of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Asked {
    /// The step.
    pub step: StepId,
    /// In which form; a rest where it was not for them.
    pub form: Form,
    /// How long they hold at most, where that was set for them.
    pub hold_ms: Option<i64>,
    /// How long an open hold was meant to be for them, in the dose that was asked, in milliseconds; absent where it had no
    /// mark.
    pub target_ms: Option<i64>,
    /// What they said of it; absent when they said nothing.
    pub answer: Option<Answer>,
    /// How far an open hold went, by their own word.
    pub far: Option<HowFar>,
}

/// Somebody stopped.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Stopped {
    /// When.
    pub at: EpochMs,
    /// In which step.
    pub step: Option<StepId>,
    /// Why, if they said so.
    pub reason: Option<StopReason>,
    /// Which of the people on the seat.
    pub whose: Whose,
}

/// What was done of a step.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct StepRecord {
    /// The step.
    pub step: StepId,
    /// Its title.
    pub title: Title,
    /// What it is.
    pub kind: ContentKind,
    /// Its drill; absent for what is none.
    pub drill: Option<DrillId>,
    /// How many milliseconds were planned for it.
    pub planned_ms: i64,
    /// What was planned: repetitions over all sets and sides, holds, and milliseconds held.
    pub planned: Figures,
    /// What was done of it, in all doses that it had.
    pub done: Held,
    /// How many milliseconds the class was in it.
    pub took_ms: i64,
    /// Of how many people it was asked.
    pub asked: u32,
    /// How many of them said that they did it.
    pub did: u32,
    /// How many of them stopped in it.
    pub stopped: u32,
    /// For how many it was a rest: not for them today, or they rested already.
    pub rested: u32,
    /// How much effort it was: how many said each number from 0 to 10; empty when nobody was asked.
    pub effort: Vec<u32>,
}

/// A report, and what was done about it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct ReportRecord {
    /// Its id.
    pub id: ReportId,
    /// The seat of the person who reported.
    pub seat: SeatId,
    /// The name of the person it is about.
    pub name: Name,
    /// When the server first had it.
    pub at: EpochMs,
    /// What was said.
    pub said: Said,
    /// How strong it is in words, by the cut-points of the house rules.
    pub strength: Option<Strength>,
    /// The step in which it was made.
    pub step: Option<StepId>,
    /// How far it came.
    pub state: ReportState,
    /// What desks did about it, the oldest first.
    pub handled: Vec<Handled>,
    /// Whether the person took it back.
    pub taken_back: bool,
}
