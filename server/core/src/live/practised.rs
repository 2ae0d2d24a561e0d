//! What a person says that they did at home with one drill.

use serde::{Deserialize, Serialize};
use uuid::Uuid;

use crate::drill::DrillId;
use crate::drill::form::Form;
use crate::plan::Title;
use crate::time::day::Date;

/// What somebody did at home with a drill, one time.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct HomeLog {
    /// Made by the device (UUID version 7), so that the same log sent twice counts once.
    pub id: Uuid,
    /// The drill.
    pub drill: DrillId,
    /// In which form; the easier one, if they changed to that on the way.
    pub form: Form,
    /// What their sheet asked for.
    pub asked: AskedAtHome,
    /// How many repetitions they did, over all sets and sides; absent where they said *some*, and nobody counted.
    pub done: Option<u32>,
    /// How it was, if they said so.
    pub ease: Option<Ease>,
    /// Whether it hurt.
    pub hurt: bool,
    /// Who counted.
    pub noted: NotedBy,
    /// The day on which it was, where they are.
    pub day: Date,
    /// How far the device's clock was ahead of UTC then, in minutes.
    pub offset_minutes: i32,
    /// The home class that it was a part of. How it was is then said of the whole class.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[cfg_attr(feature = "ts-rs", ts(optional))]
    pub run: Option<HomeRun>,
}

/// One time that somebody went through a home class.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct HomeRun {
    /// The home class.
    pub class: Uuid,
    /// What it was called.
    pub title: Title,
    /// Made by the device; the same for all drills of that time.
    pub run: Uuid,
    /// How many drills the class had for this person.
    pub drills: u32,
}

/// What a home sheet asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct AskedAtHome {
    /// How many repetitions each time, over all sets and sides.
    pub reps: u32,
    /// How often a day.
    pub times_a_day: u32,
    /// On how many days a week.
    pub days_a_week: u32,
}

/// How a drill at home was.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Ease {
    /// Easy.
    Easy,
    /// Just right.
    Right,
    /// Hard.
    Hard,
}

/// Who counted the repetitions.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum NotedBy {
    /// The screen that led through them.
    Screen,
    /// The person, who did it without the screen.
    Hand,
}

impl HomeLog {
    /// What is wrong with a log that no page of ours would send; `None` for a good one.
    #[must_use]
    pub fn wrong(&self) -> Option<String> {
        let AskedAtHome { reps, times_a_day, days_a_week } = self.asked;
        let numbers = [
            ("asked.reps", reps, 1, MOST_REPS),
            ("asked.times_a_day", times_a_day, 1, 10),
            ("asked.days_a_week", days_a_week, 1, 7),
            ("done", self.done.unwrap_or(0), 0, MOST_REPS),
            ("run.drills", self.run.as_ref().map_or(1, |run| run.drills), 1, MOST_DRILLS),
        ];
        let out = numbers.into_iter().find(|(_, is, least, most)| !(least..=most).contains(&is));
        if let Some((field, is, least, most)) = out {
            return Some(format!("`{field}` is {is}; it must be from {least} to {most}"));
        }
        if matches!(self.form, Form::Rest | Form::MouthFirst) {
            return Some("`form` must be the form in which it was done".to_owned());
        }
        // UTC-12 to UTC+14 are all the offsets there are.
        let is_offset = (-12 * 60..=14 * 60).contains(&self.offset_minutes);
        (!is_offset)
            .then(|| format!("`offset_minutes` is {}; it must be from -720 to 840", self.offset_minutes))
    }
}

/// Far above what anybody does in one go.
const MOST_REPS: u32 = 10_000;
const MOST_DRILLS: u32 = 100;
