//! Finds the session to go on with after a restart, and sets the clock for it.

use samebreath_store::sessions::SessionEntry;
use samebreath_store::{Store, StoreError};

use crate::host::clock::Clock;
use crate::room::hub::Hub;

/// The newest class that has not ended and can be read. Rehearsals do not count. `hub` remembers the sessions that
/// cannot be read.
///
/// # Errors
/// When the store cannot answer.
pub async fn unfinished(store: &dyn Store, hub: &Hub) -> Result<Option<SessionEntry>, StoreError> {
    for entry in store.unfinished_sessions().await?.into_iter().filter(|entry| !entry.rehearsal) {
        // Opening the room shows whether the ledger can be read, and the room will soon be needed anyway.
        match hub.room(entry.id).await {
            Ok(Some(_)) => return Ok(Some(entry)),
            Ok(None) => {}
            Err(error) if error.is_of_one_session() => {}
            Err(error) => return Err(error),
        }
    }
    Ok(None)
}

/// Sets the clock past the newest line of every unfinished session, because the system's clock may have been set
/// back since that line was written.
///
/// # Errors
/// When the store cannot answer.
pub async fn set_clock(store: &dyn Store, clock: &Clock) -> Result<(), StoreError> {
    for entry in store.unfinished_sessions().await? {
        let Some(last) = store.last_at(entry.id).await? else { continue };
        let behind_ms = clock.not_before(last);
        if behind_ms > 0 {
            tracing::warn!(
                session.id = %entry.id,
                clock.behind_ms = behind_ms,
                "the system's clock is behind this session's ledger; time goes on from its last line"
            );
        }
    }
    Ok(())
}
