//! The loop of a room's task.

use std::collections::VecDeque;
use std::time::Duration;

use samebreath_core::live::{Actor, Command, Presence, Session};
use samebreath_store::StoreError;
use samebreath_store::bus::Hint;
use samebreath_store::ledger::SessionId;
use tokio::sync::{broadcast, mpsc};
use tokio::time::{Instant, MissedTickBehavior};

use crate::room::audiences::Audiences;
use crate::room::connections::Connections;
use crate::room::handle::{Answerer, Asked, Input, RoomHandle};
use crate::room::show::{DESK_ABOUT_EVERY, DESK_EVERY};
use crate::room::state::{Room, Surroundings};
use crate::room::writing::{Writing, Written};

/// How many commands and other inputs may wait for the room. When the queue is full, sockets wait and so do
/// their browsers; no command is dropped.
const WAITING: usize = 1024;
/// How many safety pauses may wait. They have a queue of their own, so that nothing else is ahead of them.
const PAUSES: usize = 16;
/// How long taps that can wait are gathered, to be written together; anything urgent cuts this short. Fifty
/// *Done* in a few seconds then take some fifteen writes. The desk hears of a tap later by this much.
const GATHERING: Duration = DESK_EVERY;
/// How often the room checks presence.
const TICK: Duration = Duration::from_secs(1);
/// A room with nobody in it is put away after this long. The ledger brings it back when it is needed.
const IDLE: Duration = Duration::from_secs(600);

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
    let audiences = Audiences::new(&session, around.clock.now());
    let (inputs, waiting) = mpsc::channel(WAITING);
    let (pauses, pressed) = mpsc::channel(PAUSES);
    let now = Instant::now();
    let room = Room {
        id,
        around,
        session,
        presence,
        connections: Connections::default(),
        audiences,
        asked: VecDeque::new(),
        gathers_until: now,
        writing: None,
        pausing: None,
        alarming: Vec::new(),
        desk_due: None,
        desk_shown: now,
        idle_since: now,
        is_put_away: false,
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
            // If something still waits and no write is under way, it is being gathered.
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
                    // Closed: only pauses and the write under way are left.
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
                    let idles = self.connections.is_empty()
                        && (self.is_put_away || self.idle_since.elapsed() > IDLE);
                    if idles && self.writing.is_none() && self.asked.is_empty() {
                        break;
                    }
                }
                hint = hints.recv(), if self.writing.is_none() => self.catch_up(hint).await,
            }
        }
        tracing::info!(session.id = %self.id, "room put away");
    }

    /// Takes the first input and all that wait behind it.
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

    /// Another node may have appended events: reads them from the ledger and shows them.
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
                tracing::warn!(
                    session.id = %self.id,
                    error = &error as &dyn std::error::Error,
                    "could not read the ledger"
                );
            }
        }
    }

    /// Queues commands to record what presence shows, such as a person who was lost.
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
}

async fn written(writing: &mut Option<Writing>) -> Written {
    match writing {
        Some(writing) => writing.finish().await,
        None => std::future::pending().await,
    }
}
