//! A group: a recurring class with its enrolled people, as far as planning needs it.

use serde::{Deserialize, Serialize};
use uuid::Uuid;

use crate::course::Ceiling;
use crate::day::Date;
use crate::draft::{Draft, check_minutes, start_ms};
use crate::drill::{Drill, Family};
use crate::live::{Condition, Event, How, SeatId};
use crate::rules::{Rule, Rules};
use crate::text::{Line, Name};
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
    /// What it is called.
    pub name: Line<80>,
    /// The day of the week on which it meets, 1 (Monday) to 7 (Sunday) as in ISO 8601.
    pub weekday: Option<u8>,
    /// When it starts, as 10:00 on the clock of the place.
    pub start: Option<Line<8>>,
    /// How long its class is booked for, 1 to 240 minutes.
    pub minutes: u32,
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
    /// Whether swallow drills may be switched on for them in class.
    pub swallow: bool,
    /// Families for which they are cleared in spite of a precaution.
    pub cleared: Vec<Family>,
    /// Limits for a week.
    pub ceilings: Vec<Ceiling>,
    /// The clinician who decided `swallow`, `cleared` and `ceilings`.
    pub decided_by: Option<Name>,
}

impl Document for Group {
    const KIND: &'static str = "group";

    fn check(&self) -> Result<(), String> {
        check_minutes(self.minutes)?;
        self.start.as_ref().map_or(Ok(0), start_ms)?;
        if let Some(wrong) = self.weekday.filter(|day| !(1..=7).contains(day)) {
            return Err(format!("`weekday` is {wrong}; it must be from 1 (Monday) to 7 (Sunday)"));
        }
        if self.weeks_apart > 52 {
            return Err(format!("`weeks_apart` is {}; it must be from 0 to 52", self.weeks_apart));
        }
        if self.people.len() > MOST_PEOPLE {
            return Err(format!("{} people; at most {MOST_PEOPLE} are allowed", self.people.len()));
        }
        let twice =
            self.people.iter().enumerate().find(|(i, p)| self.people[..*i].iter().any(|q| q.name == p.name));
        if let Some((_, person)) = twice {
            return Err(format!("`{}` is there twice; add an initial", person.name));
        }
        match self.people.iter().find(|person| person.has_decisions() && person.decided_by.is_none()) {
            Some(person) => Err(format!("`{}` needs the name of the clinician who decided", person.name)),
            None => Ok(()),
        }
    }
}

impl Group {
    /// A plan with the group's length, and its time where it has one, in place of its own.
    #[must_use]
    pub fn timed(&self, draft: Draft) -> Draft {
        let start = self.start.clone().or(draft.start);
        Draft { start, minutes: self.minutes, ..draft }
    }

    /// The day on which it meets next, from `today` on.
    #[must_use]
    pub fn next_day(&self, today: Date) -> Option<Date> {
        let ahead = (i64::from(self.weekday?) - i64::from(today.weekday())).rem_euclid(7);
        Some(today.plus_days(ahead))
    }

    /// What a class of this group begins with: each person expected, with their precautions and the
    /// families a clinician cleared them for. Swallow drills stay off until they are switched on in class,
    /// on the day.
    #[must_use]
    pub fn expected(&self) -> Vec<Event> {
        let mut events = Vec::new();
        for (seat, person) in (1..).map(SeatId).zip(&self.people) {
            events.push(Event::SeatTaken { seat, name: person.name.clone(), how: How::Expected });
            if !person.conditions.is_empty() {
                events.push(Event::PrecautionsSet { seat, conditions: person.conditions.clone() });
            }
            let Some(by) = &person.decided_by else { continue };
            let cleared = person.cleared.iter().filter(|family| !family.is_swallow());
            events.extend(cleared.map(|family| Event::FamilyCleared {
                seat,
                family: *family,
                by: by.clone(),
            }));
        }
        events
    }
}

impl Enrolled {
    fn has_decisions(&self) -> bool {
        self.swallow || !self.cleared.is_empty() || !self.ceilings.is_empty()
    }

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
