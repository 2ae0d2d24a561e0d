//! Carrying out commands: decide, append, then show and answer.

use std::collections::HashMap;
use std::pin::Pin;
use std::sync::Arc;
use std::time::Duration;

use samebreath_core::live::{
    Actor, Alert, Command, CommandId, Context, DeskCommand, DeskFrame, Event, Pressed, Recorded, Refusal,
    Session,
};
use samebreath_core::time::EpochMs;
use samebreath_store::bus::Hint;
use samebreath_store::ledger::{Append, Ledger, NewEvent, SessionId};
use samebreath_wire::ServerMessage;
use tokio::sync::watch;
use tokio::time::Instant;
use tokio_util::sync::CancellationToken;
use uuid::Uuid;

use crate::metrics;
use crate::room::{Answerer, Asked, REPORT_WITHIN, Room};
use samebreath_core::live::SeatEvent;

/// Wait between attempts while the ledger cannot be written.
const AGAIN: Duration = Duration::from_millis(500);
/// What is decided and appended together.
const BATCH: usize = 64;
/// Urgent reports that the desks are shown before they are recorded: each is worked out anew for each desk frame.
const MOST_ALARMING: usize = 32;

type Outcome = Result<Vec<Event>, Refusal>;

/// A write under way: what it will have changed once it is on disk.
pub(crate) struct Writing {
    batch: Vec<Asked>,
    outcomes: Vec<Outcome>,
    events: Vec<Recorded>,
    /// The session with the events applied; nothing where applying them is left for later.
    next: Option<Session>,
    write: Pin<Box<dyn Future<Output = Written> + Send>>,
}

/// A safety pause that is shown and not on disk yet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Pausing {
    by: Actor,
    id: Option<CommandId>,
    at: EpochMs,
}

impl Pausing {
    fn of(asked: &Asked) -> Self {
        Self { by: asked.by, id: asked.id, at: asked.at }
    }
}

/// An urgent report that the desks have and the disk has not.
#[derive(Debug, Clone)]
pub(crate) struct Alarming {
    by: Actor,
    id: Option<CommandId>,
    command: Command,
    at: EpochMs,
}

/// What became of a write.
pub(crate) enum Written {
    /// All its events are on disk.
    Committed,
    /// It may or may not have been; this is what the ledger says now.
    ReadAgain(Box<Session>, Vec<Recorded>),
    /// The server stops and the ledger cannot be written.
    GaveUp,
}

impl Writing {
    pub(crate) async fn finish(&mut self) -> Written {
        self.write.as_mut().await
    }
}

impl Room {
    /// Begins to write what waits, unless a write is under way, or nothing of it is in a hurry.
    pub(crate) fn write_what_waits(&mut self) {
        while self.writing.is_none() && !self.asked.is_empty() && !self.gathers() {
            let many = self.asked.len().min(BATCH);
            let batch: Vec<Asked> = self.asked.drain(..many).collect();
            self.carry_out(batch);
        }
    }

    /// Whether what waits may wait for more.
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
            recording: self.frames.recording(),
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

    /// Shows a safety pause before it is recorded, and puts it before everything that waits. What
    /// was pressed before it and is decided after it does not move the class (`PausedMeanwhile`).
    pub(crate) fn pause_at_once(&mut self, asked: Asked) {
        if self.pausing.is_none() && self.ahead(Pausing::of(&asked)).is_some() {
            self.pausing = Some(Pausing::of(&asked));
            self.show_stage();
        }
        self.asked.push_front(asked);
    }

    /// The safety pauses that wait. They go before a batch that is decided anew as well: none of it was
    /// shown.
    fn take_pauses(&mut self) -> Vec<Asked> {
        let is_other = |asked: &Asked| asked.command != Command::Desk(DeskCommand::PauseForSafety);
        let others = self.asked.iter().position(is_other).unwrap_or(self.asked.len());
        self.asked.drain(..others).collect()
    }

    /// Alarms the desks of an urgent report before it is recorded: also while the ledger cannot be written.
    pub(crate) fn alarm_at_once(&mut self, asked: &Asked) {
        if !asked.alarms_at_once() || self.alarming.len() >= MOST_ALARMING {
            return;
        }
        let Asked { by, id, command, at, .. } = asked;
        self.alarming.push(Alarming { by: *by, id: *id, command: command.clone(), at: *at });
        self.desk_within(REPORT_WITHIN);
    }

    /// What the desks see: with urgent reports that are not on disk yet, marked as such.
    pub(crate) fn desk_frame(&self, now: EpochMs) -> DeskFrame {
        if self.alarming.is_empty() {
            return self.session.desk(now, &self.presence);
        }
        let mut ahead = self.session.clone();
        let mut unrecorded = Vec::new();
        for Alarming { by, id, command, at } in &self.alarming {
            if id.is_some_and(|id| ahead.has_counted(id)) {
                continue;
            }
            for event in ahead.decide(&self.context(*at, None), *by, command).unwrap_or_default() {
                if let Event::Seat {
                    what: SeatEvent::Reported { report, .. } | SeatEvent::ReportAmended { report, .. },
                    ..
                } = &event
                {
                    unrecorded.push(*report);
                }
                ahead.apply(&Recorded { seq: ahead.seq() + 1, at: *at, by: *by, cause: *id, event });
            }
        }
        let mut desk = ahead.desk(now, &self.presence);
        // What is said of the ledger is true of what is in it.
        desk.seq = self.session.seq();
        for alert in &mut desk.alerts {
            if let Alert::Report(report) = alert {
                report.recorded = !unrecorded.contains(&report.id);
            }
        }
        desk
    }

    /// What was shown ahead is on disk, or was refused after all.
    fn settle(&mut self, batch: &[Asked]) {
        self.alarming
            .retain(|alarming| batch.iter().all(|asked| (asked.by, asked.id) != (alarming.by, alarming.id)));
        if self.pausing.is_some_and(|pausing| batch.iter().any(|asked| Pausing::of(asked) == pausing)) {
            self.pausing = None;
            self.show_stage();
        }
    }

    /// Shows the stage, with a safety pause that is not on disk yet.
    pub(crate) fn show_stage(&mut self) {
        let ahead = self.paused_ahead();
        self.frames.show_stage(ahead.as_ref().unwrap_or(&self.session), self.around.clock.now());
    }

    /// The session with the safety pause that is shown and not on disk yet.
    pub(crate) fn paused_ahead(&self) -> Option<Session> {
        self.pausing.and_then(|pausing| self.ahead(pausing))
    }

    /// The session with a pause applied that is not on disk yet; nothing when it would be refused.
    fn ahead(&self, Pausing { by, id, at }: Pausing) -> Option<Session> {
        if id.is_some_and(|id| self.session.has_counted(id)) {
            return None;
        }
        let pause = Command::Desk(DeskCommand::PauseForSafety);
        let events = self.session.decide(&self.context(at, None), by, &pause).ok()?;
        let mut ahead = self.session.clone();
        for event in events {
            ahead.apply(&Recorded { seq: ahead.seq() + 1, at, by, cause: None, event });
        }
        Some(ahead)
    }

    fn context(&self, at: EpochMs, pressed: Option<Pressed>) -> Context<'_> {
        let lead_time_ms = self.connections.lead_time_ms();
        // Times in a ledger never run backwards, whatever the system's clock did.
        let now = at.max(self.session.last_at());
        Context { now, lead_time_ms, library: &self.around.library, presence: &self.presence, pressed }
    }

    /// Decides each command on top of those before it. One that was counted before has made what it made, and changes
    /// nothing. The session afterwards is given where it was needed; one command alone needs no copy.
    fn decide(&self, batch: &[Asked]) -> (Vec<Outcome>, Vec<Recorded>, Option<Session>) {
        if let [asked] = batch
            && !asked.id.is_some_and(|id| self.session.has_counted(id))
        {
            let context = self.context(asked.at, asked.pressed);
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
            let mut context = self.context(asked.at, asked.pressed);
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

/// The line of the ledger for an event of a command.
fn recorded(seq: u64, at: EpochMs, Asked { by, id, .. }: &Asked, event: &Event) -> Recorded {
    Recorded { seq, at, by: *by, cause: *id, event: event.clone() }
}

/// Everything a write needs, so that the room can go on meanwhile.
struct Attempt {
    ledger: Arc<dyn Ledger>,
    session: SessionId,
    after: u64,
    lines: Vec<NewEvent>,
    recording: watch::Sender<bool>,
    shutdown: CancellationToken,
}

impl Attempt {
    async fn write(self) -> Written {
        let (begun, many) = (Instant::now(), self.lines.len());
        let outcome = self.ledger.append(self.session, self.after, self.lines.clone()).await;
        metrics::append(begun.elapsed(), many);
        match outcome {
            Append::Committed => {
                self.say_recording(true);
                Written::Committed
            }
            Append::Conflict => {
                tracing::info!(session.id = %self.session, "another writer was first");
                self.read_again().await
            }
            Append::Unknown(error) => {
                tracing::error!(
                    session.id = %self.session,
                    error = &error as &dyn std::error::Error,
                    "not recorded; trying again"
                );
                self.say_recording(false);
                tokio::time::sleep(AGAIN).await;
                self.read_again().await
            }
        }
    }

    /// Takes the ledger's word for what happened, as often as it needs.
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
                    "ledger not read; trying again"
                ),
            }
            tokio::time::sleep(AGAIN).await;
        }
        Written::GaveUp
    }

    /// Whether the lines are on disk although nobody said so.
    fn is_in(&self, ledger: &[Recorded]) -> bool {
        let by_seq: HashMap<u64, &Recorded> = ledger.iter().map(|line| (line.seq, line)).collect();
        self.lines.iter().all(|line| by_seq.get(&line.recorded.seq) == Some(&&line.recorded))
    }

    fn say_recording(&self, works: bool) {
        self.recording.send_if_modified(|before| std::mem::replace(before, works) != works);
    }
}
