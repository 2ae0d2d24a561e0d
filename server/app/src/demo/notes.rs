//! The notes of the demo's past classes. All of it is invented.

use jiff::tz::TimeZone;
use samebreath_core::live::Recorded;
use samebreath_core::record::class::Attended;
use samebreath_core::record::note::{NoteContent, NoteWords, SignedNote, Signer, WORDING};
use samebreath_core::staff::account::{AccountId, Clinician};
use samebreath_store::Store;
use samebreath_store::ledger::SessionId;
use uuid::Uuid;

use crate::session::notes::{HeldClass, keep};

/// Signed so long after the end of the class.
const SIGNED_AFTER_MS: i64 = 20 * 60_000;

/// What a clinician made of a class, and what follows; one after the other.
const WORDS: [(&str, &str); 5] = [
    (
        "Keeps the voice up to the end of each hold once reminded of a full breath.",
        "The same dose next week.",
    ),
    ("Tires in the second half; the last sets were softer.", "One set fewer, and a longer rest before it."),
    (
        "Follows the mark without a spoken cue for the first time.",
        "One notch more, if it stays so next week.",
    ),
    ("Sits lower towards the end; a cushion helped.", "Look at the chair at the beginning."),
    ("Slow to begin, steady once begun.", "Count them in for the first repetition."),
];

/// Signs a note about everybody who came.
pub(super) async fn sign(
    store: &(dyn Store + 'static),
    (id, ledger): (SessionId, &[Recorded]),
    zone: &TimeZone,
    week: usize,
) -> anyhow::Result<()> {
    let Some(held) = HeldClass::of(id, ledger, zone) else { return Ok(()) };
    let signer = Signer {
        account: AccountId(Uuid::nil()),
        name: super::LED_BY.try_into()?,
        clinician: Clinician {
            title: "Speech-language pathologist".try_into()?,
            licence: "an invented licence".try_into()?,
        },
    };
    let came = held.record.people.iter().filter(|one| one.attended != Attended::No);
    for (at, person) in came.enumerate() {
        let (assessment, plan) = WORDS[(week + at) % WORDS.len()];
        let words = NoteWords {
            assessment: Some(assessment.try_into()?),
            plan: Some(plan.try_into()?),
            ..NoteWords::default()
        };
        let note = SignedNote {
            signed_at: held.about.ended_at.plus(SIGNED_AFTER_MS),
            about: held.about(person, person.name.clone()),
            content: NoteContent::Note { wording: WORDING, facts: held.facts(Some(person)), words },
            signer: signer.clone(),
        };
        keep(store, Uuid::now_v7(), &note).await?;
    }
    Ok(())
}
