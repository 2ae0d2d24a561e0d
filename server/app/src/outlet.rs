//! Where a socket's frames go out. Two write to it: the socket's own task, and the room, which puts frames
//! that were made once straight on every socket, without waking a task for each; on many with helping threads.
//!
//! Frames never mix: whoever writes holds the lock and leaves whole frames, on the wire or behind what the
//! wire did not take yet. While a browser takes nothing, the newest stage waits in its place, the older
//! ones are dropped, and the socket's task goes on writing when there is room again.

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

/// A browser that takes nothing for this long is too slow.
const WRITE_WITHIN: Duration = Duration::from_secs(10);
/// Of what is never skipped, so much may wait unsent before a socket is closed.
const UNSENT_BYTES: usize = 256 * 1024;

/// A thread is started for no fewer screens: that takes as long as some ten writes.
const SCREENS_A_THREAD: usize = 100;
/// Asked for once: the answer is read from files.
static PROCESSORS: LazyLock<usize> =
    LazyLock::new(|| std::thread::available_parallelism().map_or(1, usize::from));

/// A message as it goes over the wire, made once for all its sockets; cloning counts a reference.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Frame(Bytes);

impl Frame {
    /// Serialises and frames a message.
    #[must_use]
    pub fn of(message: &ServerMessage) -> Self {
        let frame = WireFrame::message(message.encode(), OpCode::Data(Data::Text), true);
        let mut bytes = Vec::with_capacity(frame.len());
        // A vector takes everything.
        let _ = frame.format(&mut bytes);
        Self(bytes.into())
    }
}

/// Frames of which only the newest counts, in the order in which they go out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Slot {
    /// What is new for this person.
    Mine,
    /// What the class sees.
    Stage,
    /// What a desk sees.
    Desk,
}

#[derive(Debug, Default)]
struct State {
    /// What the wire did not take: the rest of a frame, and whole frames behind it.
    unsent: Vec<u8>,
    /// How much of it is never skipped.
    told: usize,
    /// By [`Slot`]; only while something is unsent.
    newest: [Option<Frame>; 3],
    /// Since when the wire takes nothing.
    stuck_since: Option<Instant>,
    /// Why the socket is to end.
    ending: Option<Close>,
    /// Only the socket's own task may still write.
    left: bool,
    /// The connection is gone; nothing can be written any more.
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
    /// Something waits for the socket's task.
    waits: Notify,
}

impl Outlet {
    /// Of a connection whose handshake is done.
    #[must_use]
    pub fn new(stream: TcpStream) -> Arc<Self> {
        Arc::new(Self { stream, state: Mutex::default(), waits: Notify::new() })
    }

    /// Shows the newest of their kinds in one write: at once, or as soon as the browser takes something
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

    /// Sends a message that is never skipped. What is new for this person goes before it, so that no page
    /// has a moment in which it knows of neither.
    pub fn tell(&self, message: &ServerMessage) {
        let mut state = self.state();
        if state.is_open() {
            self.append(&mut state, &Frame::of(message).0);
        }
    }

    /// Ends the socket from outside; its task says why.
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

    /// No more is sent; what the kernel has still goes out.
    pub fn shut(&self) {
        // The browser may have been faster.
        let _ = SockRef::from(&self.stream).shutdown(Shutdown::Write);
    }

    /// Writes what waits, for as long as the socket lives; ends only with a reason to end the socket, or
    /// without one when the connection is gone.
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
            // Seldom there, so it takes no room in the task of each socket.
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

    /// Writes all that waits, also while the socket ends.
    pub async fn flush(&self) {
        while !self.state().unsent.is_empty() && self.stream.writable().await.is_ok() {
            self.write_on();
        }
    }

    /// Writes the rest, then the newest frames.
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

    /// Behind everything that waits already; the person's newest frame goes first.
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

    /// Writes what the wire takes, when nothing is before it, and keeps the rest.
    fn write(&self, state: &mut State, mut bytes: &[u8]) {
        while !bytes.is_empty() && !state.broken {
            // Mostly there is room, and nobody needs to be asked whether there is; where there is none, the runtime
            // has to find out by itself, so that it says when there is again.
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
                    // Behind half a frame nothing else would be understood.
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
    /// Where.
    pub outlet: &'a Outlet,
    /// What is only for this screen's audience, if it is news.
    pub own: Option<(Slot, &'a Frame)>,
    /// The stage, if it is news.
    pub stage: Option<(Slot, &'a Frame)>,
}

impl Showing<'_> {
    /// Writes it.
    pub fn show(&self) {
        match (self.own, self.stage) {
            (Some(own), Some(stage)) => self.outlet.show(&[own, stage]),
            (Some(one), None) | (None, Some(one)) => self.outlet.show(&[one]),
            (None, None) => {}
        }
    }
}

/// Shows all of them. Many are shared among the processors, so that the last screen does not wait until one
/// has written to all others.
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

/// The connection as the websocket protocol sees it: reads as always, and writes through the outlet.
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
    /// The protocol hands over whole frames only, because all is taken each time.
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
