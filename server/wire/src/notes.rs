//! Notes after a class: what there is to write, and what was signed.

use samebreath_core::people::person::PersonId;
use samebreath_core::plan::Title;
use samebreath_core::practice::AtHome;
use samebreath_core::record::class::Attended;
use samebreath_core::record::note::{Fact, NoteText, NoteWords, SignedNote};
use samebreath_core::record::progress::Progress;
use samebreath_core::text::Name;
use samebreath_core::time::EpochMs;
use samebreath_core::time::day::Date;
use serde::{Deserialize, Serialize};
use uuid::Uuid;

/// The notes of a class.
#[derive(Debug, Clone, Serialize, ts_rs::TS)]
pub struct ClassNotes {
    /// The class.
    pub class: Uuid,
    /// What it was called.
    pub title: Title,
    /// The day on which it was held, in the time zone of its group.
    pub day: Date,
    /// Whether whoever asks may write and sign. Who may not sees the facts, and which notes are signed.
    pub may_sign: bool,
    /// Those who are enrolled and were expected.
    pub people: Vec<PersonNotes>,
    /// How many came in without being enrolled: there is no note about them.
    pub guests: u32,
    /// The note about the class as a whole, which is nobody's record.
    pub of_class: NoteSheet,
}

/// The note about one person.
#[derive(Debug, Clone, Serialize, ts_rs::TS)]
pub struct PersonNotes {
    /// The person.
    pub person: PersonId,
    /// Their name.
    pub name: Name,
    /// Whether they were there, and how.
    pub attended: Attended,
    /// For how many minutes.
    pub minutes: u32,
    /// The note.
    pub sheet: NoteSheet,
}

/// A note, signed or not.
#[derive(Debug, Clone, Serialize, ts_rs::TS)]
pub struct NoteSheet {
    /// What the record of the class says now.
    pub facts: Vec<Fact>,
    /// The SHA-256 of these facts: whoever signs says what they saw.
    pub seen: String,
    /// What was written so far; nothing once it is signed.
    pub words: NoteWords,
    /// How often that was saved; 0 before the first time.
    pub version: u64,
    /// The signed note.
    pub signed: Option<ShownNote>,
    /// What was added to it, the oldest first.
    pub added: Vec<ShownNote>,
    /// Whether the record says something else now than when it was signed.
    pub facts_differ: bool,
}

/// A signed note, or what was added to one.
#[derive(Debug, Clone, Serialize, ts_rs::TS)]
pub struct ShownNote {
    /// Its id.
    pub id: Uuid,
    /// When it was signed.
    pub signed_at: EpochMs,
    /// What was signed; absent for whoever may not read it, and after its person was erased.
    pub note: Option<SignedNote>,
    /// Whether its person was erased since, and what it said with them.
    pub erased: bool,
    /// The SHA-256 of what was signed.
    pub sha256: String,
    /// Whether it was signed so long after its class that it is a late entry.
    pub late: bool,
}

/// One person over their classes.
#[derive(Debug, Clone, Serialize, ts_rs::TS)]
pub struct PersonOverTime {
    /// The person.
    pub person: PersonId,
    /// Their name.
    pub name: Name,
    /// Their classes, as far as whoever asks may see them.
    pub progress: Progress,
    /// What they did at home after each class that gave them something to do, the newest first.
    pub at_home: Vec<AtHome>,
    /// The notes about them that are signed, and what was added, in the order in which they were signed.
    pub notes: Vec<ShownNote>,
    /// How many signed notes are of classes that whoever asks may not see, or that cannot be read.
    pub other_notes: usize,
}

/// Saves what was written so far.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
#[derive(ts_rs::TS)]
pub struct SaveNote {
    /// The version that is changed.
    pub after: u64,
    /// The words.
    pub words: NoteWords,
}

/// What is kept after a save.
#[derive(Debug, Clone, Serialize, ts_rs::TS)]
pub struct SavedNote {
    /// False when a colleague saved something else first; nothing is overwritten then.
    pub saved: bool,
    /// The version that is kept.
    pub version: u64,
    /// The words that are kept.
    pub words: NoteWords,
}

/// Signs a note.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
#[derive(ts_rs::TS)]
pub struct SignNote {
    /// The id that the note gets. A request that is sent again because its answer was lost signs once.
    pub request: Uuid,
    /// The SHA-256 of the facts that were seen.
    pub seen: String,
    /// The version of the draft that was seen.
    pub after: u64,
    /// What is signed beside them.
    pub words: NoteWords,
}

/// Adds to a signed note.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
#[derive(ts_rs::TS)]
pub struct AddToNote {
    /// As in [`SignNote`].
    pub request: Uuid,
    /// Whether it puts something right; otherwise it adds something.
    pub corrects: bool,
    /// What it says.
    pub text: NoteText,
}
