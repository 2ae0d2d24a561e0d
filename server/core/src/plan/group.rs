//! A group: a recurring class and the people enrolled in it.

use serde::{Deserialize, Serialize};
use uuid::Uuid;

use crate::people::person::{Person, PersonId};
use crate::staff::account::AccountId;
use crate::staff::may::Whose;
use crate::text::{Line, name};
use crate::time::EpochMs;
use crate::time::day::{Date, clock_ms};
use crate::versioned::{Document, Versioned};
use crate::week::check_minutes;
use crate::week::series::{FURTHEST_DAYS, MOST_OTHER, Occurrence, OtherDay, Series};
use crate::week::zone::Zone;

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
    /// The time zone of its clocks; without one, its classes have no instant.
    #[serde(default)]
    pub zone: Option<Zone>,
    /// The first day of its classes, where there is one.
    #[serde(default)]
    pub first: Option<Date>,
    /// The last day of its classes, where there is one.
    #[serde(default)]
    pub last: Option<Date>,
    /// The days on which something is different.
    #[serde(default)]
    pub others: Vec<OtherDay>,
    /// How many weeks must pass before a clue is used again, 0 to 52.
    pub weeks_apart: u32,
    /// The people enrolled in it, in the order of its list.
    pub people: Vec<PersonId>,
    /// The members of staff to whom it is entrusted; without any, all of them share it.
    #[serde(default)]
    pub entrusted: Vec<AccountId>,
    /// Whether a note is written about each person after each class, as local rules ask for it.
    #[serde(default)]
    pub notes: bool,
}

/// Most people in a group.
pub const MOST_PEOPLE: usize = 60;
/// Most members of staff to whom a group is entrusted.
const MOST_ENTRUSTED: usize = 40;
/// How far ahead its next class is looked for, in days.
const AHEAD_DAYS: i64 = 400;

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
        if self.entrusted.len() > MOST_ENTRUSTED {
            return Err(format!(
                "a group is entrusted to {} members of staff; at most {MOST_ENTRUSTED} are allowed",
                self.entrusted.len()
            ));
        }
        if let (Some(first), Some(last)) = (self.first, self.last)
            && last < first
        {
            return Err(format!("the last day, {last}, is before the first, {first}"));
        }
        if self.others.len() > MOST_OTHER {
            return Err(format!(
                "{} days are different; at most {MOST_OTHER} are allowed",
                self.others.len()
            ));
        }
        self.others.iter().try_for_each(OtherDay::check)?;
        let of = |at: usize| self.others[at].of;
        if let Some(twice) = (1..self.others.len()).find(|at| (0..*at).any(|other| of(other) == of(*at))) {
            return Err(format!("the class of {} is changed twice", of(twice)));
        }
        if (1..self.people.len()).any(|at| self.people[..at].contains(&self.people[at])) {
            return Err("somebody is enrolled in the group twice".to_owned());
        }
        Ok(())
    }
}

impl Group {
    /// Whose it is, as this account sees it.
    #[must_use]
    pub fn whose(&self, account: AccountId) -> Whose {
        match &self.entrusted[..] {
            [] => Whose::Shared,
            some if some.contains(&account) => Whose::Own,
            _ => Whose::Others,
        }
    }

    /// Whose the class of this regular day is: the group's, and that of whoever stands in.
    #[must_use]
    pub fn whose_on(&self, account: AccountId, of: Option<Date>) -> Whose {
        let stands_in = |other: &OtherDay| Some(other.of) == of && other.stand_in == Some(account);
        if self.others.iter().any(stands_in) { Whose::Own } else { self.whose(account) }
    }

    /// Those who stand in on some day.
    pub fn stand_ins(&self) -> impl Iterator<Item = AccountId> + '_ {
        self.others.iter().filter_map(|other| other.stand_in)
    }

    /// When it meets; `None` until its weekday, time and zone are known.
    #[must_use]
    pub fn series(&self) -> Option<Series<'_>> {
        Some(Series {
            zone: self.zone.as_ref()?,
            weekday: self.weekday?,
            start_ms: clock_ms(self.start.as_ref()?.as_str()).ok()?,
            minutes: self.minutes,
            bounds: (self.first, self.last),
            others: &self.others,
        })
    }

    /// Its classes from its today on, for so many days; those that are cancelled too.
    #[must_use]
    pub fn ahead(&self, now: EpochMs, days: i64) -> Vec<Occurrence> {
        let Some(series) = self.series() else { return Vec::new() };
        let Some(today) = series.zone.day(now) else { return Vec::new() };
        // One that began before midnight may still be on.
        let mut classes = series.between(today.plus_days(-1), today.plus_days(days));
        classes.retain(|class| class.day >= today || class.ends > now);
        classes
    }

    /// Whether its last class was before `today`.
    #[must_use]
    pub fn is_over(&self, today: Date) -> bool {
        self.last.is_some_and(|last| last < today)
            && self.series().is_none_or(|series| {
                // The last one may have been moved.
                series.between(today, today.plus_days(FURTHEST_DAYS)).is_empty()
            })
    }

    /// What is different about the class that is meant by this day.
    #[must_use]
    pub fn other_on(&self, day: Date) -> Option<&OtherDay> {
        let class = self.series()?.of_day(day).filter(|class| class.day == day)?;
        self.others.iter().find(|other| other.of == class.of)
    }

    /// The class that comes after the one that is meant by `day`; `None` where no series says when that is.
    #[must_use]
    pub fn class_after(&self, day: Date) -> Option<Occurrence> {
        let series = self.series()?;
        let meant = series.of_day(day);
        let from = meant.as_ref().map_or(day, |class| class.day);
        let ahead = series.between(from, from.plus_days(AHEAD_DAYS));
        let is_later = |class: &Occurrence| match &meant {
            Some(meant) => class.starts > meant.starts,
            None => class.day > day,
        };
        ahead.into_iter().find(|class| class.cancelled.is_none() && is_later(class))
    }

    /// The next day on which it meets, `today` included; `None` for a group without a weekday, or after its last day.
    #[must_use]
    pub fn next_day(&self, today: Date) -> Option<Date> {
        if let Some(series) = self.series() {
            let classes = series.between(today, today.plus_days(AHEAD_DAYS));
            return classes.into_iter().find(|class| class.cancelled.is_none()).map(|class| class.day);
        }
        let ahead = (i64::from(self.weekday?) - i64::from(today.weekday())).rem_euclid(7);
        Some(today.plus_days(ahead))
    }
}

/// A group with its people, as planning and a class need them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Roll {
    /// The group.
    pub group: Group,
    /// Its people in the order of its list.
    pub people: Vec<Enrolled>,
}

/// A person of a group.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Enrolled {
    /// The person's id.
    pub id: PersonId,
    /// The person.
    pub person: Person,
}

impl Roll {
    /// A group with those of its people who are found in `people`.
    #[must_use]
    pub fn of(group: Group, people: &[Versioned<Person>]) -> Self {
        let person = |id: &PersonId| {
            let found = people.iter().find(|person| person.id == id.0)?;
            Some(Enrolled { id: *id, person: found.content.clone() })
        };
        let people = group.people.iter().filter_map(person).collect();
        Self { group, people }
    }

    /// Refuses two people of one name: in class, nobody could tell them apart.
    ///
    /// # Errors
    /// A sentence that names them.
    pub fn check(&self) -> Result<(), String> {
        self.people.iter().try_for_each(|one| self.check_name(one.id))
    }

    /// Refuses somebody else of the name that a person has.
    ///
    /// # Errors
    /// A sentence that names them.
    pub fn check_name(&self, id: PersonId) -> Result<(), String> {
        let folded = |one: &Enrolled| name::folded(one.person.name.as_str());
        let Some(person) = self.people.iter().find(|one| one.id == id) else { return Ok(()) };
        if !self.people.iter().any(|one| one.id != id && folded(one) == folded(person)) {
            return Ok(());
        }
        let (name, group) = (&person.person.name, &self.group.name);
        Err(format!("there are two people called “{name}” in {group}; add an initial"))
    }

    /// Whether somebody of the group is not kept any more.
    #[must_use]
    pub fn misses_somebody(&self) -> bool {
        self.people.len() < self.group.people.len()
    }
}
