//! A person: what they are called, and what clinicians decided about them, wherever they take part.

use serde::{Deserialize, Serialize};
use uuid::Uuid;

use crate::drill::{Drill, Family};
use crate::people::care::{Condition, MOST_FORMS, PersonalForm};
use crate::people::rules::{Rule, Rules};
use crate::text::{LanguageTag, Line, Name, Sentence};
use crate::time::day::Date;
use crate::versioned::Document;

/// The id of a person.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct PersonId(pub Uuid);

/// A person. They may be enrolled in several groups, and are one person in all of them.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Person {
    /// First name, with an initial where two people share it.
    pub name: Name,
    /// Their precautions.
    pub conditions: Vec<Condition>,
    /// What clinicians decided.
    pub decisions: Vec<Decision>,
    /// How they do what wherever they take part, as a clinician set it.
    #[serde(default)]
    pub forms: Vec<PersonalForm>,
    /// How to reach them, and whom to call for them.
    #[serde(default)]
    pub contacts: Contacts,
    /// The language in which their own page and class begin; without one, that of their browser.
    #[serde(default)]
    pub language: Option<LanguageTag>,
}

/// A telephone number, as people write it.
pub type Phone = Line<40>;
/// A mail address.
pub type Mail = Line<120>;

/// How to reach somebody, and whom to call for them.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Contacts {
    /// Their telephone number.
    pub phone: Option<Phone>,
    /// Their mail address.
    pub mail: Option<Mail>,
    /// Where they usually take part: the address to which help would be sent.
    pub place: Option<Sentence>,
    /// Their care partner, or whoever else is to be called.
    pub partner: Option<Name>,
    /// That person's telephone number.
    pub partner_phone: Option<Phone>,
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

/// What a clinician can decide about a person.
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

/// A limit that a clinician set for a person.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Ceiling {
    /// The family.
    pub family: Family,
    /// Most repetitions in a week.
    pub reps_a_week: u32,
}

/// Most decisions for one person.
const MOST_DECISIONS: usize = 60;

impl Document for Person {
    const KIND: &'static str = "person";

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
        if self.forms.len() > MOST_FORMS {
            return Err(format!("`{name}` has {} forms; the most is {MOST_FORMS}", self.forms.len()));
        }
        for (index, form) in self.forms.iter().enumerate() {
            form.check().map_err(|why| format!("a form of `{name}`: {why}"))?;
            if self.forms[..index].iter().any(|earlier| earlier.of == form.of) {
                return Err(format!("`{name}` has two forms for the same thing; keep one"));
            }
        }
        self.contacts.check()
    }
}

impl Contacts {
    fn check(&self) -> Result<(), String> {
        let Some(mail) = &self.mail else { return Ok(()) };
        // Whether mail arrives there is not for a pattern to say; this catches a telephone number or a name.
        let is_address = mail
            .as_str()
            .split_once('@')
            .is_some_and(|(local, domain)| !local.is_empty() && !domain.is_empty() && !domain.contains('@'));
        if is_address && !mail.as_str().contains(char::is_whitespace) {
            return Ok(());
        }
        Err(format!("`{mail}` is no mail address; write it as ada@example.org"))
    }
}

impl Person {
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
