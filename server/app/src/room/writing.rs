//! A write to the ledger, from the first attempt until its outcome is known.

use std::collections::HashMap;
use std::pin::Pin;
use std::sync::Arc;
use std::time::Duration;

use samebreath_core::live::{Event, Recorded, Refusal, Session};
use samebreath_store::ledger::{Append, Ledger, NewEvent, SessionId};
use tokio::sync::watch;
use tokio::time::Instant;
use tokio_util::sync::CancellationToken;

use crate::host::metrics;
use crate::room::handle::Asked;

/// The wait between attempts while the ledger cannot be written.
const AGAIN: Duration = Duration::from_millis(500);

pub(super) type Outcome = Result<Vec<Event>, Refusal>;
/// A write under way, and what changes once it is on disk.
pub(crate) struct Writing {
    pub(super) batch: Vec<Asked>,
    pub(super) outcomes: Vec<Outcome>,
    pub(super) events: Vec<Recorded>,
    /// The session with the events applied; `None` when they are applied only after the write.
    pub(super) next: Option<Session>,
    pub(super) write: Pin<Box<dyn Future<Output = Written> + Send>>,
}

/// What became of a write.
pub(crate) enum Written {
    /// All its events are on disk.
    Committed,
    /// It was unclear whether the events were written. This is what the ledger says now.
    ReadAgain(Box<Session>, Vec<Recorded>),
    /// The server is stopping and the ledger cannot be read or written.
    GaveUp,
}

impl Writing {
    pub(crate) async fn finish(&mut self) -> Written {
        self.write.as_mut().await
    }
}

/// Everything a write needs, so that the room can go on meanwhile.
pub(super) struct Attempt {
    pub(super) ledger: Arc<dyn Ledger>,
    pub(super) session: SessionId,
    pub(super) after: u64,
    pub(super) lines: Vec<NewEvent>,
    pub(super) recording: watch::Sender<bool>,
    pub(super) shutdown: CancellationToken,
}

impl Attempt {
    pub(super) async fn write(self) -> Written {
        let (begun, many) = (Instant::now(), self.lines.len());
        let outcome = self.ledger.append(self.session, self.after, self.lines.clone()).await;
        metrics::append(begun.elapsed(), many);
        match outcome {
            Append::Committed => {
                self.say_recording(true);
                Written::Committed
            }
            Append::Conflict => {
                tracing::info!(session.id = %self.session, "another writer was first; reading the ledger again");
                self.read_again().await
            }
            Append::Unknown(error) => {
                tracing::error!(
                    session.id = %self.session,
                    error = &error as &dyn std::error::Error,
                    "could not write the ledger; trying again"
                );
                self.say_recording(false);
                tokio::time::sleep(AGAIN).await;
                self.read_again().await
            }
        }
    }

    /// Reads the ledger to learn what happened, trying again until it can be read.
    async fn read_again(&self) -> Written {
        while !self.shutdown.is_cancelled() {
            match self.ledger.read_after(self.session, 0).await {
                Ok(ledger) => {
                    if let Some(session) = Session::replay(&ledger) {
                        if self.is_in(&ledger) {
                            self.say_recording(true);
                        }
                        return Written::ReadAgain(Box::new(session), ledger);
                    }
                    tracing::error!(session.id = %self.session, "the ledger has a gap");
                }
                Err(error) => tracing::error!(
                    session.id = %self.session,
                    error = &error as &dyn std::error::Error,
                    "could not read the ledger; trying again"
                ),
            }
            tokio::time::sleep(AGAIN).await;
        }
        Written::GaveUp
    }

    /// Whether the lines are on disk after all, although the write was not confirmed.
    fn is_in(&self, ledger: &[Recorded]) -> bool {
        let by_seq: HashMap<u64, &Recorded> = ledger.iter().map(|line| (line.seq, line)).collect();
        self.lines.iter().all(|line| by_seq.get(&line.recorded.seq) == Some(&&line.recorded))
    }

    fn say_recording(&self, works: bool) {
        self.recording.send_if_modified(|before| std::mem::replace(before, works) != works);
    }
}
