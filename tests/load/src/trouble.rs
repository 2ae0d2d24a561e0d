//! Changes to many screens while others of the same class take nothing; then half of those vanish, and half
//! take again what they missed.

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

/// What a screen that takes nothing lets the kernel keep for it.
const TAKES_BYTES: u32 = 4 * 1024;
/// Over loopback a segment has 64 KiB, and so much more is kept on the way than anywhere else; these are the
/// segments that every network takes (RFC 9293, 3.7.1).
const SEGMENT_BYTES: u32 = 536;
/// Changes until everything between a server and a screen that takes nothing is full, and some more: it was
/// after some 120.
const FILLING: usize = 180;

/// What screens in trouble cost the others, and themselves.
#[derive(Debug, Clone, Serialize)]
pub struct Trouble {
    /// Screens that take everything.
    pub screens: usize,
    /// Screens that take nothing.
    pub stuck: usize,
    /// Milliseconds until the last of those that take has a change, median: without the others.
    pub alone_ms: f64,
    /// The same beside those that take nothing.
    pub beside_ms: f64,
    /// The same for the one change at which half of those vanish without a word.
    pub vanishing_ms: f64,
    /// KiB of resident memory for each that takes nothing.
    pub stuck_kib: f64,
    /// Changes that they missed meanwhile.
    pub missed: usize,
    /// Stages that one of them reads once it takes again, median.
    pub read_then: f64,
    /// Milliseconds from then until the last of them shows the newest.
    pub back_ms: f64,
}

/// Measures `screens` beside `stuck` others, with `changes` changes each time.
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
    // Those that the seats have left, after the screens before.
    for door in class.doors(screens + stuck)?.into_iter().skip(screens) {
        sockets.push(takes_nothing(&door).await?);
    }
    last_of(&mut class, FILLING).await?;
    let beside_ms = last_of(&mut class, changes).await?;
    let stuck_kib = (class.resident_kib()? - before_kib) / stuck as f64;

    for gone in sockets.drain(..stuck / 2) {
        // Dropped with a reset, as by a device whose battery ends and whose router says so.
        gone.get_ref().set_zero_linger()?;
    }
    let vanishing_ms = last_of(&mut class, 1).await?;

    let (newest, began) = (class.seq(), Instant::now());
    let mut read_then = Vec::with_capacity(sockets.len());
    for socket in sockets {
        let read = tokio::time::timeout(PATIENCE, read_until(socket, newest)).await;
        read_then.push(read.context("a screen that takes again never shows the newest")?? as f64);
    }
    let back_ms = began.elapsed().as_secs_f64() * 1000.0;
    class.all_are_open()?;
    let (missed, read_then) = (FILLING + changes + 1, median(&mut read_then));
    Ok(Trouble { screens, stuck, alone_ms, beside_ms, vanishing_ms, stuck_kib, missed, read_then, back_ms })
}

/// Until the last screen has a change, median over `changes`.
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

/// How many stages a socket reads until it has change `seq`.
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
    anyhow::bail!("it was ended after {stages} stages")
}
