//! Notes about a class: one about each person whose clinician writes one, and one about the class as a whole. Facts are
//! folded from the record; what they mean a clinician writes, signs, and later only adds to.
//!
//! A note about a person has the four parts that are usual (subjective, objective, assessment, plan: common practice).
//! Its assessment is never filled in here.

mod alone;
mod facts;
mod others;
mod words;

use serde::{Deserialize, Serialize};
use uuid::Uuid;

pub use alone::alone;
pub use facts::{facts_about, facts_of_class, title_for};

use crate::people::person::PersonId;
use crate::plan::Title;
use crate::staff::account::{AccountId, Clinician};
use crate::text::{Name, Passage};
use crate::time::EpochMs;
use crate::time::day::Date;
use crate::versioned::Document;

/// What a clinician writes in one part of a note.
pub type NoteText = Passage<4000>;

/// A note that is signed later than this after its class is a late entry ("a couple of days" is the usual reading of the
/// CMS Program Integrity Manual, chapter 3, 3.3.2.5).
pub const LATE_AFTER_MS: i64 = 48 * 3_600_000;

/// The number of the wording of facts: one more whenever a sentence changes, so that an old note is not said to differ from
/// the record when only words do.
pub const WORDING: u32 = 1;

/// A part of a note that has facts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum NotePart {
    /// What the person said.
    Subjective,
    /// What was done.
    Objective,
    /// What follows.
    Plan,
}

/// Something that the record of the class says, as a sentence.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Fact {
    /// Where it stands.
    pub part: NotePart,
    /// The sentence.
    pub text: String,
}

/// What a clinician writes, part by part.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct NoteWords {
    /// What else the person said.
    pub subjective: Option<NoteText>,
    /// What else was seen, and what help was needed.
    pub objective: Option<NoteText>,
    /// What it means.
    pub assessment: Option<NoteText>,
    /// What follows.
    pub plan: Option<NoteText>,
}

impl NoteWords {
    /// The parts in their order: what each is called, which facts stand in it, and what was written. The assessment has no
    /// facts.
    #[must_use]
    pub fn parts(&self) -> [(&'static str, Option<NotePart>, Option<&NoteText>); 4] {
        [
            ("Subjective", Some(NotePart::Subjective), self.subjective.as_ref()),
            ("Objective", Some(NotePart::Objective), self.objective.as_ref()),
            ("Assessment", None, self.assessment.as_ref()),
            ("Plan", Some(NotePart::Plan), self.plan.as_ref()),
        ]
    }
}

/// What was written so far of a note that is not signed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct NoteDraft {
    /// The class.
    pub class: Uuid,
    /// The person; absent for the note about the class.
    pub person: Option<PersonId>,
    /// The words.
    pub words: NoteWords,
}

impl Document for NoteDraft {
    const KIND: &'static str = "note";

    fn check(&self) -> Result<(), String> {
        Ok(())
    }
}

/// Whose note it is, and of which class.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct NoteAbout {
    /// The class.
    pub class: Uuid,
    /// What it was called.
    pub title: Title,
    /// The day on which it was held, in the time zone of its group.
    pub day: Date,
    /// When it ended.
    pub ended_at: EpochMs,
    /// The person; absent for the note about the class.
    pub person: Option<PersonId>,
    /// Their name.
    pub name: Option<Name>,
}

/// Whoever signed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Signer {
    /// Their account.
    pub account: AccountId,
    /// Their name.
    pub name: Name,
    /// Their title and licence.
    pub clinician: Clinician,
}

/// What is signed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum NoteContent {
    /// A note.
    Note {
        /// In which wording the facts are ([`WORDING`]).
        wording: u32,
        /// What the record of the class said when it was signed.
        facts: Vec<Fact>,
        /// What the clinician wrote.
        words: NoteWords,
    },
    /// Something that belongs to a note and was not in it.
    Addition {
        /// The note.
        to: Uuid,
        /// What it says.
        text: NoteText,
    },
    /// Something that puts a note right.
    Correction {
        /// The note.
        to: Uuid,
        /// What it says.
        text: NoteText,
    },
}

impl NoteContent {
    /// The note to which this belongs; `None` for a note.
    #[must_use]
    pub fn to(&self) -> Option<Uuid> {
        match self {
            Self::Note { .. } => None,
            Self::Addition { to, .. } | Self::Correction { to, .. } => Some(*to),
        }
    }
}

/// A note, or an addition to one, as it was signed. What is hashed is its JSON with the fields in this order.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct SignedNote {
    /// Whose it is, and of which class.
    pub about: NoteAbout,
    /// What it says.
    pub content: NoteContent,
    /// Who signed.
    pub signer: Signer,
    /// When.
    pub signed_at: EpochMs,
}

impl SignedNote {
    /// Whether the record says something else by now than these facts. Of what follows a class it does not ask: a follow-up
    /// that was done was planned.
    #[must_use]
    pub fn differs_from(&self, now: &[Fact]) -> bool {
        let NoteContent::Note { wording, facts, .. } = &self.content else { return false };
        let of_the_class = |fact: &&Fact| fact.part != NotePart::Plan;
        *wording == WORDING && !facts.iter().filter(of_the_class).eq(now.iter().filter(of_the_class))
    }

    /// Whether it was signed so long after its class that it is a late entry.
    #[must_use]
    pub fn is_late(&self) -> bool {
        self.signed_at.since(self.about.ended_at) > LATE_AFTER_MS
    }
}
