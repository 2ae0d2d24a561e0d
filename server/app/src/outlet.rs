//! The way out of a socket. Two tasks write to it: the socket's own, and the room's, which writes each frame
//! straight to every socket without waking their tasks; with many sockets, helper threads share the work.
//!
//! Frames never mix: a writer holds the lock and leaves whole frames, either on the wire or queued behind what the
//! wire did not take yet. While a browser does not read, only its newest stage waits and older ones are dropped;
//! the socket's task writes on when the connection accepts data again.

use std::io::{self, ErrorKind};
use std::net::Shutdown;
use std::pin::Pin;
use std::sync::{Arc, LazyLock, Mutex, MutexGuard, PoisonError};
use std::task::{Context, Poll, ready};
use std::time::Duration;

use samebreath_wire::{Close, ServerMessage};
use socket2::SockRef;
use tokio::io::{AsyncRead, AsyncWrite, ReadBuf};
use tokio::net::TcpStream;
use tokio::sync::Notify;
use tokio::time::{Instant, timeout_at};
use tokio_tungstenite::tungstenite::Bytes;
use tokio_tungstenite::tungstenite::protocol::frame::Frame as WireFrame;
use tokio_tungstenite::tungstenite::protocol::frame::coding::{Data, OpCode};

/// A browser that reads nothing for this long is too slow.
const WRITE_WITHIN: Duration = Duration::from_secs(10);
/// How many bytes of messages that are never skipped may wait unsent before the socket is closed.
const UNSENT_BYTES: usize = 256 * 1024;

/// Each thread gets at least this many screens, since starting a thread takes as long as some ten writes.
const SCREENS_A_THREAD: usize = 100;
/// The number of processors. It is asked for only once, because the system reads it from files.
static PROCESSORS: LazyLock<usize> =
    LazyLock::new(|| std::thread::available_parallelism().map_or(1, usize::from));

/// A message as it goes over the wire, made once for all its sockets. A clone shares the bytes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Frame(Bytes);

impl Frame {
    /// Serialises and frames a message.
    #[must_use]
    pub fn of(message: &ServerMessage) -> Self {
        let frame = WireFrame::message(message.encode(), OpCode::Data(Data::Text), true);
        let mut bytes = Vec::with_capacity(frame.len());
        // Writing to a vector does not fail.
        let _ = frame.format(&mut bytes);
        Self(bytes.into())
    }
}

/// The kinds of frame of which only the newest counts, in the order in which they go out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Slot {
    /// What only this person sees.
    Mine,
    /// What the class sees.
    Stage,
    /// What a desk sees.
    Desk,
}

#[derive(Debug, Default)]
struct State {
    /// What the wire has not taken: the rest of a frame, and whole frames behind it.
    unsent: Vec<u8>,
    /// How many bytes of `unsent` are messages that are never skipped.
    told: usize,
    /// The newest frame of each [`Slot`]; kept only while something is unsent.
    newest: [Option<Frame>; 3],
    /// Since when the wire has taken nothing.
    stuck_since: Option<Instant>,
    /// Why the socket must end.
    ending: Option<Close>,
    /// Whether only the socket's own task may still write.
    left: bool,
    /// Whether the connection is gone, so that nothing can be written.
    broken: bool,
}

impl State {
    /// Whether the room may still write.
    fn is_open(&self) -> bool {
        !self.left && !self.broken && self.ending.is_none()
    }
}

/// The way out of one socket.
#[derive(Debug)]
pub struct Outlet {
    stream: TcpStream,
    state: Mutex<State>,
    /// Wakes the socket's task when there is something for it to do.
    waits: Notify,
}

impl Outlet {
    /// The outlet of a connection whose handshake is done.
    #[must_use]
    pub fn new(stream: TcpStream) -> Arc<Self> {
        Arc::new(Self { stream, state: Mutex::default(), waits: Notify::new() })
    }

    /// Shows these frames, each the newest of its kind, in one write: at once, or as soon as the browser reads
    /// again.
    pub fn show(&self, frames: &[(Slot, &Frame)]) {
        let mut state = self.state();
        if !state.is_open() {
            return;
        }
        if !state.unsent.is_empty() {
            for (slot, frame) in frames {
                state.newest[*slot as usize] = Some((*frame).clone());
            }
        } else if let [(_, only)] = frames {
            self.write(&mut state, &only.0);
        } else {
            let parts: Vec<&[u8]> = frames.iter().map(|(_, frame)| &*frame.0).collect();
            self.write(&mut state, &parts.concat());
        }
    }

    /// Sends a message that is never skipped. The person's newest frame goes before it: when a page learns that a
    /// tap was taken, it already shows what the tap changed.
    pub fn tell(&self, message: &ServerMessage) {
        let mut state = self.state();
        if state.is_open() {
            self.append(&mut state, &Frame::of(message).0);
        }
    }

    /// Ends the socket from outside. Its task tells the browser why.
    pub fn end(&self, close: Close) {
        self.state().ending.get_or_insert(close);
        self.waits.notify_one();
    }

    /// From now on only the socket's own task writes, to say goodbye.
    pub fn leave(&self) {
        let mut state = self.state();
        state.left = true;
        state.newest = [None, None, None];
    }

    /// Closes the sending side. What the kernel already has still goes out.
    pub fn shut(&self) {
        // The browser may have closed the connection first.
        let _ = SockRef::from(&self.stream).shutdown(Shutdown::Write);
    }

    /// Writes what waits for as long as the socket lives. Returns only when the socket must end: with the reason,
    /// or `None` when the connection is gone.
    pub async fn drain(&self) -> Option<Close> {
        loop {
            let (ending, stuck_since, broken) = {
                let state = self.state();
                (state.ending, state.stuck_since, state.broken)
            };
            if broken || ending.is_some() {
                return ending;
            }
            let Some(since) = stuck_since else {
                self.waits.notified().await;
                continue;
            };
            // Boxed because it is seldom needed and would make every socket's task larger.
            let writable = Box::pin(timeout_at(since + WRITE_WITHIN, self.stream.writable()));
            tokio::select! {
                ready = writable => match ready {
                    Ok(Ok(())) => self.write_on(),
                    Ok(Err(_)) => return None,
                    Err(_) => return Some(Close::TooSlow),
                },
                () = self.waits.notified() => {}
            }
        }
    }

    /// Writes all that waits, even while the socket is ending.
    pub async fn flush(&self) {
        while !self.state().unsent.is_empty() && self.stream.writable().await.is_ok() {
            self.write_on();
        }
    }

    /// Writes what is unsent, then the newest frames.
    fn write_on(&self) {
        let mut state = self.state();
        let rest = std::mem::take(&mut state.unsent);
        self.write(&mut state, &rest);
        for slot in 0..state.newest.len() {
            if !state.unsent.is_empty() {
                return;
            }
            state.told = 0;
            if let Some(frame) = state.newest[slot].take() {
                self.write(&mut state, &frame.0);
            }
        }
    }

    /// Writes behind everything that already waits, with the person's newest frame first.
    fn append(&self, state: &mut State, bytes: &[u8]) {
        if state.unsent.is_empty() {
            return self.write(state, bytes);
        }
        if let Some(mine) = state.newest[Slot::Mine as usize].take() {
            state.unsent.extend_from_slice(&mine.0);
        }
        state.unsent.extend_from_slice(bytes);
        state.told += bytes.len();
        if state.told > UNSENT_BYTES {
            state.ending.get_or_insert(Close::TooSlow);
            self.waits.notify_one();
        }
    }

    /// Writes as much as the wire takes and keeps the rest. Nothing else may be waiting.
    fn write(&self, state: &mut State, mut bytes: &[u8]) {
        while !bytes.is_empty() && !state.broken {
            // The kernel mostly has room, so the first try goes past the runtime. If it has none, the runtime must
            // try itself: only then does it know to report when there is room again.
            let taken = match SockRef::from(&self.stream).send(bytes) {
                Err(error) if error.kind() == ErrorKind::WouldBlock => self.stream.try_write(bytes),
                taken => taken,
            };
            match taken {
                Ok(taken) => {
                    bytes = &bytes[taken..];
                    state.stuck_since = None;
                }
                Err(error) if error.kind() == ErrorKind::WouldBlock => {
                    state.unsent.extend_from_slice(bytes);
                    state.stuck_since.get_or_insert_with(Instant::now);
                    return self.waits.notify_one();
                }
                Err(_) => {
                    // After half a frame nothing else would be understood, so all that waits is dropped.
                    *state = State { ending: state.ending, broken: true, ..State::default() };
                    self.waits.notify_one();
                }
            }
        }
    }

    fn state(&self) -> MutexGuard<'_, State> {
        self.state.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// What one screen is shown, in one write.
#[derive(Debug, Clone, Copy)]
pub struct Showing<'a> {
    /// The way out to the screen.
    pub outlet: &'a Outlet,
    /// The frame of this screen's own audience, if it is news.
    pub own: Option<(Slot, &'a Frame)>,
    /// The stage, if it is news.
    pub stage: Option<(Slot, &'a Frame)>,
}

impl Showing<'_> {
    /// Writes the frames.
    pub fn show(&self) {
        match (self.own, self.stage) {
            (Some(own), Some(stage)) => self.outlet.show(&[own, stage]),
            (Some(one), None) | (None, Some(one)) => self.outlet.show(&[one]),
            (None, None) => {}
        }
    }
}

/// Shows all of them. Many screens are shared among the processors, so that the last one does not wait until a
/// single thread has written to all the others.
pub fn show_all(showings: &[Showing<'_>]) {
    let show = |share: &[Showing<'_>]| share.iter().for_each(Showing::show);
    if showings.len() < 2 * SCREENS_A_THREAD {
        return show(showings);
    }
    let shares = (showings.len() / SCREENS_A_THREAD).min(*PROCESSORS);
    let mut shares = showings.chunks(showings.len().div_ceil(shares));
    let own = shares.next().unwrap_or_default();
    std::thread::scope(|scope| {
        for share in shares {
            if std::thread::Builder::new().spawn_scoped(scope, move || show(share)).is_err() {
                show(share);
            }
        }
        show(own);
    });
}

/// The connection as the websocket protocol sees it: reads go straight to it, and writes through the outlet.
#[derive(Debug)]
pub struct OutletStream(pub Arc<Outlet>);

impl AsyncRead for OutletStream {
    fn poll_read(self: Pin<&mut Self>, cx: &mut Context<'_>, into: &mut ReadBuf<'_>) -> Poll<io::Result<()>> {
        loop {
            ready!(self.0.stream.poll_read_ready(cx))?;
            match self.0.stream.try_read(into.initialize_unfilled()) {
                Ok(read) => {
                    into.advance(read);
                    return Poll::Ready(Ok(()));
                }
                Err(error) if error.kind() == ErrorKind::WouldBlock => {}
                Err(error) => return Poll::Ready(Err(error)),
            }
        }
    }
}

impl AsyncWrite for OutletStream {
    /// Takes everything each time, so the protocol only ever hands over whole frames.
    fn poll_write(self: Pin<&mut Self>, _: &mut Context<'_>, bytes: &[u8]) -> Poll<io::Result<usize>> {
        self.0.append(&mut self.0.state(), bytes);
        Poll::Ready(Ok(bytes.len()))
    }

    fn poll_flush(self: Pin<&mut Self>, _: &mut Context<'_>) -> Poll<io::Result<()>> {
        Poll::Ready(Ok(()))
    }

    fn poll_shutdown(self: Pin<&mut Self>, _: &mut Context<'_>) -> Poll<io::Result<()>> {
        self.0.shut();
        Poll::Ready(Ok(()))
    }
}
