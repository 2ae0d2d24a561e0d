//! Plays the rehearsed participants: the acts of `samebreath_core::rehearse` go to the room as anybody's commands
//! do.

use std::collections::HashMap;
use std::sync::Arc;
use std::time::Duration;

use samebreath_core::live::{
    Actor, CareEvent, Command, CommandId, Event, ReportId, SeatCommand, SeatId, StagePhase, StepRef,
};
use samebreath_core::rehearse::{self, Act, Players};
use samebreath_core::time::EpochMs;
use samebreath_store::ledger::SessionId;
use tokio::sync::oneshot;
use tokio::time::Instant;
use uuid::Uuid;

use crate::app::App;
use crate::room::{Answerer, Asked, ConnectionId, Input, RoomHandle, Who};
use crate::settings::Cast;

/// A rehearsal ends when nobody has been at its desk for this long.
const LEFT_ALONE: Duration = Duration::from_secs(15 * 60);
/// How often the rehearsal looks at the stage and the clock.
const LOOK: Duration = Duration::from_millis(200);

/// Rehearses a session until it ends or the server stops.
pub async fn rehearse(app: Arc<App>, session: SessionId, cast: Cast) {
    let Ok(Some(room)) = app.hub.room(session).await else { return };
    let mut class = Class::new(Arc::clone(&app), room, cast);
    let mut look = tokio::time::interval(LOOK);
    loop {
        tokio::select! {
            () = app.shutdown.cancelled() => break,
            _ = look.tick() => {
                if class.look().await.is_none() {
                    break;
                }
                if class.is_left().await {
                    tracing::info!(session.id = %session, "nobody is at this rehearsal's desk; its people leave");
                    class.go_home().await;
                    break;
                }
            }
        }
    }
}

struct Class {
    app: Arc<App>,
    room: RoomHandle,
    players: Players,
    seats: HashMap<usize, Seated>,
    /// When somebody was last at a desk.
    led_at: Instant,
}

struct Seated {
    seat: SeatId,
    connection: ConnectionId,
    is_here: bool,
    heard: EpochMs,
}

impl Class {
    fn new(app: Arc<App>, room: RoomHandle, cast: Cast) -> Self {
        Self {
            app,
            room,
            players: Players::new(rehearse::people(cast.people.into()), cast.seed),
            seats: HashMap::new(),
            led_at: Instant::now(),
        }
    }

    /// Looks at the stage, plans what to do about it and does what is due. `None` ends the rehearsal.
    async fn look(&mut self) -> Option<()> {
        let stage = self.room.ask(|reply| Input::Stage { reply }).await.ok()?;
        let now = self.app.clock.now();
        if stage.phase == StagePhase::Ended {
            return None;
        }
        if let Some(StepRef { id: step, rev }) = self.players.new_step(&stage) {
            let asked = |reply| Input::Content { step, rev, only_named: true, language: None, reply };
            if let Some(content) = self.room.ask(asked).await.ok()? {
                self.players.enter(&content, &stage, now);
            }
        }
        for (index, act) in self.players.look(&stage, now) {
            self.carry_out(index, act).await?;
        }
        self.breathe(now);
        Some(())
    }

    /// Whether nobody has been at a desk for [`LEFT_ALONE`].
    async fn is_left(&mut self) -> bool {
        if self.room.ask(|reply| Input::HasDesk { reply }).await.unwrap_or(false) {
            self.led_at = Instant::now();
        }
        self.led_at.elapsed() > LEFT_ALONE
    }

    /// The rehearsed people leave, so that their room can be put away.
    async fn go_home(&mut self) {
        for (_, Seated { connection, .. }) in self.seats.drain() {
            // If the room has stopped, its connections are gone with it.
            let _ = self.room.tell(Input::Detach { connection }).await;
        }
    }

    async fn carry_out(&mut self, index: usize, act: Act) -> Option<()> {
        match act {
            Act::Join => {
                let name = self.players.person(index)?.name.clone();
                let events = self.ask(Actor::Entry, Command::TakeSeat { name }).await?;
                for event in events {
                    if let Event::Care { seat, what: CareEvent::SeatTaken { .. } } = event {
                        let (connection, heard) = (self.app.next_connection(), self.app.clock.now());
                        let is_here = self.attach(connection, seat).await;
                        self.seats.insert(index, Seated { seat, connection, is_here, heard });
                    }
                }
            }
            Act::Tell(command) => self.say(index, command).await?,
            Act::ReportSoreNeck => {
                let report = ReportId(Uuid::now_v7());
                self.say(index, SeatCommand::Report { report, said: rehearse::sore_neck() }).await?;
            }
            Act::Vanish => {
                if let Some(seated) = self.seats.get_mut(&index) {
                    seated.is_here = false;
                    let connection = seated.connection;
                    self.room.tell(Input::Detach { connection }).await.ok()?;
                }
            }
            Act::Return => {
                if let Some(Seated { seat, connection, .. }) = self.seats.get(&index) {
                    let (seat, connection) = (*seat, *connection);
                    let is_here = self.attach(connection, seat).await;
                    self.seats.entry(index).and_modify(|seated| seated.is_here = is_here);
                }
            }
        }
        Some(())
    }

    /// Connects the person to the room. True if they are in the class.
    async fn attach(&self, connection: ConnectionId, seat: SeatId) -> bool {
        let who = Who::Seat(seat);
        let attached = self.room.ask(|reply| Input::Attach { connection, who, screen: None, reply }).await;
        attached.is_ok_and(|recording| recording.is_some())
    }

    /// Gives a person's command to the room, unless the person has no seat or is off the network.
    async fn say(&self, index: usize, command: SeatCommand) -> Option<()> {
        let Some(seated) = self.seats.get(&index).filter(|s| s.is_here) else { return Some(()) };
        let asked = self.asked(Actor::Seat(seated.seat), Command::Seat(command), Answerer::Nobody);
        self.room.tell(asked).await.ok()
    }

    /// The events that came of a command; none if it was refused. `None` when the room has stopped.
    async fn ask(&self, by: Actor, command: Command) -> Option<Vec<Event>> {
        let asked = |reply: oneshot::Sender<_>| self.asked(by, command, Answerer::Waiting(reply));
        Some(self.room.ask(asked).await.ok()?.unwrap_or_default())
    }

    fn asked(&self, by: Actor, command: Command, answer: Answerer) -> Input {
        let (id, at) = (Some(CommandId(Uuid::now_v7())), self.app.clock.now());
        Input::Command(Asked { by, id, pressed: None, command, at, answer })
    }

    /// Gives a sign of life for everybody on the network now and then, as browsers do.
    fn breathe(&mut self, now: EpochMs) {
        for seated in self.seats.values_mut().filter(|s| s.is_here && now.since(s.heard) > 5_000) {
            seated.heard = now;
            let connection = seated.connection;
            self.room.mention(Input::Heard { connection, visible: true, round_trip_ms: None });
        }
    }
}
