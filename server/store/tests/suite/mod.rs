//! What every database must do, with one file for each concern. To run the suite for a database, add a test file
//! beside this folder that calls `suite!(how_to_open_it)`.
#![allow(dead_code, clippy::unwrap_used, missing_docs, reason = "every database uses it")]

pub mod accounts;
pub mod audit;
pub mod documents;
pub mod ledger;
pub mod notes;
pub mod passes;
pub mod sessions;

use samebreath_core::live::{Actor, ClassEvent, Recorded};
use samebreath_core::time::EpochMs;
use samebreath_store::Store;
use samebreath_store::ledger::{NewEvent, SessionId};
use samebreath_store::sessions::SessionEntry;
use uuid::Uuid;

pub const SESSION: SessionId = SessionId(Uuid::from_u128(1));
pub const OTHER: SessionId = SessionId(Uuid::from_u128(2));

/// Makes a test of each check in the suite. `$open` returns a new, empty database and what must stay alive with it.
#[macro_export]
macro_rules! suite {
    ($open:expr) => {
        $crate::suite!($open, ledger:
            what_was_committed_is_read_back_in_order,
            a_second_writer_of_the_same_place_conflicts_and_leaves_nothing,
            of_many_rivals_at_once_one_wins,
            appends_to_many_sessions_at_once_all_commit,
            what_was_handed_over_before_closing_is_kept_and_nothing_is_taken_after);
        $crate::suite!($open, sessions:
            a_session_is_found_by_id_code_and_request,
            a_code_and_a_request_make_one_session,
            whether_a_session_is_over_is_known_without_its_ledger,
            a_group_has_its_classes_and_no_rehearsals);
        $crate::suite!($open, passes:
            a_link_that_works_once_works_once,
            expired_passes_are_forgotten,
            a_lasting_link_ends_with_its_devices_and_their_passes,
            word_is_kept_once_and_can_be_taken_back);
        $crate::suite!($open, accounts:
            the_first_account_is_made_once,
            an_identity_is_one_accounts_alone,
            an_account_is_found_by_the_name_that_it_signs_in_with,
            one_coordinator_always_stays,
            codes_and_steps_count_once,
            a_link_to_an_account_works_once,
            whoever_is_signed_out_takes_the_passes_along,
            a_sign_in_is_kept_as_long_as_its_passes_are);
        $crate::suite!($open, audit:
            acts_are_read_back_in_order_and_follow_from_each_other,
            acts_of_many_at_once_make_one_chain,
            old_acts_are_emptied_and_the_chain_still_holds);
        $crate::suite!($open, notes:
            notes_are_read_back_as_they_were_signed,
            one_note_a_person_and_class_and_any_number_added_to_it,
            an_erased_persons_notes_are_emptied_and_the_list_still_holds);
        $crate::suite!($open, documents:
            a_document_is_kept_in_versions,
            a_save_behind_another_changes_nothing,
            a_document_of_another_kind_is_another_document,
            a_document_of_a_later_form_is_named);
    };
    ($open:expr, $concern:ident: $($check:ident),+) => {
        $(
            #[tokio::test]
            async fn $check() {
                let (store, _kept) = $open.await;
                $crate::suite::add_sessions(&*store).await;
                $crate::suite::$concern::$check(store).await;
            }
        )+
    };
}

pub fn entry(id: SessionId, code: &str) -> SessionEntry {
    SessionEntry {
        id,
        code: code.to_owned(),
        title: "x".to_owned(),
        rehearsal: false,
        created_at: EpochMs(i64::try_from(id.0.as_u128()).unwrap()),
        group: None,
        of: None,
        ended_at: None,
        request: None,
    }
}

pub async fn add_sessions(store: &dyn Store) {
    store.add_session(&entry(SESSION, "AAAAAAAA")).await.unwrap();
    store.add_session(&entry(OTHER, "BBBBBBBB")).await.unwrap();
}

pub fn event(seq: u64, id: u128) -> NewEvent {
    let recorded =
        Recorded { seq, at: EpochMs(5), by: Actor::Entry, cause: None, event: ClassEvent::Opened.into() };
    NewEvent { id: Uuid::from_u128(id), recorded }
}
