//! The life of one websocket. One task reads from it, answers clock questions itself, passes commands to the
//! room, writes what the room could not write at once, and gives up on a browser that is silent or does not
//! read. However the task ends, the room is told.

use std::sync::Arc;
use std::time::Duration;

use futures_util::{SinkExt, StreamExt};
use rand::RngExt;
use samebreath_core::live::{Actor, Command, CommandId, DeskRole, Pressed, Refusal};
use samebreath_core::text::LanguageTag;
use samebreath_wire::{ClientMessage, Close, MESSAGE_BYTES, RoleName, ServerMessage};
use tokio::net::TcpStream;
use tokio::sync::watch;
use tokio::time::{Instant, MissedTickBehavior, timeout};
use tokio_tungstenite::WebSocketStream;
use tokio_tungstenite::tungstenite::protocol::frame::coding::CloseCode;
use tokio_tungstenite::tungstenite::protocol::{CloseFrame, Role, WebSocketConfig};
use tokio_tungstenite::tungstenite::{self, Message};
use tokio_util::sync::CancellationToken;

use crate::access::limits::Allowance;
use crate::host::clock::Clock;
use crate::host::metrics;
use crate::outlet::{Outlet, OutletStream};
use crate::room::{Answerer, Asked, ConnectionId, Input, RoomHandle, ScreenOutlet, Who};

/// How many bytes are read at once. Most messages have a few hundred, so the default of 128 KiB would waste
/// memory.
const BUFFER_BYTES: usize = 1024;
/// How often the task checks for silence. A socket that said nothing since the last check is pinged, so an idle
/// one is pinged at least every 20 s; proxies usually close idle connections after 60 s.
const LOOK_EVERY: Duration = Duration::from_secs(10);
/// A browser that says nothing for this long is given up. A visible page sends something every 10 s; a hidden one
/// is woken once a minute at worst.
const SILENT_AFTER: Duration = Duration::from_secs(100);
/// How long the closing handshake may take.
const GOODBYE_WITHIN: Duration = Duration::from_secs(2);
/// Browsers come back after a restart at random times within this, so that they do not come all at once.
const COME_BACK_WITHIN_MS: u32 = 1_000;

/// What a socket needs.
pub struct Conversation {
    /// The socket's number.
    pub connection: ConnectionId,
    /// Whom it speaks for.
    pub who: Who,
    /// The language that the screen asked for, if any.
    pub language: Option<LanguageTag>,
    /// The session's room.
    pub room: RoomHandle,
    /// The server's clock.
    pub clock: Clock,
    /// The allowance of this seat, desk or wall, which all its sockets and requests share.
    pub allowance: Arc<Allowance>,
    /// Whether its commands may set what only a clinician sets.
    pub decides: bool,
    /// Ends the socket when its pass ends.
    pub ended: CancellationToken,
    /// Ends the socket when the server stops.
    pub shutdown: CancellationToken,
}

type Socket = WebSocketStream<OutletStream>;

/// Talks until either side ends the socket. `read` holds the bytes that came right after the handshake.
pub async fn talk(stream: TcpStream, read: Vec<u8>, conversation: Conversation) {
    let Conversation { connection, who, language, room, clock, .. } = &conversation;
    metrics::socket(role(*who), 1.0);
    let outlet = Outlet::new(stream);
    let config = WebSocketConfig::default()
        .read_buffer_size(BUFFER_BYTES)
        .write_buffer_size(0)
        .max_message_size(Some(MESSAGE_BYTES))
        .max_frame_size(Some(MESSAGE_BYTES));
    let line = OutletStream(Arc::clone(&outlet));
    let mut socket = WebSocketStream::from_partially_read(line, read, Role::Server, Some(config)).await;
    let seat = if let Who::Seat(seat) = *who { Some(seat) } else { None };
    outlet.tell(&ServerMessage::Welcome { role: role_name(*who), seat, clock_id: clock.id() });
    let mut stays =
        Stays { connection: *connection, room: room.clone(), outlet: Arc::clone(&outlet), told: false };
    let attached = room
        .ask(|reply| Input::Attach {
            connection: *connection,
            who: *who,
            screen: Some(ScreenOutlet { language: language.clone(), outlet: Arc::clone(&outlet) }),
            reply,
        })
        .await;
    let close = match attached {
        Ok(Some(recording)) => {
            Talk::new(&conversation, Arc::clone(&outlet), recording).run(&mut socket).await
        }
        Ok(None) => Some(Close::NotAllowed),
        Err(_) => Some(Close::Restarting),
    };
    outlet.leave();
    // Failing or timing out is fine: the browser may already be gone.
    let _ = timeout(GOODBYE_WITHIN, say_goodbye(&mut socket, &outlet, close)).await;
    outlet.shut();
    // If the room has stopped, its connections are gone with it.
    let _ = room.tell(Input::Detach { connection: *connection }).await;
    stays.told = true;
    metrics::socket(role(*who), -1.0);
}

/// Sends what still waits, then says why the socket ends and waits for the browser's answer. If the browser ended
/// the socket, answers it.
async fn say_goodbye(
    socket: &mut Socket,
    outlet: &Outlet,
    close: Option<Close>,
) -> Result<(), tungstenite::Error> {
    let Some(close) = close else {
        socket.flush().await?;
        outlet.flush().await;
        return Ok(());
    };
    metrics::closed(close.reason());
    let frame = CloseFrame { code: CloseCode::from(close.code()), reason: close.reason().into() };
    socket.send(Message::Close(Some(frame))).await?;
    let other_side = async { while let Some(Ok(_)) = socket.next().await {} };
    tokio::join!(outlet.flush(), other_side);
    Ok(())
}

/// Tells the room that the socket is gone, even when its task panics or is dropped.
struct Stays {
    connection: ConnectionId,
    room: RoomHandle,
    outlet: Arc<Outlet>,
    told: bool,
}

impl Drop for Stays {
    fn drop(&mut self) {
        if !self.told {
            self.outlet.leave();
            self.outlet.shut();
            self.room.mention(Input::Detach { connection: self.connection });
        }
    }
}

struct Talk<'a> {
    of: &'a Conversation,
    outlet: Arc<Outlet>,
    recording: watch::Receiver<bool>,
    heard: Instant,
    /// Whether the next frame is already paid for from the allowance.
    may_read: bool,
    /// Nothing is read from the socket before this, so that a browser that sends too much has to wait.
    reads_from: Instant,
    /// A command that the room has not taken yet because its queue is full. Nothing more is read until it has.
    waits: Option<Input>,
}

/// Why a socket ends; `None` when the browser ended it.
type End = Option<Close>;

impl<'a> Talk<'a> {
    fn new(of: &'a Conversation, outlet: Arc<Outlet>, recording: watch::Receiver<bool>) -> Self {
        let now = Instant::now();
        Self { of, outlet, recording, heard: now, may_read: false, reads_from: now, waits: None }
    }

    /// Pays for the next frame before it is read. When the allowance is used up, nothing is read for a while, and
    /// the browser has to wait.
    fn pay(&mut self) {
        if !self.may_read {
            match self.of.allowance.take() {
                Ok(()) => self.may_read = true,
                Err(wait) => self.reads_from = Instant::now() + wait,
            }
        }
    }

    async fn run(&mut self, socket: &mut Socket) -> End {
        let mut ping = tokio::time::interval(LOOK_EVERY);
        ping.set_missed_tick_behavior(MissedTickBehavior::Delay);
        ping.reset();
        loop {
            if let Err(end) = self.turn(socket, &mut ping).await {
                // If the room stays full, the command is dropped here and the browser sends it again.
                let _ = timeout(GOODBYE_WITHIN, self.of.room.hand_over(&mut self.waits)).await;
                return end;
            }
        }
    }

    async fn turn(&mut self, socket: &mut Socket, ping: &mut tokio::time::Interval) -> Result<(), End> {
        if Instant::now() >= self.reads_from {
            self.pay();
        }
        let (may_read, reads_from) = (self.may_read, self.reads_from);
        tokio::select! {
            // What was read is handed over before anything can end the socket. Next comes a server that is
            // stopping: it tells the browser when to come back.
            biased;
            handed = self.of.room.hand_over(&mut self.waits), if self.waits.is_some() => {
                handed.map_err(|_| Some(Close::Restarting))
            }
            () = self.of.shutdown.cancelled() => {
                let in_ms = rand::rng().random_range(0..COME_BACK_WITHIN_MS);
                self.outlet.tell(&ServerMessage::Restart { in_ms });
                Err(Some(Close::Restarting))
            }
            () = self.of.ended.cancelled() => Err(Some(Close::NotAllowed)),
            end = self.outlet.drain() => Err(end),
            message = socket.next(), if may_read && self.waits.is_none() => {
                self.may_read = false;
                self.hear(message)
            }
            () = tokio::time::sleep_until(reads_from), if !may_read => Ok(()),
            changed = self.recording.changed() => {
                changed.map_err(|_| Some(Close::Restarting))?;
                let now = !*self.recording.borrow_and_update();
                self.outlet.tell(&ServerMessage::NotRecording { now });
                Ok(())
            }
            _ = ping.tick() => {
                let silent_for = self.heard.elapsed();
                // While a command waits nothing is read, so silence is no fault of the browser.
                if self.waits.is_none() && silent_for > SILENT_AFTER {
                    return Err(Some(Close::Silent));
                }
                // A browser that was heard from since the last check was answered, so the socket is not idle.
                if silent_for < LOOK_EVERY {
                    return Ok(());
                }
                socket.send(Message::Ping(tungstenite::Bytes::new())).await.map_err(|_| None)
            }
        }
    }

    fn hear(&mut self, message: Option<Result<Message, tungstenite::Error>>) -> Result<(), End> {
        let received_ms = self.of.clock.precise_ms();
        let message = message.ok_or(None)?.map_err(|error| match error {
            tungstenite::Error::Capacity(_) => Some(Close::TooLong),
            tungstenite::Error::Utf8(_) => Some(Close::BadMessage),
            _ => None,
        })?;
        let text = match message {
            Message::Text(text) => text,
            // A pong proves that the device is on the network, not that the page is alive.
            Message::Ping(_) | Message::Pong(_) | Message::Frame(_) => return Ok(()),
            Message::Binary(_) => return Err(Some(Close::BadMessage)),
            Message::Close(_) => return Err(None),
        };
        let message = match ClientMessage::decode(&text) {
            Ok(message) => message,
            Err(error) => {
                let id = ClientMessage::id_of_unreadable(&text).ok_or(Some(Close::BadMessage))?;
                let (code, text) = ("unreadable".to_owned(), error.to_string());
                self.outlet.tell(&ServerMessage::Refused { id, code, text });
                return Ok(());
            }
        };
        self.heard = Instant::now();
        match message {
            ClientMessage::ClockAsk { sent_ms, visible, round_trip_ms } => {
                let connection = self.of.connection;
                self.of.room.mention(Input::Heard { connection, visible, round_trip_ms });
                let (answered_ms, clock_id) = (self.of.clock.precise_ms(), self.of.clock.id());
                self.outlet.tell(&ServerMessage::Clock { sent_ms, received_ms, answered_ms, clock_id });
                Ok(())
            }
            ClientMessage::Seat { id, command } => self.ask(id, None, Command::Seat(command)),
            ClientMessage::Desk { id, pressed, command } => self.ask(id, pressed, Command::Desk(command)),
        }
    }

    /// Passes a command to the room, which decides whether this role may give it. What only a clinician sets is passed
    /// on only from a desk that a clinician's account opened.
    fn ask(&mut self, id: CommandId, pressed: Option<Pressed>, command: Command) -> Result<(), End> {
        if let Command::Desk(asked) = &command
            && asked.rights().clinical
            && !self.of.decides
        {
            let refusal = Refusal::NotClinician;
            let (code, text) = (refusal.code().to_owned(), refusal.to_string());
            self.outlet.tell(&ServerMessage::Refused { id, code, text });
            return Ok(());
        }
        let by = match self.of.who {
            Who::Desk(role) => Actor::Desk(role),
            Who::Seat(seat) => Actor::Seat(seat),
            Who::Wall => return Err(Some(Close::NotAllowed)),
        };
        let (at, answer) = (self.of.clock.now(), Answerer::Socket(Arc::downgrade(&self.outlet)));
        self.waits = Some(Input::Command(Asked { by, id: Some(id), pressed, command, at, answer }));
        Ok(())
    }
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

#[cfg(test)]
mod tests {
    use samebreath_core::live::{SeatCommand, SeatId};
    use samebreath_store::ledger::SessionId;
    use samebreath_store::passes::Role as StoreRole;
    use serde_json::json;
    use tokio::net::TcpListener;
    use tokio::sync::mpsc;
    use uuid::Uuid;

    use super::*;
    use crate::access::limits::Limits;
    use crate::access::passes::Stay;

    /// A test that waits this long has hung.
    const PATIENCE: Duration = Duration::from_secs(30);

    /// While a room takes no input, its socket still sends its own messages. As soon as the room takes input again,
    /// the socket hands over the waiting commands in order.
    #[tokio::test]
    async fn a_full_room_does_not_stop_its_sockets() {
        let listener = TcpListener::bind("127.0.0.1:0").await.expect("a port");
        let far = TcpStream::connect(listener.local_addr().expect("an address")).await.expect("a socket");
        let (near, _) = listener.accept().await.expect("a socket");
        let (inputs, mut waiting) = mpsc::channel(1);
        let (filler, (pauses, _pressed)) = (inputs.clone(), mpsc::channel(1));
        let stay = Stay { session: SessionId(Uuid::from_u128(1)), role: StoreRole::Seat(SeatId(1)) };
        let conversation = Conversation {
            connection: ConnectionId(1),
            who: Who::Seat(SeatId(1)),
            language: None,
            room: RoomHandle { inputs, pauses },
            clock: Clock::start(),
            allowance: Limits::new(1).allowance(&stay),
            decides: false,
            ended: CancellationToken::new(),
            shutdown: CancellationToken::new(),
        };
        tokio::spawn(talk(near, Vec::new(), conversation));
        let recording = watch::Sender::new(true);
        let Some(Input::Attach { reply, .. }) = waiting.recv().await else { panic!("it attaches first") };
        reply.send(Some(recording.subscribe())).expect("it waits");

        let full = Input::Detach { connection: ConnectionId(2) };
        filler.send(full).await.expect("there is room for one");

        let mut client = WebSocketStream::from_raw_socket(far, Role::Client, None).await;
        let ids: Vec<Uuid> = (0..3).map(|_| Uuid::now_v7()).collect();
        for id in &ids {
            let message = json!({ "kind": "seat", "id": id, "command": { "do": "go_on" } });
            client.send(Message::Text(message.to_string().into())).await.expect("it is read");
        }
        // Enough messages that the first command is waiting by the end of them.
        for works in [false, true].repeat(50) {
            recording.send(works).expect("it listens");
            let says = format!("{{\"kind\":\"not_recording\",\"now\":{}}}", !works);
            let mut heard = String::new();
            while heard != says {
                let frame = timeout(PATIENCE, client.next()).await.expect("the socket is stuck");
                heard = frame.expect("it is open").expect("a frame").to_string();
            }
        }
        drop(client);
        assert!(matches!(waiting.recv().await, Some(Input::Detach { .. })));
        for id in ids {
            let Some(Input::Command(asked)) = waiting.recv().await else { panic!("a command") };
            assert_eq!(asked.id, Some(CommandId(id)));
            assert_eq!(asked.command, Command::Seat(SeatCommand::GoOn));
        }
    }
}
