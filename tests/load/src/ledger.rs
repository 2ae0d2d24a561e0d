//! How many events a second the ledger commits to disk.

use std::sync::Arc;
use std::time::{Duration, Instant};

use samebreath_core::live::{Actor, ClassEvent, Event, Recorded};
use samebreath_core::time::EpochMs;
use samebreath_store::ledger::{Append, Ledger, NewEvent, SessionId};
use samebreath_store::sessions::{SessionEntry, Sessions};
use samebreath_store::{Sqlite, Upkeep};
use serde::Serialize;
use uuid::Uuid;

/// The figures of the ledger with a number of rooms.
#[derive(Debug, Clone, Serialize)]
pub struct Appends {
    /// How many rooms append at once, each one event at a time.
    pub rooms: usize,
    /// Events a second, of all rooms together.
    pub per_s: f64,
    /// Milliseconds that a room waited for one append, on average.
    pub waited_ms: f64,
}

/// Lets `rooms` rooms append for `time`.
pub async fn appends(rooms: usize, time: Duration) -> anyhow::Result<Appends> {
    let folder = tempfile::tempdir()?;
    let store = Arc::new(Sqlite::open(folder.path()).await?);
    let mut ids = Vec::with_capacity(rooms);
    for room in 0..rooms {
        let id = SessionId(Uuid::now_v7());
        let (code, title, created_at) = (format!("{room:08}"), "x".to_owned(), EpochMs(0));
        store
            .add_session(&SessionEntry {
                id,
                code,
                title,
                rehearsal: false,
                created_at,
                group: None,
                of: None,
                request: None,
                ended_at: None,
            })
            .await?;
        ids.push(id);
    }
    let mut tasks = tokio::task::JoinSet::new();
    for id in ids {
        let store = Arc::clone(&store);
        tasks.spawn(async move {
            let began = Instant::now();
            let mut seq = 0;
            while began.elapsed() < time {
                let event = Event::from(ClassEvent::Opened);
                let recorded =
                    Recorded { seq: seq + 1, at: EpochMs(0), by: Actor::Entry, cause: None, event };
                let new = NewEvent { id: Uuid::now_v7(), recorded };
                match store.append(id, seq, vec![new]).await {
                    Append::Committed => seq += 1,
                    Append::Conflict => {
                        anyhow::bail!("an append was in conflict, although there is no other writer")
                    }
                    Append::Unknown(error) => return Err(error.into()),
                }
            }
            Ok(seq)
        });
    }
    let began = Instant::now();
    let mut events = 0;
    while let Some(room) = tasks.join_next().await {
        events += room??;
    }
    let seconds = began.elapsed().as_secs_f64();
    store.close().await;
    Ok(Appends {
        rooms,
        per_s: events as f64 / seconds,
        waited_ms: seconds * 1000.0 * rooms as f64 / events as f64,
    })
}
