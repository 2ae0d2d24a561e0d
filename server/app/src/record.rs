//! Carrying out commands: decide, append, then show and answer.

use samebreath_core::live::{Context, Event, Recorded, Refusal, Session};
use samebreath_store::bus::Hint;
use samebreath_store::ledger::{Append, NewEvent};
use samebreath_wire::ServerMessage;
use tokio::time::Instant;
use uuid::Uuid;

use crate::metrics;
use crate::room::{Answerer, Asked, Room};

/// Wait between attempts while the ledger cannot be written.
const AGAIN: std::time::Duration = std::time::Duration::from_millis(500);

type Outcome = Result<Vec<Event>, Refusal>;

impl Room {
    /// Decides a batch, appends its events, and then shows and answers. Comes back only when all is
    /// on disk or refused: while the ledger cannot be written the commands wait here, and the desks
    /// are told.
    pub(crate) async fn carry_out(&mut self, batch: Vec<Asked>) {
        loop {
            let after = self.session.seq();
            let (outcomes, events) = self.decide(&batch);
            if events.is_empty() {
                return self.answer(batch, outcomes);
            }
            if batch.iter().any(Asked::is_safety_pause) {
                // The one thing that is shown before it is recorded.
                self.frames.show_stage(&self.session, self.around.clock.now());
            }
            let begun = Instant::now();
            let lines =
                events.iter().map(|recorded| NewEvent { id: Uuid::now_v7(), recorded: recorded.clone() });
            let outcome = self.around.ledger.append(self.id, after, lines.collect()).await;
            metrics::append(begun.elapsed(), events.len());
            match outcome {
                Append::Committed => {
                    self.frames.show_recording(true);
                    self.around.bus.publish(self.id, Hint { seq: self.session.seq() });
                    self.show(&events);
                    return self.answer(batch, outcomes);
                }
                Append::Conflict => {
                    tracing::info!(session.id = %self.id, "another writer was first");
                    self.read_again().await;
                }
                Append::Unknown(error) => {
                    tracing::error!(
                        session.id = %self.id,
                        error = &error as &dyn std::error::Error,
                        "not recorded; trying again"
                    );
                    self.frames.show_recording(false);
                    if self.around.shutdown.is_cancelled() {
                        // The browsers keep what was not acknowledged and send it again.
                        return;
                    }
                    tokio::time::sleep(AGAIN).await;
                    self.read_again().await;
                }
            }
        }
    }

    /// Decides each command on top of those before it and applies its events.
    fn decide(&mut self, batch: &[Asked]) -> (Vec<Outcome>, Vec<Recorded>) {
        let mut outcomes = Vec::with_capacity(batch.len());
        let mut events = Vec::new();
        let lead_ms = self.lead_ms();
        for asked in batch {
            if asked.id.is_some_and(|id| self.session.has_counted(id)) {
                outcomes.push(Ok(Vec::new()));
                continue;
            }
            let context =
                Context { now: asked.at, lead_ms, library: &self.around.library, presence: &self.presence };
            let outcome = self.session.decide(&context, asked.by, &asked.command);
            for event in outcome.iter().flatten() {
                let recorded = Recorded {
                    seq: self.session.seq() + 1,
                    at: asked.at,
                    by: asked.by,
                    cause: asked.id,
                    event: event.clone(),
                };
                self.session.apply(&recorded);
                events.push(recorded);
            }
            outcomes.push(outcome);
        }
        (outcomes, events)
    }

    /// Takes the ledger's word for what happened, as often as it needs.
    async fn read_again(&mut self) {
        loop {
            match self.around.ledger.read_after(self.id, 0).await {
                Ok(ledger) => {
                    if let Some(session) = Session::replay(&ledger) {
                        self.session = session;
                        self.show(&ledger);
                        return;
                    }
                    tracing::error!(session.id = %self.id, "the ledger has a gap");
                }
                Err(error) => tracing::error!(
                    session.id = %self.id,
                    error = &error as &dyn std::error::Error,
                    "ledger not read; trying again"
                ),
            }
            if self.around.shutdown.is_cancelled() {
                return;
            }
            tokio::time::sleep(AGAIN).await;
        }
    }

    fn answer(&self, batch: Vec<Asked>, outcomes: Vec<Outcome>) {
        for (asked, outcome) in batch.into_iter().zip(outcomes) {
            metrics::command(outcome.is_ok());
            match (asked.answer, asked.id) {
                (Answerer::Waiting(reply), _) => drop(reply.send(outcome)),
                (Answerer::Socket(_), None) => {}
                (Answerer::Socket(queue), Some(id)) => {
                    let message = match outcome {
                        Ok(_) => ServerMessage::Taken { id },
                        Err(refusal) => {
                            let (code, text) = (refusal.code().to_owned(), refusal.to_string());
                            ServerMessage::Refused { id, code, text }
                        }
                    };
                    // See `Answerer::Socket` for a full queue.
                    let _ = queue.try_send(message);
                }
            }
        }
    }
}
