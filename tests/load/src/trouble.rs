//! Changes to many screens while others of the same class do not read. Then half of those vanish, and the other
//! half read again and catch up.

use std::time::Instant;

use anyhow::Context;
use futures_util::StreamExt;
use serde::Serialize;
use socket2::SockRef;
use tokio::net::TcpSocket;
use tokio_tungstenite::tungstenite::Message;

use crate::fanout::{Contestant, median};
use crate::process::Server;
use crate::screens::{Door, PATIENCE, Socket, open_on, stage_seq};

/// The receive buffer of a screen that does not read.
const TAKES_BYTES: u32 = 4 * 1024;
/// The segment size. Over loopback a segment has 64 KiB, so much more data is kept on the way than in a real
/// network. This is the size that every network takes (RFC 9293, 3.7.1).
const SEGMENT_BYTES: u32 = 536;
/// More than enough changes to fill everything between the server and a screen that does not read. That took some
/// 120.
const FILLING: usize = 180;

/// What screens that do not read cost the others and themselves.
#[derive(Debug, Clone, Serialize)]
pub struct Trouble {
    /// How many screens read everything.
    pub screens: usize,
    /// How many screens do not read.
    pub stuck: usize,
    /// Milliseconds until the last reading screen has a change, median, without the others.
    pub alone_ms: f64,
    /// The same beside the screens that do not read.
    pub beside_ms: f64,
    /// The same for the one change at which half of those vanish without closing their sockets.
    pub vanishing_ms: f64,
    /// KiB of resident memory for each screen that does not read.
    pub stuck_kib: f64,
    /// How many changes those screens missed.
    pub missed: usize,
    /// How many stages one of them reads once it reads again, median.
    pub read_then: f64,
    /// Milliseconds from then until the last of them shows the newest stage.
    pub back_ms: f64,
}

/// Measures `screens` beside `stuck` screens that do not read, with `changes` changes each time.
pub async fn measure(
    server: Server,
    screens: usize,
    stuck: usize,
    changes: usize,
) -> anyhow::Result<Trouble> {
    let mut class = Contestant::samebreath(server, screens, stuck).await?;
    let alone_ms = last_of(&mut class, changes).await?;

    let before_kib = class.resident_kib()?;
    let mut sockets = Vec::with_capacity(stuck);
    // The remaining doors of the seats, after those of the reading screens.
    for door in class.doors(screens + stuck)?.into_iter().skip(screens) {
        sockets.push(takes_nothing(&door).await?);
    }
    last_of(&mut class, FILLING).await?;
    let beside_ms = last_of(&mut class, changes).await?;
    let stuck_kib = (class.resident_kib()? - before_kib) / stuck as f64;

    for gone in sockets.drain(..stuck / 2) {
        // Drop the connection with a reset, as when a device's battery dies and its router reports it.
        gone.get_ref().set_zero_linger()?;
    }
    let vanishing_ms = last_of(&mut class, 1).await?;

    let (newest, began) = (class.seq(), Instant::now());
    let mut read_then = Vec::with_capacity(sockets.len());
    for socket in sockets {
        let read = tokio::time::timeout(PATIENCE, read_until(socket, newest)).await;
        read_then.push(read.context("a screen that reads again never shows the newest stage")?? as f64);
    }
    let back_ms = began.elapsed().as_secs_f64() * 1000.0;
    class.all_are_open()?;
    let (missed, read_then) = (FILLING + changes + 1, median(&mut read_then));
    Ok(Trouble { screens, stuck, alone_ms, beside_ms, vanishing_ms, stuck_kib, missed, read_then, back_ms })
}

/// Milliseconds until the last screen has a change, median over `changes`.
async fn last_of(class: &mut Contestant, changes: usize) -> anyhow::Result<f64> {
    let mut last = Vec::with_capacity(changes);
    for _ in 0..changes {
        let (times, ..) = class.turn(1).await?;
        last.push(times.into_iter().fold(0.0, f64::max));
    }
    Ok(median(&mut last))
}

async fn takes_nothing(door: &Door) -> anyhow::Result<Socket> {
    let socket = TcpSocket::new_v4()?;
    socket.set_recv_buffer_size(TAKES_BYTES)?;
    SockRef::from(&socket).set_tcp_mss(SEGMENT_BYTES)?;
    open_on(socket.connect(door.address.parse()?).await?, door).await
}

/// Reads a socket until it has change `seq`. Returns how many stages it read.
async fn read_until(mut socket: Socket, seq: u64) -> anyhow::Result<usize> {
    let mut stages = 0;
    while let Some(message) = socket.next().await {
        let Message::Text(text) = message? else { continue };
        let Some(number) = stage_seq(&text) else { continue };
        stages += 1;
        if number >= seq {
            return Ok(stages);
        }
    }
    anyhow::bail!("the server ended the socket after {stages} stages")
}
