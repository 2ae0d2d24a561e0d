//! How long what is kept is kept, and what is to go when that time is over.
//!
//! How long a record must be kept, and how long it may be, is for the law of the place: it differs between countries,
//! states and kinds of organisation. So there is no time for records until somebody has chosen one.

use serde::{Deserialize, Serialize};
use uuid::Uuid;

use crate::time::day::Date;
use crate::versioned::Document;

/// How long what is kept is kept, as a coordinator decided.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Retention {
    /// How many years after their last class a person's record is kept, 1 to 40. Until it is chosen, no record goes.
    pub record_years: Option<u8>,
    /// How many days after their last class the links of somebody who comes no more work, 1 to 400; word that somebody
    /// cannot come is forgotten as long after the class.
    pub link_days: u16,
    /// How many years who did what is known, 1 to 40.
    pub audit_years: u8,
}

/// How many days before a record goes this is announced.
pub const NOTICE_DAYS: i64 = 30;

const MOST_YEARS: u8 = 40;
const MOST_DAYS: u16 = 400;

impl Retention {
    /// The id of the one document.
    pub const ID: Uuid = Uuid::nil();
}

impl Default for Retention {
    /// Sixty days for links. Six years for the audit: as long as 45 CFR 164.316(b)(2)(i) has such papers kept in the
    /// United States.
    fn default() -> Self {
        Self { record_years: None, link_days: 60, audit_years: 6 }
    }
}

impl Document for Retention {
    const KIND: &'static str = "retention";

    fn check(&self) -> Result<(), String> {
        let years = |name: &str, years: u8| {
            if (1..=MOST_YEARS).contains(&years) {
                return Ok(());
            }
            Err(format!("`{name}` is {years}; it must be from 1 to {MOST_YEARS} years"))
        };
        self.record_years.map_or(Ok(()), |given| years("record_years", given))?;
        years("audit_years", self.audit_years)?;
        if !(1..=MOST_DAYS).contains(&self.link_days) {
            return Err(format!("`link_days` is {}; it must be from 1 to {MOST_DAYS} days", self.link_days));
        }
        Ok(())
    }
}

/// What decides about a record: a person's, or what a class keeps of those who came in with the code only.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Record {
    /// The day of the last class.
    pub last: Date,
    /// Whether the person is enrolled in a group that goes on.
    pub is_expected: bool,
    /// Whether the record is held.
    pub is_held: bool,
    /// The day on which it was announced that the record will go, if it was.
    pub announced: Option<Date>,
}

/// What is to become of a record.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fate {
    /// It is kept.
    Stays,
    /// It would go, but it is held.
    Held,
    /// It goes on this day, if nothing changes until then.
    GoesOn(Date),
    /// It goes now.
    Goes,
}

impl Record {
    /// What is to become of the record. It goes only when that was announced [`NOTICE_DAYS`] before, so that nobody is
    /// surprised.
    #[must_use]
    pub fn fate(&self, retention: &Retention, today: Date) -> Fate {
        let Some(years) = retention.record_years.filter(|_| !self.is_expected) else { return Fate::Stays };
        if self.last.plus_years(i16::from(years)) >= today {
            return Fate::Stays;
        }
        if self.is_held {
            return Fate::Held;
        }
        let goes = self.announced.unwrap_or(today).plus_days(NOTICE_DAYS);
        if goes <= today { Fate::Goes } else { Fate::GoesOn(goes) }
    }

    /// Whether the links of this person are over.
    #[must_use]
    pub fn links_are_over(&self, retention: &Retention, today: Date) -> bool {
        !self.is_expected && today.days_since(self.last) > i64::from(retention.link_days)
    }
}

/// What went on one day, or would go: numbers only.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct RetentionReport {
    /// People of whom it is announced that their record will go.
    pub announced: u32,
    /// People who were erased.
    pub erased: u32,
    /// Classes that no longer name those who came in with the code.
    pub guests: u32,
    /// People whose record would go, but is held.
    pub held: u32,
    /// Links that were ended.
    pub links: u32,
    /// Words that somebody cannot come.
    pub words: u32,
    /// Rows of the audit that were emptied.
    pub acts: u32,
    /// People and classes whose turn it was and that could not be erased; they are tried again.
    pub failed: u32,
}

impl RetentionReport {
    /// This look and a later one of the same day.
    #[must_use]
    pub const fn and(&self, later: &Self) -> Self {
        Self {
            announced: self.announced + later.announced,
            erased: self.erased + later.erased,
            guests: self.guests + later.guests,
            held: later.held,
            links: self.links + later.links,
            words: self.words + later.words,
            acts: self.acts + later.acts,
            failed: later.failed,
        }
    }
}
