//! A group: a recurring class and the people enrolled in it, as far as planning needs them.

use serde::{Deserialize, Serialize};
use uuid::Uuid;

use crate::drill::{Drill, Family};
use crate::people::care::Condition;
use crate::people::rules::{Rule, Rules};
use crate::plan::check_minutes;
use crate::plan::course::Ceiling;
use crate::text::{Line, Name};
use crate::time::day::{Date, clock_ms};
use crate::versioned::Document;

/// The id of a group.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct GroupId(pub Uuid);

/// A recurring class.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Group {
    /// The group's name.
    pub name: Line<80>,
    /// The day of the week on which it meets, 1 (Monday) to 7 (Sunday) as in ISO 8601.
    pub weekday: Option<u8>,
    /// When it starts, as 10:00 local time.
    pub start: Option<Line<8>>,
    /// How long its class is booked for, 1 to 240 minutes.
    pub minutes: u32,
    /// How many weeks must pass before a clue is used again, 0 to 52.
    pub weeks_apart: u32,
    /// The people enrolled in it.
    pub people: Vec<Enrolled>,
}

/// Most people in a group.
pub const MOST_PEOPLE: usize = 60;

/// A person in a group, with what clinicians have decided about them.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Enrolled {
    /// First name, with an initial where two people share it.
    pub name: Name,
    /// Their precautions.
    pub conditions: Vec<Condition>,
    /// What clinicians decided.
    pub decisions: Vec<Decision>,
}

/// One deliberate act of a clinician, with the clinician's name and the day.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Decision {
    /// What was decided.
    pub what: Decided,
    /// The clinician's name.
    pub by: Name,
    /// The day on which it was decided.
    pub on: Date,
}

/// What a clinician can decide about a person in a group.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "snake_case", deny_unknown_fields)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Decided {
    /// Swallow drills may be switched on for them in class.
    Swallow,
    /// The person is cleared for a family in spite of a precaution; never for a swallow family.
    Cleared {
        /// The family they are cleared for.
        family: Family,
    },
    /// The person does at most this much in a week.
    AtMost {
        /// The limit.
        ceiling: Ceiling,
    },
}

/// Most decisions for one person.
const MOST_DECISIONS: usize = 60;

impl Document for Group {
    const KIND: &'static str = "group";

    fn check(&self) -> Result<(), String> {
        check_minutes(self.minutes)?;
        self.start.as_ref().map_or(Ok(0), |start| clock_ms(start.as_str()))?;
        if let Some(wrong) = self.weekday.filter(|day| !(1..=7).contains(day)) {
            return Err(format!("`weekday` is {wrong}; it must be from 1 (Monday) to 7 (Sunday)"));
        }
        if self.weeks_apart > 52 {
            return Err(format!("`weeks_apart` is {}; it must be from 0 to 52", self.weeks_apart));
        }
        if self.people.len() > MOST_PEOPLE {
            return Err(format!(
                "a group has {} people; at most {MOST_PEOPLE} are allowed",
                self.people.len()
            ));
        }
        let twice =
            self.people.iter().enumerate().find(|(i, p)| self.people[..*i].iter().any(|q| q.name == p.name));
        if let Some((_, person)) = twice {
            return Err(format!("`{}` is there twice; add an initial", person.name));
        }
        self.people.iter().try_for_each(Enrolled::check)
    }
}

impl Group {
    /// The next day on which it meets, `today` included; `None` for a group without a weekday.
    #[must_use]
    pub fn next_day(&self, today: Date) -> Option<Date> {
        let ahead = (i64::from(self.weekday?) - i64::from(today.weekday())).rem_euclid(7);
        Some(today.plus_days(ahead))
    }
}

impl Enrolled {
    fn check(&self) -> Result<(), String> {
        let name = &self.name;
        if self.decisions.len() > MOST_DECISIONS {
            return Err(format!(
                "`{name}` has {} decisions; the most is {MOST_DECISIONS}",
                self.decisions.len()
            ));
        }
        for (index, Decision { what, .. }) in self.decisions.iter().enumerate() {
            if let Decided::Cleared { family } = what
                && family.is_swallow()
            {
                return Err(format!(
                    "`{name}` is cleared for a swallow family; that is decided by `swallow`"
                ));
            }
            if self.decisions[..index].iter().any(|earlier| earlier.what.is_about(what)) {
                return Err(format!("`{name}` has two decisions about the same thing; keep the newer one"));
            }
        }
        Ok(())
    }

    /// Whether a clinician has decided that swallow drills may be switched on for this person.
    #[must_use]
    pub fn may_swallow(&self) -> bool {
        self.decisions.iter().any(|decision| decision.what == Decided::Swallow)
    }

    /// This person's weekly limits.
    pub fn ceilings(&self) -> impl Iterator<Item = Ceiling> + '_ {
        self.decisions.iter().filter_map(|decision| match decision.what {
            Decided::AtMost { ceiling } => Some(ceiling),
            Decided::Swallow | Decided::Cleared { .. } => None,
        })
    }

    /// What the house rules and the clinicians' decisions make of `drill` for this person.
    #[must_use]
    pub fn rule(&self, drill: &Drill, rules: &Rules) -> Rule {
        let family = drill.family;
        if family.is_swallow() && !self.may_swallow() {
            return Rule::Off;
        }
        if self.decisions.iter().any(|decision| decision.what == Decided::Cleared { family }) {
            return Rule::Fine;
        }
        if family.needs_clearing() {
            return Rule::Off;
        }
        self.conditions.iter().map(|c| rules.rule(family, *c)).max().unwrap_or_default()
    }
}

impl Decided {
    /// Whether both decide the same question, whatever the answer.
    fn is_about(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::AtMost { ceiling: one }, Self::AtMost { ceiling: two }) => one.family == two.family,
            _ => self == other,
        }
    }
}
