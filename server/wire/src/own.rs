//! What a person's own page asks for and gets, and what staff get about the links to it.

use samebreath_core::letter::Purpose;
use samebreath_core::people::link::{LinkId, Medium};
use samebreath_core::plan::group::GroupId;
use samebreath_core::text::{LanguageTag, Name, Sentence};
use samebreath_core::time::EpochMs;
use samebreath_core::time::day::Date;
use serde::{Deserialize, Serialize};
use ts_rs::TS;
use uuid::Uuid;

/// Asks whose a lasting link is (`POST /api/own/look`).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(deny_unknown_fields)]
pub struct OwnToken {
    /// The link's token.
    pub token: String,
}

/// Whose a link is: all that is said before they have answered that it is them.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct AreYou {
    /// First name, with an initial where two people share it.
    pub name: Name,
}

/// They have answered that it is them (`POST /api/own/open`); the browser gets a cookie.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(deny_unknown_fields)]
pub struct OpenOwn {
    /// The link's token.
    pub token: String,
    /// Whether several people use this device, so that it is to keep nothing.
    pub shared: bool,
    /// The id of this request. The same request may come again when its answer was lost.
    pub request: Uuid,
}

/// Where a person's own page is.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct OwnPlace {
    /// The link by which it was opened.
    pub link: LinkId,
    /// Whether several people use this device.
    pub shared: bool,
}

/// The answer to [`OpenOwn`].
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct OpenedOwn {
    /// Where their page is.
    pub place: OwnPlace,
    /// The language in which it begins; absent for that of their browser.
    pub language: Option<LanguageTag>,
}

/// A person's own page (`GET /api/own/{link}`).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct OwnPage {
    /// Their name.
    pub name: Name,
    /// Whether several people use this device.
    pub shared: bool,
    /// The server's clock.
    pub now: EpochMs,
    /// Whether a class of theirs lets people in now.
    pub open: bool,
    /// Their next classes, the earliest first; those that are cancelled too.
    pub classes: Vec<OwnClass>,
}

/// A class of somebody's.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct OwnClass {
    /// The group.
    pub group: GroupId,
    /// Its regular day.
    pub of: Date,
    /// What the group is called.
    pub name: String,
    /// When people can come in, once the class was made.
    pub opens: EpochMs,
    /// When it starts.
    pub starts: EpochMs,
    /// When it ends.
    pub ends: EpochMs,
    /// Whether it is at another time than usual.
    pub moved: bool,
    /// Why it is cancelled, if it is.
    pub cancelled: Option<Sentence>,
    /// Whether this person comes, as far as is known.
    pub comes: bool,
}

/// Says whether somebody comes to a class (`POST /api/own/{link}/word`).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(deny_unknown_fields)]
pub struct SendWord {
    /// The group.
    pub group: GroupId,
    /// The regular day of its class.
    pub of: Date,
    /// Whether they come.
    pub comes: bool,
}

/// A lasting link, as staff see it (`GET /api/planner/people/{id}/links`).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct OwnLinkCard {
    /// Its id.
    pub id: LinkId,
    /// Where it is kept.
    pub medium: Medium,
    /// When it was made.
    pub created_at: EpochMs,
    /// When it was last used; absent until then.
    pub used_at: Option<EpochMs>,
    /// On how many devices it is open.
    pub devices: u32,
}

/// Makes a lasting link (`POST /api/planner/people/{id}/links`).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(deny_unknown_fields)]
pub struct NewOwnLink {
    /// Where it will be kept.
    pub medium: Medium,
    /// The id of this request, which becomes the link's.
    pub request: Uuid,
}

/// A lasting link that was just made. Nobody can read it again.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct MadeOwnLink {
    /// The link.
    pub card: OwnLinkCard,
    /// Its address, without scheme and host.
    pub path: String,
}

/// What erasing a person would change, and what stands against it (`GET /api/planner/people/{id}/erasure`).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct ErasureSheet {
    /// Their name.
    pub name: Name,
    /// The groups in which they are enrolled, by name.
    pub groups: Vec<String>,
    /// How many lasting links they have.
    pub links: usize,
    /// In how many classes they were expected.
    pub classes: usize,
    /// The day of the first of these.
    pub first: Option<Date>,
    /// The day of the last.
    pub last: Option<Date>,
    /// How often they reported discomfort.
    pub reports: usize,
    /// How many follow-ups about them are open.
    pub follow_ups: usize,
    /// How many notes about them are signed.
    pub notes: usize,
    /// How many lines about others have their name in them, which stay.
    pub mentions: usize,
    /// Whether a class with them has not ended.
    pub not_over: bool,
    /// Why their record must be kept for now, if so.
    pub held: Option<HeldRecord>,
}

/// Why a record must be kept for now.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct HeldRecord {
    /// The reason.
    pub reason: Sentence,
    /// Since when.
    pub since: EpochMs,
}

/// Holds a person's record (`PUT /api/planner/people/{id}/hold`).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(deny_unknown_fields)]
pub struct HoldRecord {
    /// Why it must be kept for now.
    pub reason: Sentence,
}

/// Erases a person (`POST /api/planner/people/{id}/erasure`).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(deny_unknown_fields)]
pub struct ErasePerson {
    /// Their name, typed by whoever erases them.
    pub name: String,
}

/// What an erasure changed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct ErasureReport {
    /// Classes that no longer name them.
    pub classes: usize,
    /// Lines in these that were written anew.
    pub lines: usize,
    /// The day on which they were erased.
    pub day: Date,
}

/// Tells people by mail that a class is cancelled (`POST /api/planner/groups/{id}/letters`).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(deny_unknown_fields)]
pub struct MailCancelled {
    /// The regular day of the class.
    pub of: Date,
}

/// What was put into the outbox.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct Mailed {
    /// How many letters are on their way.
    pub posted: u32,
    /// How many had been asked for today already.
    pub again: u32,
    /// Who has no mail address.
    pub without: Vec<Name>,
}

/// A letter to somebody, as staff see it (`GET /api/planner/people/{id}/letters`).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct LetterCard {
    /// What it was for.
    pub purpose: Purpose,
    /// When somebody asked for it.
    pub asked_at: EpochMs,
    /// What became of it.
    pub state: LetterState,
    /// Why it was not sent the last time, in the mail server's words.
    pub error: Option<String>,
}

/// What became of a letter.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum LetterState {
    /// It is tried, or tried again.
    Waits,
    /// A mail server took it.
    Sent,
    /// It is not tried again.
    Failed,
}
