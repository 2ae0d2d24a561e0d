//! The bus tells other nodes that a session has new events. It carries only hints: a node that misses one sees the
//! gap in the sequence and reads the ledger.

use std::collections::HashMap;
use std::sync::{Mutex, PoisonError};

use tokio::sync::broadcast;

use crate::ledger::SessionId;

/// Says that a session has events up to this place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Hint {
    /// The place of the newest event.
    pub seq: u64,
}

/// Passes hints between the nodes that hold the same session.
pub trait Bus: Send + Sync {
    /// Says that `session` has events up to `hint.seq`.
    fn publish(&self, session: SessionId, hint: Hint);

    /// Receives all hints about `session` from now on.
    fn subscribe(&self, session: SessionId) -> broadcast::Receiver<Hint>;
}

/// How many hints are kept for a slow reader. A reader that falls behind is told so, and reads the ledger.
const KEPT: usize = 16;

/// The bus within one process.
#[derive(Debug, Default)]
pub struct InProcess {
    sessions: Mutex<HashMap<SessionId, broadcast::Sender<Hint>>>,
}

impl Bus for InProcess {
    fn publish(&self, session: SessionId, hint: Hint) {
        let mut sessions = self.sessions.lock().unwrap_or_else(PoisonError::into_inner);
        // It is fine if nobody listens. The entry of a session that nobody listens to any more is removed.
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
