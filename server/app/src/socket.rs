//! The life of one websocket: one task, over any socket that speaks messages.
//!
//! It sends the newest frames (a slow connection skips stages, never reports), answers clock
//! questions itself, passes commands to the room, and gives up on a browser that is silent or does
//! not read. When it ends, whatever the way, the room is told.

use std::num::NonZeroU32;
use std::time::Duration;

use axum::extract::ws::{CloseFrame, Message, WebSocket};
use governor::clock::{Clock as _, DefaultClock};
use governor::{DefaultDirectRateLimiter, Quota, RateLimiter};
use rand::RngExt;
use samebreath_core::live::{Actor, Command, CommandId, DeskRole};
use samebreath_wire::{ClientMessage, Close, MESSAGES_A_MINUTE, REPORTS_A_MINUTE, RoleName, ServerMessage};
use tokio::sync::{mpsc, watch};
use tokio::time::{Instant, MissedTickBehavior, timeout};
use tokio_util::sync::CancellationToken;

use crate::clock::Clock;
use crate::metrics;
use crate::room::{Answerer, Asked, Attached, ConnectionId, Frame, Input, RoomHandle, Who};

/// Answers that wait for a socket. More than its browser may ask in a minute.
const ANSWERS: usize = 256;
/// Protocol pings keep proxies from closing an idle socket (the usual limit is 60 s).
const PING_EVERY: Duration = Duration::from_secs(20);
/// A browser sends something every 10 s; a hidden one is woken at worst once a minute.
const SILENT_AFTER: Duration = Duration::from_secs(100);
/// A browser that takes nothing for this long is too slow.
const WRITE_WITHIN: Duration = Duration::from_secs(10);
/// After a restart browsers come back spread over this.
const COME_BACK_WITHIN_MS: u32 = 1_000;

/// What a socket needs.
pub struct Conversation {
    /// Its number.
    pub connection: ConnectionId,
    /// Whom it speaks for.
    pub who: Who,
    /// Its room.
    pub room: RoomHandle,
    /// The server's clock.
    pub clock: Clock,
    /// Ends it when the server stops.
    pub shutdown: CancellationToken,
}

/// Talks until either side ends it.
pub async fn talk(mut socket: WebSocket, conversation: Conversation) {
    let Conversation { connection, who, room, .. } = &conversation;
    metrics::socket(role(*who), 1.0);
    let attached = room.ask(|reply| Input::Attach { connection: *connection, who: *who, reply }).await;
    let close = match attached {
        Ok(Some(attached)) => {
            let end = Talk::new(&conversation, attached).run(&mut socket).await;
            // A room that has stopped forgot its connections with it.
            let _ = room.tell(Input::Detach { connection: *connection }).await;
            end
        }
        Ok(None) => Some(Close::NotAllowed),
        Err(_) => Some(Close::Restarting),
    };
    if let Some(close) = close {
        metrics::closed(close.reason());
        let frame = CloseFrame { code: close.code(), reason: close.reason().into() };
        // The browser may be gone already.
        let _ = timeout(WRITE_WITHIN, socket.send(Message::Close(Some(frame)))).await;
    }
    metrics::socket(role(*who), -1.0);
}

struct Talk<'a> {
    of: &'a Conversation,
    frames: Attached,
    answers: (mpsc::Sender<ServerMessage>, mpsc::Receiver<ServerMessage>),
    allowance: DefaultDirectRateLimiter,
    safety_allowance: DefaultDirectRateLimiter,
    heard: Instant,
    /// Nothing is read from the socket before.
    reads_from: Instant,
}

/// `None`: the browser ended it.
type End = Option<Close>;

impl<'a> Talk<'a> {
    fn new(of: &'a Conversation, frames: Attached) -> Self {
        let a_minute =
            |n: u32| RateLimiter::direct(Quota::per_minute(NonZeroU32::new(n).unwrap_or(NonZeroU32::MIN)));
        Self {
            of,
            frames,
            answers: mpsc::channel(ANSWERS),
            allowance: a_minute(MESSAGES_A_MINUTE),
            safety_allowance: a_minute(REPORTS_A_MINUTE),
            heard: Instant::now(),
            reads_from: Instant::now(),
        }
    }

    async fn run(mut self, socket: &mut WebSocket) -> End {
        let seat = if let Who::Seat(seat) = self.of.who { Some(seat) } else { None };
        let welcome =
            ServerMessage::Welcome { role: role_name(self.of.who), seat, clock_id: self.of.clock.id() };
        if let Err(end) = send(socket, welcome.encode().into()).await {
            return end;
        }
        let mut ping = tokio::time::interval(PING_EVERY);
        ping.set_missed_tick_behavior(MissedTickBehavior::Delay);
        ping.reset();
        loop {
            if let Err(end) = self.turn(socket, &mut ping).await {
                return end;
            }
        }
    }

    async fn turn(&mut self, socket: &mut WebSocket, ping: &mut tokio::time::Interval) -> Result<(), End> {
        tokio::select! {
            // What is new for this person goes before the answer to what they tapped, so that no page
            // has a moment in which it knows of neither; both go before stages, stages before the rest.
            biased;
            () = self.of.shutdown.cancelled() => {
                let in_ms = rand::rng().random_range(0..COME_BACK_WITHIN_MS);
                send(socket, ServerMessage::Restart { in_ms }.encode().into()).await?;
                Err(Some(Close::Restarting))
            }
            frame = newest(self.frames.mine.as_mut()) => send_newest(socket, frame?).await,
            Some(answer) = self.answers.1.recv() => send(socket, answer.encode().into()).await,
            frame = newest(Some(&mut self.frames.stage)) => send_newest(socket, frame?).await,
            message = read(socket, self.reads_from) => self.hear(socket, message).await,
            frame = newest(self.frames.desk.as_mut()) => send_newest(socket, frame?).await,
            changed = self.frames.recording.changed() => {
                changed.map_err(|_| Some(Close::Restarting))?;
                let now = !*self.frames.recording.borrow_and_update();
                send(socket, ServerMessage::NotRecording { now }.encode().into()).await
            }
            _ = ping.tick() => {
                if self.heard.elapsed() > SILENT_AFTER {
                    return Err(Some(Close::Silent));
                }
                let sent = timeout(WRITE_WITHIN, socket.send(Message::Ping(Vec::new().into()))).await;
                sent.map_err(|_| Some(Close::TooSlow))?.map_err(|_| None)
            }
        }
    }

    async fn hear(
        &mut self,
        socket: &mut WebSocket,
        message: Option<Result<Message, axum::Error>>,
    ) -> Result<(), End> {
        let received_ms = self.of.clock.precise_ms();
        let message = message.ok_or(None)?.map_err(|_| None)?;
        let text = match message {
            Message::Text(text) => text,
            // A pong proves that the device is on the network, not that the page is alive.
            Message::Ping(_) | Message::Pong(_) => return Ok(()),
            Message::Binary(_) => return Err(Some(Close::BadMessage)),
            Message::Close(_) => return Err(None),
        };
        let message = match ClientMessage::decode(&text) {
            Ok(message) => message,
            Err(error) => {
                let id = ClientMessage::id_of_unreadable(&text).ok_or(Some(Close::BadMessage))?;
                let (code, text) = ("unreadable".to_owned(), error.to_string());
                return send(socket, ServerMessage::Refused { id, code, text }.encode().into()).await;
            }
        };
        if message.is_for_safety() {
            // More than anybody needs: none is refused, and the next are read when their turn comes.
            if let Err(later) = self.safety_allowance.check() {
                self.reads_from = Instant::now() + later.wait_time_from(DefaultClock::default().now());
            }
        } else if self.allowance.check().is_err() {
            return Err(Some(Close::TooMany));
        }
        self.heard = Instant::now();
        match message {
            ClientMessage::ClockAsk { sent_ms, visible, round_trip_ms } => {
                let connection = self.of.connection;
                self.of.room.mention(Input::Heard { connection, visible, round_trip_ms });
                let (answered_ms, clock_id) = (self.of.clock.precise_ms(), self.of.clock.id());
                let clock = ServerMessage::Clock { sent_ms, received_ms, answered_ms, clock_id };
                send(socket, clock.encode().into()).await
            }
            ClientMessage::Seat { id, command } => self.ask(id, Command::Seat(command)).await,
            ClientMessage::Desk { id, command } => self.ask(id, Command::Desk(command)).await,
        }
    }

    /// Passes a command on. Whether this role may give it is decided with the command.
    async fn ask(&self, id: CommandId, command: Command) -> Result<(), End> {
        let by = match self.of.who {
            Who::Desk(role) => Actor::Desk(role),
            Who::Seat(seat) => Actor::Seat(seat),
            Who::Wall => return Err(Some(Close::NotAllowed)),
        };
        let (at, answer) = (self.of.clock.now(), Answerer::Socket(self.answers.0.clone()));
        self.tell(Input::Command(Asked { by, id: Some(id), command, at, answer })).await
    }

    async fn tell(&self, input: Input) -> Result<(), End> {
        self.of.room.tell(input).await.map_err(|_| Some(Close::Restarting))
    }
}

async fn read(socket: &mut WebSocket, from: Instant) -> Option<Result<Message, axum::Error>> {
    tokio::time::sleep_until(from).await;
    socket.recv().await
}

/// The newest frame once there is one that was not sent; never for an audience this is not.
async fn newest(frames: Option<&mut watch::Receiver<Frame>>) -> Result<Frame, End> {
    let Some(frames) = frames else { return std::future::pending().await };
    frames.changed().await.map_err(|_| Some(Close::Restarting))?;
    Ok(frames.borrow_and_update().clone())
}

async fn send_newest(socket: &mut WebSocket, frame: Frame) -> Result<(), End> {
    if frame.is_empty() {
        // Not in the class, or no longer.
        return Err(Some(Close::NotAllowed));
    }
    send(socket, frame).await
}

async fn send(socket: &mut WebSocket, frame: Frame) -> Result<(), End> {
    let sent = timeout(WRITE_WITHIN, socket.send(Message::Text(frame))).await;
    sent.map_err(|_| Some(Close::TooSlow))?.map_err(|_| None)
}

fn role(who: Who) -> &'static str {
    match who {
        Who::Desk(DeskRole::Facilitator) => "facilitator",
        Who::Desk(DeskRole::Helper) => "helper",
        Who::Seat(_) => "seat",
        Who::Wall => "wall",
    }
}

fn role_name(who: Who) -> RoleName {
    match who {
        Who::Desk(DeskRole::Facilitator) => RoleName::Facilitator,
        Who::Desk(DeskRole::Helper) => RoleName::Helper,
        Who::Seat(_) => RoleName::Seat,
        Who::Wall => RoleName::Wall,
    }
}
