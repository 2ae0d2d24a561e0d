//! The bus: tells other nodes that a session has new events. It carries hints only; whoever misses
//! one sees the gap in the sequence and reads the ledger.

use std::collections::HashMap;
use std::sync::{Mutex, PoisonError};

use tokio::sync::broadcast;

use crate::ledger::SessionId;

/// A session has events up to this place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Hint {
    /// The newest place.
    pub seq: u64,
}

/// Passes hints between those who hold the same session.
pub trait Bus: Send + Sync {
    /// Says that `session` has events up to `hint.seq`.
    fn publish(&self, session: SessionId, hint: Hint);

    /// All hints of `session` from now on.
    fn subscribe(&self, session: SessionId) -> broadcast::Receiver<Hint>;
}

/// Hints kept for a slow reader. One that falls behind is told so and reads the ledger.
const KEPT: usize = 16;

/// The bus within one process.
#[derive(Debug, Default)]
pub struct InProcess {
    sessions: Mutex<HashMap<SessionId, broadcast::Sender<Hint>>>,
}

impl Bus for InProcess {
    fn publish(&self, session: SessionId, hint: Hint) {
        let mut sessions = self.sessions.lock().unwrap_or_else(PoisonError::into_inner);
        // Nobody listening is fine: the hint is only a hint. Nor is it kept that somebody listened once.
        if sessions.get(&session).is_some_and(|listeners| listeners.send(hint).is_err()) {
            sessions.remove(&session);
        }
    }

    fn subscribe(&self, session: SessionId) -> broadcast::Receiver<Hint> {
        let mut sessions = self.sessions.lock().unwrap_or_else(PoisonError::into_inner);
        sessions.retain(|_, listeners| listeners.receiver_count() > 0);
        sessions.entry(session).or_insert_with(|| broadcast::channel(KEPT).0).subscribe()
    }
}
