//! Carrying out commands: decide, append, then show and answer.

use std::sync::Arc;

use samebreath_core::library::Library;
use samebreath_core::live::{Command, Context, DeskCommand, Event, Pressed, Recorded, Session};
use samebreath_core::time::EpochMs;
use samebreath_store::bus::Hint;
use samebreath_store::ledger::NewEvent;
use samebreath_wire::ServerMessage;
use tokio::time::Instant;
use uuid::Uuid;

use crate::host::metrics;
use crate::room::handle::{Answerer, Asked};
use crate::room::state::Room;
use crate::room::writing::{Attempt, Outcome, Writing, Written};

/// The most commands that are decided and appended together.
const BATCH: usize = 64;

impl Room {
    /// Starts writing what waits, unless a write is under way or everything that waits can wait longer.
    pub(crate) fn write_what_waits(&mut self) {
        while self.writing.is_none() && !self.asked.is_empty() && !self.gathers() {
            let many = self.asked.len().min(BATCH);
            let batch: Vec<Asked> = self.asked.drain(..many).collect();
            self.carry_out(batch);
        }
    }

    /// Whether to hold what waits a little longer, so that more can join the same write.
    fn gathers(&self) -> bool {
        (1..BATCH).contains(&self.asked.len())
            && Instant::now() < self.gathers_until
            && self.asked.iter().all(Asked::can_wait)
            && !self.around.shutdown.is_cancelled()
    }

    fn carry_out(&mut self, batch: Vec<Asked>) {
        let (outcomes, events, next) = self.decide(&batch);
        if events.is_empty() {
            self.settle(&batch);
            return self.answer(batch, outcomes);
        }
        let lines = events.iter().map(|recorded| NewEvent { id: Uuid::now_v7(), recorded: recorded.clone() });
        let attempt = Attempt {
            ledger: Arc::clone(&self.around.ledger),
            session: self.id,
            after: self.session.seq(),
            lines: lines.collect(),
            recording: self.audiences.recording(),
            shutdown: self.around.shutdown.clone(),
        };
        self.writing = Some(Writing { batch, outcomes, events, next, write: Box::pin(attempt.write()) });
    }

    pub(crate) fn take_written(&mut self, written: Written) {
        let Some(Writing { mut batch, outcomes, events, next, .. }) = self.writing.take() else { return };
        match written {
            Written::Committed => {
                match next {
                    Some(next) => self.session = next,
                    None => events.iter().for_each(|recorded| self.session.apply(recorded)),
                }
                self.settle(&batch);
                self.around.bus.publish(self.id, Hint { seq: self.session.seq() });
                self.show(&events);
                self.answer(batch, outcomes);
            }
            Written::ReadAgain(session, ledger) => {
                self.session = *session;
                self.show(&ledger);
                batch.splice(0..0, self.take_pauses());
                self.carry_out(batch);
            }
            // The browsers keep what was not acknowledged and send it again.
            Written::GaveUp => {
                self.asked.clear();
                self.alarming.clear();
            }
        }
    }

    /// Takes the safety pauses off the front of the queue. They go ahead even of a batch that has to be decided
    /// again, since nothing of that batch was shown.
    fn take_pauses(&mut self) -> Vec<Asked> {
        let is_other = |asked: &Asked| asked.command != Command::Desk(DeskCommand::PauseForSafety);
        let others = self.asked.iter().position(is_other).unwrap_or(self.asked.len());
        self.asked.drain(..others).collect()
    }

    pub(super) fn context<'a>(
        &'a self,
        library: &'a Library,
        at: EpochMs,
        pressed: Option<Pressed>,
    ) -> Context<'a> {
        let lead_time_ms = self.connections.lead_time_ms();
        // Times in a ledger never run backwards, whatever happened to the system's clock.
        let now = at.max(self.session.last_at());
        Context { now, lead_time_ms, library, presence: &self.presence, pressed }
    }

    /// Decides each command on top of those before it. A command that counted before changes nothing; its outcome
    /// is the event that it made then. Also returns the session with all events applied, except after a lone
    /// command: deciding one command needs no copy of the session.
    fn decide(&self, batch: &[Asked]) -> (Vec<Outcome>, Vec<Recorded>, Option<Session>) {
        let library = self.around.shelf.library();
        if let [asked] = batch
            && !asked.id.is_some_and(|id| self.session.has_counted(id))
        {
            let context = self.context(&library, asked.at, asked.pressed);
            let outcome = self.session.decide(&context, asked.by, &asked.command);
            let events = (self.session.seq() + 1..).zip(outcome.iter().flatten());
            let events = events.map(|(seq, event)| recorded(seq, context.now, asked, event)).collect();
            return (vec![outcome], events, None);
        }
        let mut next = self.session.clone();
        let mut outcomes = Vec::with_capacity(batch.len());
        let mut events = Vec::new();
        for asked in batch {
            if let Some(id) = asked.id.filter(|id| next.has_counted(*id)) {
                outcomes.push(Ok(next.made_by(id).cloned().into_iter().collect()));
                continue;
            }
            let mut context = self.context(&library, asked.at, asked.pressed);
            context.now = context.now.max(next.last_at());
            let outcome = next.decide(&context, asked.by, &asked.command);
            for event in outcome.iter().flatten() {
                let recorded = recorded(next.seq() + 1, context.now, asked, event);
                next.apply(&recorded);
                events.push(recorded);
            }
            outcomes.push(outcome);
        }
        (outcomes, events, Some(next))
    }

    fn answer(&self, batch: Vec<Asked>, outcomes: Vec<Outcome>) {
        for (asked, outcome) in batch.into_iter().zip(outcomes) {
            metrics::command(outcome.is_ok());
            match (asked.answer, asked.id) {
                (Answerer::Waiting(reply), _) => drop(reply.send(outcome)),
                (Answerer::Nobody, _) | (Answerer::Socket(_), None) => {}
                (Answerer::Socket(outlet), Some(id)) => {
                    let message = match outcome {
                        Ok(_) => ServerMessage::Taken { id },
                        Err(refusal) => {
                            let (code, text) = (refusal.code().to_owned(), refusal.to_string());
                            ServerMessage::Refused { id, code, text }
                        }
                    };
                    if let Some(outlet) = outlet.upgrade() {
                        outlet.tell(&message);
                    }
                }
            }
        }
    }
}

/// The ledger line for an event that a command caused.
fn recorded(seq: u64, at: EpochMs, Asked { by, id, .. }: &Asked, event: &Event) -> Recorded {
    Recorded { seq, at, by: *by, cause: *id, event: event.clone() }
}
