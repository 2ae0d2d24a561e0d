//! A group: a recurring class with its enrolled people, as far as planning needs it.

use serde::{Deserialize, Serialize};

use crate::course::Ceiling;
use crate::drill::{Drill, Family};
use crate::live::Condition;
use crate::rules::{Rule, Rules};
use crate::text::{Line, Name};

/// A recurring class.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Group {
    /// What it is called.
    pub name: Line<80>,
    /// For how many weeks no clue comes again, 0 to 52.
    pub weeks_apart: u32,
    /// Its enrolled people.
    pub people: Vec<Enrolled>,
}

/// Most people of a group.
pub const MOST_PEOPLE: usize = 60;

/// A person of a group, with what a clinician set.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Enrolled {
    /// First name, with an initial where two share it.
    pub name: Name,
    /// Precautions.
    pub conditions: Vec<Condition>,
    /// Whether a clinician turned swallow drills on.
    pub swallow: bool,
    /// Families for which a clinician cleared them in spite of a precaution.
    pub cleared: Vec<Family>,
    /// Limits for a week that a clinician set.
    pub ceilings: Vec<Ceiling>,
}

impl Group {
    /// Checks what the parts cannot know.
    ///
    /// # Errors
    /// A sentence saying what is wrong and what would be right.
    pub fn check(&self) -> Result<(), String> {
        if self.weeks_apart > 52 {
            return Err(format!("`weeks_apart` is {}; it must be from 0 to 52", self.weeks_apart));
        }
        if self.people.len() > MOST_PEOPLE {
            return Err(format!("{} people; at most {MOST_PEOPLE} are allowed", self.people.len()));
        }
        let twice =
            self.people.iter().enumerate().find(|(i, p)| self.people[..*i].iter().any(|q| q.name == p.name));
        match twice {
            Some((_, person)) => Err(format!("`{}` is there twice; add an initial", person.name)),
            None => Ok(()),
        }
    }
}

impl Enrolled {
    /// What the house rules and the clinician's decisions make of a drill for this person.
    #[must_use]
    pub fn rule(&self, drill: &Drill, rules: &Rules) -> Rule {
        if drill.family.is_swallow() && !self.swallow {
            return Rule::Off;
        }
        if self.cleared.contains(&drill.family) {
            return Rule::Fine;
        }
        if drill.family.needs_clearing() {
            return Rule::Off;
        }
        self.conditions.iter().map(|c| rules.rule(drill.family, *c)).max().unwrap_or_default()
    }
}
