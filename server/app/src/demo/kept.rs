//! Puts the demo's documents and past classes into the store.

use samebreath_core::live::Recorded;
use samebreath_core::plan::group::GroupId;
use samebreath_core::time::EpochMs;
use samebreath_core::versioned::{Document, Versioned};
use samebreath_core::week::series::Occurrence;
use samebreath_store::Store;
use samebreath_store::ledger::{Append, NewEvent, SessionId};
use samebreath_store::sessions::SessionEntry;
use serde::Serialize;
use uuid::Uuid;

use crate::access::token;

pub(super) async fn add<T: Document + Serialize + Sync>(
    store: &(dyn Store + 'static),
    content: T,
    updated_at: EpochMs,
) -> anyhow::Result<Uuid> {
    let id = Uuid::now_v7();
    store.add_document(&Versioned { id, version: 1, updated_at, content }).await?;
    Ok(id)
}

pub(super) async fn save<T: Document + Serialize + Sync>(
    store: &(dyn Store + 'static),
    id: Uuid,
    content: T,
    updated_at: EpochMs,
) -> anyhow::Result<()> {
    store.save_document(&Versioned { id, version: 1, updated_at, content }).await?;
    Ok(())
}

pub(super) async fn keep(
    store: &(dyn Store + 'static),
    (group, class): (GroupId, &Occurrence),
    title: String,
    ledger: &[Recorded],
) -> anyhow::Result<SessionId> {
    let id = SessionId(Uuid::now_v7());
    let created_at = ledger.first().map_or(class.starts, |line| line.at);
    let entry = SessionEntry {
        id,
        code: token::new_code(),
        title,
        rehearsal: false,
        created_at,
        group: Some(group),
        of: Some(class.of),
        ended_at: None,
        request: None,
    };
    store.add_session(&entry).await?;
    let lines = ledger.iter().cloned().map(|recorded| NewEvent { id: Uuid::now_v7(), recorded });
    match store.append(id, 0, lines.collect()).await {
        Append::Committed => Ok(id),
        Append::Conflict => anyhow::bail!("a past class exists already"),
        Append::Unknown(error) => Err(error.into()),
    }
}
