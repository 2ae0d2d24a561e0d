//! The live rooms of this process: finds a session's room, or brings it back from its ledger.

use std::sync::Arc;
use std::time::Duration;

use dashmap::DashMap;
use samebreath_store::StoreError;
use samebreath_store::ledger::SessionId;
use tokio::sync::OnceCell;
use tokio_util::task::TaskTracker;

use crate::host::metrics;
use crate::room::{self, Input, RoomGone, RoomHandle, Surroundings};

/// How long a room may take to stop that nobody uses.
const STOPS_WITHIN: Duration = Duration::from_secs(5);

/// The rooms.
pub struct Hub {
    rooms: DashMap<SessionId, Arc<OnceCell<RoomHandle>>>,
    /// Sessions whose ledgers cannot be read, and why. They are set apart, so that all others go on.
    quarantined: DashMap<SessionId, String>,
    around: Surroundings,
    tasks: TaskTracker,
}

impl Hub {
    /// A hub without rooms. `tasks` tracks the tasks of those that it starts.
    #[must_use]
    pub fn new(around: Surroundings, tasks: TaskTracker) -> Self {
        Self { rooms: DashMap::new(), quarantined: DashMap::new(), around, tasks }
    }

    /// The room of a session; `None` when there is no such session.
    ///
    /// When many ask for the same room at once, one of them reads the ledger and the others wait.
    ///
    /// # Errors
    /// When the ledger cannot be read.
    pub async fn room(&self, id: SessionId) -> Result<Option<RoomHandle>, StoreError> {
        self.rooms.remove_if(&id, |_, cell| cell.get().is_some_and(RoomHandle::has_stopped));
        // The map's guard must be dropped before the first await.
        let cell = Arc::clone(self.rooms.entry(id).or_default().value());
        let handle = cell
            .get_or_try_init(|| async {
                let Some((handle, task)) =
                    room::start(id, self.around.clone()).await.map_err(NotStarted::Store)?
                else {
                    return Err(NotStarted::Unknown);
                };
                self.tasks.spawn(async move {
                    metrics::rooms(1.0);
                    task.await;
                    metrics::rooms(-1.0);
                });
                Ok(handle)
            })
            .await;
        match handle {
            Ok(handle) => Ok(Some(handle.clone())),
            Err(NotStarted::Unknown) => {
                self.rooms.remove_if(&id, |_, cell| cell.get().is_none());
                Ok(None)
            }
            Err(NotStarted::Store(error)) => {
                self.rooms.remove_if(&id, |_, cell| cell.get().is_none());
                self.note(id, &error);
                Err(error)
            }
        }
    }

    /// Whether people are in some class now.
    pub async fn is_any_open(&self) -> bool {
        let rooms: Vec<_> = self.rooms.iter().filter_map(|entry| entry.get().cloned()).collect();
        for room in rooms {
            if room.ask(|reply| Input::LetsIn { reply }).await.unwrap_or(false) {
                return true;
            }
        }
        false
    }

    /// Stops the room of a session, so that its ledger is read anew. False when some screen is connected.
    ///
    /// # Errors
    /// When the room ended in between; the hub is asked again.
    pub async fn put_away(&self, id: SessionId) -> Result<bool, RoomGone> {
        let known = self.rooms.get(&id).and_then(|cell| cell.get().cloned());
        let Some(room) = known.filter(|room| !room.has_stopped()) else { return Ok(true) };
        if !room.ask(|reply| Input::PutAway { reply }).await? {
            return Ok(false);
        }
        // A screen may have connected in the meantime.
        Ok(tokio::time::timeout(STOPS_WITHIN, room.stopped()).await.is_ok())
    }

    /// Remembers that a session cannot be read, and logs it once.
    pub fn note(&self, id: SessionId, error: &StoreError) {
        if error.is_of_one_session() && self.quarantined.insert(id, error.to_string()).is_none() {
            tracing::error!(session.id = %id, error = error as &dyn std::error::Error, "this session cannot be read; the others go on");
        }
    }

    /// The sessions that cannot be read, and why.
    pub fn quarantined(&self) -> Vec<(SessionId, String)> {
        self.quarantined.iter().map(|entry| (*entry.key(), entry.value().clone())).collect()
    }

    /// How many rooms are live.
    pub fn live(&self) -> usize {
        self.rooms.iter().filter(|entry| entry.get().is_some_and(|room| !room.has_stopped())).count()
    }

    /// Forgets rooms that have stopped.
    pub fn forget_stopped(&self) {
        self.rooms.retain(|_, cell| !cell.get().is_some_and(RoomHandle::has_stopped));
    }
}

enum NotStarted {
    Unknown,
    Store(StoreError),
}
