//! A live session in memory: one task owns it, everybody else holds a handle.
//!
//! The task takes what waits, decides it, appends the events and only then shows and acknowledges
//! them; a safety pause alone is shown first. It never waits for the ledger: while one write is under
//! way it goes on hearing, and what comes gathers for the next; taps that can wait gather for a moment in any case. Nor does it wait for a socket: it puts
//! frames on outlets, where a slow reader finds the newest and skips the rest.

use std::collections::VecDeque;
use std::sync::Arc;
use std::time::Duration;

use samebreath_core::library::Library;
use samebreath_core::live::{Actor, Command, Event, LiveStep, Presence, Recorded, Session, StepId};
use samebreath_store::StoreError;
use samebreath_store::bus::{Bus, Hint};
use samebreath_store::ledger::{Ledger, SessionId};
use tokio::sync::{broadcast, mpsc, oneshot, watch};
use tokio::time::{Instant, MissedTickBehavior};
use tokio_util::sync::CancellationToken;

use crate::clock::Clock;
use crate::connections::{Connections, heard};
use crate::frames::Frames;
pub use crate::handle::{Answerer, Asked, ConnectionId, Input, RoomHandle, Screen, Stopped, Who};
use crate::metrics;
use crate::record::{Alarming, Pausing, Writing};
use samebreath_core::live::CareEvent;
use samebreath_core::live::SeatEvent;

/// Commands and news that may wait for the room. A full queue makes the socket wait, which makes
/// its browser wait; nothing is dropped.
const WAITING: usize = 1024;
/// Safety pauses on their way to a room; they have a queue of their own, so that nothing of others is before them.
const PAUSES: usize = 16;
/// Desk frames are at most this often.
const DESK_EVERY: Duration = Duration::from_millis(250);
/// A report or a lost person waits at most this long for a desk frame: fifty in one second are a few
/// frames, and one alone is shown at once.
pub(crate) const REPORT_WITHIN: Duration = Duration::from_millis(100);
/// A desk is told of who was heard about so often when nothing else is to be told: with the look at presence that
/// is nearest to it, so that the room does not wake up for it alone.
const DESK_ABOUT_EVERY: Duration = Duration::from_secs(2);
/// Taps that can wait are gathered for so long before they are written together, unless something comes that
/// cannot: for fifty *Done* in a few seconds the disk works some fifteen times. A desk is told of one that much
/// later.
const GATHERING: Duration = DESK_EVERY;
/// How often presence is looked at.
const TICK: Duration = Duration::from_secs(1);
/// A room without anybody is put away after this; the ledger brings it back.
const IDLE: Duration = Duration::from_secs(600);

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
    /// The session as it is on disk.
    pub(crate) session: Session,
    pub(crate) presence: Presence,
    pub(crate) connections: Connections,
    pub(crate) frames: Frames,
    /// What waits to be decided, in the order in which it came.
    pub(crate) asked: VecDeque<Asked>,
    /// What waits and can wait gathers until then.
    pub(crate) gathers_until: Instant,
    /// The write under way.
    pub(crate) writing: Option<Writing>,
    /// A safety pause that is shown and not on disk yet.
    pub(crate) pausing: Option<Pausing>,
    /// Urgent reports that the desks have and the disk has not.
    pub(crate) alarming: Vec<Alarming>,
    desk_due: Option<Instant>,
    desk_shown: Instant,
    idle_since: Instant,
}

/// Reads the session's ledger and starts its task; `None` when there is no such ledger.
///
/// # Errors
/// When the ledger cannot be read, or has a gap.
pub async fn start(
    id: SessionId,
    around: Surroundings,
) -> Result<Option<(RoomHandle, impl Future<Output = ()>)>, StoreError> {
    let hints = around.bus.subscribe(id);
    let ledger = around.ledger.read_after(id, 0).await?;
    if ledger.is_empty() {
        return Ok(None);
    }
    let session = Session::replay(&ledger).ok_or(StoreError::Gap)?;
    let presence = Presence::since(around.clock.now());
    let frames = Frames::new(&session, around.clock.now());
    let (inputs, waiting) = mpsc::channel(WAITING);
    let (pauses, pressed) = mpsc::channel(PAUSES);
    let now = Instant::now();
    let room = Room {
        id,
        around,
        session,
        presence,
        connections: Connections::default(),
        frames,
        asked: VecDeque::new(),
        gathers_until: now,
        writing: None,
        pausing: None,
        alarming: Vec::new(),
        desk_due: None,
        desk_shown: now,
        idle_since: now,
    };
    Ok(Some((RoomHandle { inputs, pauses }, room.run(waiting, pressed, hints))))
}

impl Room {
    async fn run(
        mut self,
        mut inputs: mpsc::Receiver<Input>,
        mut pauses: mpsc::Receiver<Asked>,
        mut hints: broadcast::Receiver<Hint>,
    ) {
        let mut tick = tokio::time::interval(TICK);
        tick.set_missed_tick_behavior(MissedTickBehavior::Delay);
        let shutdown = self.around.shutdown.clone();
        loop {
            self.write_what_waits();
            // What is left without a write under way gathers.
            let gathers = self.writing.is_none() && !self.asked.is_empty();
            let desk_due = self.desk_due;
            tokio::select! {
                () = shutdown.cancelled(), if !inputs.is_closed() => {
                    // What was already handed in is still decided and recorded.
                    inputs.close();
                    pauses.close();
                }
                Some(pause) = pauses.recv() => self.pause_at_once(pause),
                written = written(&mut self.writing), if self.writing.is_some() => self.take_written(written),
                input = inputs.recv(), if self.asked.len() < WAITING => match input {
                    Some(first) => self.take(first, &mut inputs),
                    // Closed: what is left are pauses, and the write under way.
                    None => match pauses.try_recv() {
                        Ok(pause) => self.pause_at_once(pause),
                        Err(_) if self.writing.is_none() => break,
                        Err(_) => {
                            let written = written(&mut self.writing).await;
                            self.take_written(written);
                        }
                    },
                },
                () = tokio::time::sleep_until(desk_due.unwrap_or_else(Instant::now)), if desk_due.is_some() => {
                    self.show_desk();
                }
                () = tokio::time::sleep_until(self.gathers_until), if gathers => {}
                _ = tick.tick() => {
                    self.notice();
                    if self.desk_shown.elapsed() + TICK / 2 > DESK_ABOUT_EVERY {
                        self.show_desk();
                    }
                    let idles = self.connections.is_empty() && self.idle_since.elapsed() > IDLE;
                    if idles && self.writing.is_none() && self.asked.is_empty() {
                        break;
                    }
                }
                hint = hints.recv(), if self.writing.is_none() => self.catch_up(hint).await,
            }
        }
        tracing::info!(session.id = %self.id, "room put away");
    }

    /// Takes the first input and whatever waits behind it.
    fn take(&mut self, first: Input, inputs: &mut mpsc::Receiver<Input>) {
        let mut next = Some(first);
        while let Some(input) = next {
            match input {
                Input::Command(command) => {
                    self.alarm_at_once(&command);
                    if self.asked.is_empty() {
                        self.gathers_until = Instant::now() + GATHERING;
                    }
                    self.asked.push_back(command);
                }
                other => self.note(other),
            }
            next = if self.asked.len() < WAITING { inputs.try_recv().ok() } else { None };
        }
    }

    fn note(&mut self, input: Input) {
        let now = self.around.clock.now();
        // Whoever asked may have gone.
        match input {
            Input::Command(_) => {}
            Input::Attach { connection, who, screen, reply } => self.attach(connection, who, screen, reply),
            Input::Detach { connection } => self.detach(connection),
            Input::Heard { connection, visible, round_trip_ms } => {
                let Some((who, visible, is_news)) =
                    self.connections.hear(connection, &self.session, visible, round_trip_ms)
                else {
                    return;
                };
                heard(&mut self.presence, &self.session, who, visible, now);
                if is_news {
                    self.desk_within(DESK_EVERY);
                }
            }
            Input::Content { step, rev, only_named, language, reply } => {
                let content = self.content(step, rev, only_named);
                let _ = reply.send(content.map(|step| step.content_in(language.as_ref())));
            }
            Input::Person { seat, role, reply } => drop(reply.send(self.session.person(seat, role))),
            Input::Clearing { role, reply } => {
                let sees = self.session.sees_health(role);
                let _ = reply.send(sees.then(|| self.session.clearing(now, &self.presence)));
            }
            Input::Seat { seat, reply } => {
                let found = self.session.seat_of(seat);
                let _ = reply.send(found.map(|(_, seat)| (seat.name.clone(), seat.place.clone())));
            }
            Input::HasDesk { reply } => drop(reply.send(self.frames.has_desks())),
            Input::Stage { reply } => drop(reply.send(self.session.stage(now))),
            Input::Sheet { reply } => {
                let pace = self.session.desk(now, &self.presence).pace;
                let _ = reply.send((pace.class_ms, self.session.sheet()));
            }
        }
    }

    fn attach(
        &mut self,
        connection: ConnectionId,
        who: Who,
        screen: Option<Screen>,
        reply: oneshot::Sender<Option<watch::Receiver<bool>>>,
    ) {
        let now = self.around.clock.now();
        if let Who::Seat(seat) = who
            && self.session.mine(seat, now).is_none()
        {
            let _ = reply.send(None);
            return;
        }
        self.connections.add(connection, who);
        heard(&mut self.presence, &self.session, who, true, now);
        if let Some(screen) = screen {
            let desk = matches!(who, Who::Desk(_)).then(|| self.desk_frame(now));
            self.frames.attach((connection, who), screen, &self.session, desk, now);
        }
        let mut recording = self.frames.recording().subscribe();
        if !*recording.borrow() {
            recording.mark_changed();
        }
        if reply.send(Some(recording)).is_err() {
            self.detach(connection);
        }
        self.desk_within(DESK_EVERY);
    }

    fn detach(&mut self, connection: ConnectionId) {
        let now = self.around.clock.now();
        if let Some(who) = self.connections.remove(connection, &mut self.presence, &self.session, now) {
            self.frames.detach(connection, who);
        }
        if self.connections.is_empty() {
            self.idle_since = Instant::now();
        }
        self.desk_within(DESK_EVERY);
    }

    /// The step, if its content may be fetched.
    fn content(&self, step: StepId, rev: u32, only_named: bool) -> Option<&LiveStep> {
        let live = self.session.step(step).filter(|live| live.rev == rev)?;
        let named = || {
            let stage = self.session.stage(self.around.clock.now());
            stage.steps.iter().any(|s| s.id == step)
        };
        (!only_named || named()).then_some(live)
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

    /// Asks itself to record what it notices.
    fn notice(&mut self) {
        let now = self.around.clock.now();
        let waits = self.writing.is_some() || self.asked.iter().any(|asked| asked.by == Actor::Watch);
        if waits {
            return;
        }
        for noticed in self.session.notice(now, &self.presence) {
            let command = Command::Notice(noticed);
            self.asked.push_back(Asked {
                by: Actor::Watch,
                id: None,
                pressed: None,
                command,
                at: now,
                answer: Answerer::Nobody,
            });
        }
    }

    /// Shows what `events` changed: class and persons, then the desk.
    pub(crate) fn show(&mut self, events: &[Recorded]) {
        let now = self.around.clock.now();
        let stage_changed = events.iter().any(|r| r.event.changes_stage());
        let ahead = self.paused_ahead().filter(|_| stage_changed);
        let staged = ahead.as_ref().or(stage_changed.then_some(&self.session));
        self.frames.show(&self.session, staged, events, now);
        let alarms = |r: &Recorded| {
            matches!(
                r.event,
                Event::Seat { what: SeatEvent::Reported { .. } | SeatEvent::ReportAmended { .. }, .. }
                    | Event::Care { what: CareEvent::Lost { .. }, .. }
            )
        };
        self.desk_within(if events.iter().any(alarms) { REPORT_WITHIN } else { DESK_EVERY });
    }

    /// At once if the desk was not shown anything for so long, else when it will be so long.
    pub(crate) fn desk_within(&mut self, since_the_last: Duration) {
        let due = self.desk_shown + since_the_last;
        self.desk_due = Some(self.desk_due.map_or(due, |earlier| earlier.min(due)));
    }

    fn show_desk(&mut self) {
        self.desk_due = None;
        self.desk_shown = Instant::now();
        if self.frames.has_desks() {
            let desk = self.desk_frame(self.around.clock.now());
            self.frames.show_desk(desk);
            metrics::desk_frame();
        }
    }
}

async fn written(writing: &mut Option<Writing>) -> crate::record::Written {
    match writing {
        Some(writing) => writing.finish().await,
        None => std::future::pending().await,
    }
}
