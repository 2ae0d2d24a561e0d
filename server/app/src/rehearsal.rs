//! Plays the rehearsed participants: the acts of `samebreath_core::rehearse` go to the room as anybody's commands
//! do.

use std::collections::{HashMap, HashSet};
use std::sync::Arc;
use std::time::Duration;

use samebreath_core::live::{
    Actor, CareEvent, Command, CommandId, Content, Event, ReportId, SeatCommand, SeatId, Stage, StagePhase,
    StepId,
};
use samebreath_core::rehearse::{self, Act, Due, Moment, Rehearsed};
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
    seed: u64,
    people: Vec<Rehearsed>,
    seats: HashMap<usize, Seated>,
    plans: Vec<(usize, EpochMs, Due, Act)>,
    opened: bool,
    step: Option<StepId>,
    entered: HashSet<StepId>,
    clue: Option<(StepId, u32)>,
    effort: Option<u32>,
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
            seed: cast.seed,
            people: rehearse::people(cast.people.into()),
            seats: HashMap::new(),
            plans: Vec::new(),
            opened: false,
            step: None,
            entered: HashSet::new(),
            clue: None,
            effort: None,
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
        if !self.opened && stage.phase != StagePhase::Closed {
            self.opened = true;
            self.plan(now, Moment::Opened);
        }
        self.notice_step(&stage, now).await?;
        let clue = stage.clue.as_ref().zip(self.step).map(|(clue, step)| (step, clue.number));
        if clue != self.clue {
            self.clue = clue;
            if let Some((step, number)) = clue {
                self.plan(now, Moment::Clue { step, number });
            }
        }
        if stage.effort != self.effort {
            self.effort = stage.effort;
            if let Some(number) = stage.effort {
                self.plan(now, Moment::Effort { number });
            }
        }
        self.act(&stage, now).await?;
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

    async fn notice_step(&mut self, stage: &Stage, now: EpochMs) -> Option<()> {
        let Some(last) = stage.moves.last().filter(|m| Some(m.step) != self.step) else { return Some(()) };
        self.step = Some(last.step);
        self.entered.insert(last.step);
        let (step, rev) = (last.step, last.rev);
        let asked = self
            .room
            .ask(|reply| Input::Content { step, rev, only_named: true, language: None, reply })
            .await
            .ok()?;
        if let Some(content) = asked {
            let entered = u32::try_from(self.entered.len()).unwrap_or(u32::MAX);
            self.plan(now, Moment::Step { content: &content as &Content, entered, of: stage.of });
        }
        Some(())
    }

    fn plan(&mut self, now: EpochMs, moment: Moment<'_>) {
        for (index, person) in self.people.iter().enumerate() {
            for (due, act) in rehearse::acts(person, index as u64, self.seed, moment) {
                self.plans.push((index, now, due, act));
            }
        }
    }

    async fn act(&mut self, stage: &Stage, now: EpochMs) -> Option<()> {
        let position = stage.moves.iter().rfind(|m| m.at <= now).map(|m| (m.step, m.offset_at(now)));
        let present = stage.moves.last().map(|m| m.step);
        let is_due = |since: EpochMs, due: Due| match due {
            Due::After(ms) => now.since(since) >= ms,
            Due::At(step, ms) => position.is_some_and(|(at, offset_ms)| at == step && offset_ms >= ms),
        };
        let (due, later): (Vec<_>, Vec<_>) =
            std::mem::take(&mut self.plans).into_iter().partition(|(_, since, due, _)| is_due(*since, *due));
        self.plans = later;
        self.plans.retain(|(_, _, due, _)| match due {
            Due::After(_) => true,
            Due::At(step, _) => present.is_none_or(|present| present == *step),
        });
        for (index, _, _, act) in due {
            self.carry_out(index, act).await?;
        }
        Some(())
    }

    async fn carry_out(&mut self, index: usize, act: Act) -> Option<()> {
        match act {
            Act::Join => {
                let name = self.people[index].name.clone();
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
