//! A live session in memory: one task owns it, everybody else holds a handle.
//!
//! The task takes what waits, decides it, appends the events and only then shows and acknowledges
//! them; a safety pause alone is shown first. It knows nothing of sockets: it publishes frames on
//! watch channels, where a slow reader finds the newest and skips the rest.

use std::collections::HashMap;
use std::sync::Arc;
use std::time::Duration;

use axum::extract::ws::Utf8Bytes;
use samebreath_core::library::Library;
use samebreath_core::live::{
    Actor, Command, CommandId, Content, DeskCommand, DeskRole, Event, Heard, Presence, Recorded, SeatId,
    Session, SheetStep, StepId,
};
use samebreath_core::time::EpochMs;
use samebreath_store::StoreError;
use samebreath_store::bus::{Bus, Hint};
use samebreath_store::ledger::{Ledger, SessionId};
use samebreath_wire::ServerMessage;
use tokio::sync::{broadcast, mpsc, oneshot, watch};
use tokio::time::{Instant, MissedTickBehavior};
use tokio_util::sync::CancellationToken;

use crate::clock::Clock;
use crate::frames::Frames;
use crate::lead::lead_ms;
use crate::metrics;

/// A frame ready to send; cloning counts a reference.
pub type Frame = Utf8Bytes;

/// One socket, numbered over the life of the process.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct ConnectionId(pub u64);

/// Whom a socket speaks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Who {
    /// A desk.
    Desk(DeskRole),
    /// A participant.
    Seat(SeatId),
    /// The wall.
    Wall,
}

/// Commands and news that may wait for the room. A full queue makes the socket wait, which makes
/// its browser wait; nothing is dropped.
const WAITING: usize = 1024;
/// What is decided and appended together.
const BATCH: usize = 64;
/// Desk frames are at most this often; reports do not wait for it.
const DESK_EVERY: Duration = Duration::from_millis(250);
/// How often presence is looked at.
const TICK: Duration = Duration::from_secs(1);
/// A room without anybody is put away after this; the ledger brings it back.
const IDLE: Duration = Duration::from_secs(600);
/// What the room's task is told.
#[derive(Debug)]
pub enum Input {
    /// A command, decided at `at`.
    Command(Asked),
    /// A socket is there.
    Attach {
        /// Which.
        connection: ConnectionId,
        /// For whom.
        who: Who,
        /// The frames it is to send.
        reply: oneshot::Sender<Attached>,
    },
    /// A socket is gone.
    Detach {
        /// Which.
        connection: ConnectionId,
    },
    /// A page said that it is there.
    Heard {
        /// On which socket.
        connection: ConnectionId,
        /// Whether it can be seen.
        visible: bool,
        /// Its round trip, if measured.
        round_trip_ms: Option<f64>,
    },
    /// Asks for the content of a step.
    Content {
        /// Which step.
        step: StepId,
        /// Of which revision.
        rev: u32,
        /// Whether only what the stage already names may be seen.
        only_named: bool,
        /// The content, if it may be seen.
        reply: oneshot::Sender<Option<Content>>,
    },
    /// Asks for the run sheet.
    Sheet {
        /// The booked length and the steps.
        reply: oneshot::Sender<(i64, Vec<SheetStep>)>,
    },
}

/// A command on its way.
#[derive(Debug)]
pub struct Asked {
    /// Whose.
    pub by: Actor,
    /// The browser's id, so that it counts once.
    pub id: Option<CommandId>,
    /// What.
    pub command: Command,
    /// When it came.
    pub at: EpochMs,
    /// Where the answer goes.
    pub answer: Answerer,
}

impl Asked {
    /// The one command that is shown before it is recorded.
    pub(crate) fn is_safety_pause(&self) -> bool {
        self.command == Command::Desk(DeskCommand::PauseForSafety)
    }
}

/// Where the answer to a command goes.
#[derive(Debug)]
pub enum Answerer {
    /// To a socket, as a message. A socket whose queue is full is about to be closed as too slow,
    /// and its browser will ask again.
    Socket(mpsc::Sender<ServerMessage>),
    /// To whoever waits for the outcome.
    Waiting(oneshot::Sender<Result<Vec<Event>, samebreath_core::live::Refusal>>),
}

/// The frames of a socket.
#[derive(Debug)]
pub struct Attached {
    /// The newest stage.
    pub stage: watch::Receiver<Frame>,
    /// The newest private frame, for a seat.
    pub mine: Option<watch::Receiver<Frame>>,
    /// The newest desk frame, for a desk.
    pub desk: Option<watch::Receiver<Frame>>,
    /// Whether the ledger can be written.
    pub recording: watch::Receiver<bool>,
}

/// What others hold of a room.
#[derive(Debug, Clone)]
pub struct RoomHandle {
    inputs: mpsc::Sender<Input>,
}

/// The room has stopped; ask the hub for it again.
#[derive(Debug, thiserror::Error)]
#[error("the room has stopped")]
pub struct Stopped;

impl RoomHandle {
    /// Tells the room something; waits while its queue is full.
    ///
    /// # Errors
    /// When its task has ended.
    pub async fn tell(&self, input: Input) -> Result<(), Stopped> {
        self.inputs.send(input).await.map_err(|_| Stopped)
    }

    /// Tells the room something that it can do without: the next heartbeat says the same.
    pub fn mention(&self, input: Input) {
        let _ = self.inputs.try_send(input);
    }

    /// Whether its task has ended.
    pub fn has_stopped(&self) -> bool {
        self.inputs.is_closed()
    }

    /// Asks the room something and waits for the answer.
    ///
    /// # Errors
    /// When its task has ended.
    pub async fn ask<T>(&self, input: impl FnOnce(oneshot::Sender<T>) -> Input) -> Result<T, Stopped> {
        let (reply, answer) = oneshot::channel();
        self.tell(input(reply)).await?;
        answer.await.map_err(|_| Stopped)
    }
}

/// What a room needs from around it.
#[derive(Clone)]
pub struct Surroundings {
    /// The durable truth.
    pub ledger: Arc<dyn Ledger>,
    /// News from other nodes.
    pub bus: Arc<dyn Bus>,
    /// Where drills are looked up.
    pub library: Arc<Library>,
    /// The server's clock.
    pub clock: Clock,
    /// Ends the room.
    pub shutdown: CancellationToken,
}

/// The state of the task.
pub(crate) struct Room {
    pub(crate) id: SessionId,
    pub(crate) around: Surroundings,
    pub(crate) session: Session,
    pub(crate) presence: Presence,
    connections: HashMap<ConnectionId, (Who, bool)>,
    round_trips: HashMap<ConnectionId, f64>,
    pub(crate) frames: Frames,
    desk_due: Option<Instant>,
    desk_shown: Instant,
    idle_since: Instant,
}

/// Reads the session's ledger and starts its task; `None` when there is no such ledger.
///
/// # Errors
/// When the ledger cannot be read.
pub async fn start(
    id: SessionId,
    around: Surroundings,
) -> Result<Option<(RoomHandle, impl Future<Output = ()>)>, StoreError> {
    let hints = around.bus.subscribe(id);
    let ledger = around.ledger.read_after(id, 0).await?;
    let Some(session) = Session::replay(&ledger) else { return Ok(None) };
    let presence = Presence::default();
    let frames = Frames::new(&session, &presence, around.clock.now());
    let (inputs, waiting) = mpsc::channel(WAITING);
    let now = Instant::now();
    let room = Room {
        id,
        around,
        session,
        presence,
        connections: HashMap::new(),
        round_trips: HashMap::new(),
        frames,
        desk_due: None,
        desk_shown: now,
        idle_since: now,
    };
    Ok(Some((RoomHandle { inputs }, room.run(waiting, hints))))
}

impl Room {
    async fn run(mut self, mut inputs: mpsc::Receiver<Input>, mut hints: broadcast::Receiver<Hint>) {
        let mut tick = tokio::time::interval(TICK);
        tick.set_missed_tick_behavior(MissedTickBehavior::Delay);
        let shutdown = self.around.shutdown.clone();
        loop {
            let desk_due = self.desk_due;
            tokio::select! {
                () = shutdown.cancelled() => break,
                input = inputs.recv() => {
                    let Some(first) = input else { break };
                    self.take(first, &mut inputs).await;
                }
                () = tokio::time::sleep_until(desk_due.unwrap_or_else(Instant::now)), if desk_due.is_some() => {
                    self.show_desk();
                }
                _ = tick.tick() => {
                    self.desk_due.get_or_insert_with(Instant::now);
                    if self.connections.is_empty() && self.idle_since.elapsed() > IDLE {
                        break;
                    }
                }
                hint = hints.recv() => self.catch_up(hint).await,
            }
        }
        // What was already handed in is still decided and recorded.
        inputs.close();
        while let Some(first) = inputs.recv().await {
            self.take(first, &mut inputs).await;
        }
        tracing::info!(session.id = %self.id, "room put away");
    }

    /// Takes the first input and whatever waits behind it.
    async fn take(&mut self, first: Input, inputs: &mut mpsc::Receiver<Input>) {
        let mut asked = Vec::new();
        let mut next = Some(first);
        while let Some(input) = next {
            match input {
                Input::Command(command) => asked.push(command),
                other => self.note(other),
            }
            next = if asked.len() < BATCH { inputs.try_recv().ok() } else { None };
        }
        // A safety pause is shown before it is recorded, so it goes in a batch of its own: nothing else
        // may be shown with it that is not on disk yet.
        for batch in asked.into_iter().fold(Vec::<Vec<Asked>>::new(), |mut batches, asked| {
            match batches.last_mut() {
                Some(last) if !asked.is_safety_pause() && !last.iter().any(Asked::is_safety_pause) => {
                    last.push(asked);
                }
                _ => batches.push(vec![asked]),
            }
            batches
        }) {
            self.carry_out(batch).await;
        }
    }

    fn note(&mut self, input: Input) {
        match input {
            Input::Command(_) => {}
            Input::Attach { connection, who, reply } => self.attach(connection, who, reply),
            Input::Detach { connection } => self.detach(connection),
            Input::Heard { connection, visible, round_trip_ms } => {
                self.hear(connection, visible, round_trip_ms);
            }
            Input::Content { step, rev, only_named, reply } => {
                // Whoever asked may have gone.
                let _ = reply.send(self.content(step, rev, only_named));
            }
            Input::Sheet { reply } => {
                let pace = self.session.desk(self.around.clock.now(), &self.presence).pace;
                let _ = reply.send((pace.class_ms, self.session.sheet()));
            }
        }
    }

    fn attach(&mut self, connection: ConnectionId, who: Who, reply: oneshot::Sender<Attached>) {
        self.connections.insert(connection, (who, true));
        self.heard(who, true);
        let now = self.around.clock.now();
        let attached = self.frames.attach(who, &self.session, &self.presence, now);
        if reply.send(attached).is_err() {
            self.detach(connection);
        }
        self.desk_soon();
    }

    fn detach(&mut self, connection: ConnectionId) {
        self.round_trips.remove(&connection);
        let Some((who, _)) = self.connections.remove(&connection) else { return };
        let others = self.connections.values().any(|(other, _)| *other == who);
        let heard = match who {
            Who::Seat(seat) => self.presence.seats.get_mut(&seat),
            Who::Desk(role) => self.presence.desks.get_mut(&role),
            Who::Wall => None,
        };
        if let Some(heard) = heard.filter(|_| !others) {
            heard.connected = false;
        }
        if self.connections.is_empty() {
            self.idle_since = Instant::now();
        }
        self.desk_soon();
    }

    fn hear(&mut self, connection: ConnectionId, visible: bool, round_trip_ms: Option<f64>) {
        let Some((who, was_visible)) = self.connections.get_mut(&connection) else { return };
        let (who, changed) = (*who, *was_visible != visible);
        *was_visible = visible;
        if let Some(round_trip_ms) = round_trip_ms.filter(|ms| ms.is_finite() && *ms >= 0.0) {
            self.round_trips.insert(connection, round_trip_ms);
        }
        let any_visible = self.connections.values().any(|(other, visible)| *other == who && *visible);
        self.heard(who, any_visible);
        if changed {
            self.desk_soon();
        }
    }

    fn heard(&mut self, who: Who, visible: bool) {
        let heard = Heard { at: self.around.clock.now(), visible, connected: true };
        match who {
            Who::Seat(seat) => {
                let stays = self.session.seat_of(seat).map_or(seat, |(id, _)| id);
                self.presence.seats.insert(stays, heard);
            }
            Who::Desk(role) => drop(self.presence.desks.insert(role, heard)),
            Who::Wall => {}
        }
    }

    fn content(&self, step: StepId, rev: u32, only_named: bool) -> Option<Content> {
        let live = self.session.step(step).filter(|live| live.rev == rev)?;
        let named = || {
            let stage = self.session.stage(self.around.clock.now());
            stage.steps.iter().any(|s| s.id == step)
        };
        (!only_named || named()).then(|| live.content())
    }

    pub(crate) fn lead_ms(&self) -> i64 {
        lead_ms(&self.round_trips)
    }

    /// Another node appended events: read them from the ledger and show them.
    async fn catch_up(&mut self, hint: Result<Hint, broadcast::error::RecvError>) {
        if let Ok(Hint { seq }) = hint
            && seq <= self.session.seq()
        {
            return;
        }
        match self.around.ledger.read_after(self.id, self.session.seq()).await {
            Ok(events) => {
                for recorded in &events {
                    self.session.apply(recorded);
                }
                self.show(&events);
            }
            Err(error) => {
                tracing::warn!(session.id = %self.id, error = &error as &dyn std::error::Error, "ledger not read");
            }
        }
    }

    /// Shows what `events` changed: the class first, then persons, then the desk.
    pub(crate) fn show(&mut self, events: &[Recorded]) {
        let now = self.around.clock.now();
        if events.iter().any(|r| r.event.changes_stage()) {
            self.frames.show_stage(&self.session, now);
        }
        self.frames.show_persons(&self.session, events);
        if events.iter().any(|r| matches!(r.event, Event::Reported { .. })) {
            self.show_desk();
        } else {
            self.desk_soon();
        }
    }

    fn desk_soon(&mut self) {
        let due = self.desk_shown + DESK_EVERY;
        self.desk_due = Some(self.desk_due.map_or(due, |earlier| earlier.min(due)));
    }

    fn show_desk(&mut self) {
        self.desk_due = None;
        self.desk_shown = Instant::now();
        self.frames.show_desk(&self.session, &self.presence, self.around.clock.now());
        metrics::desk_frame();
    }
}
