//! People in class at their real pace. Each asks for the clock every five seconds and taps *Done* some seconds
//! after each change. Now and then somebody stops, reports discomfort and goes on, and one in ten is lost every
//! few minutes and comes back.

use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};
use std::time::{Duration, Instant};

use futures_util::{SinkExt, StreamExt};
use serde_json::{Value, json};
use tokio::sync::Notify;
use tokio::task::JoinSet;
use tokio_tungstenite::tungstenite::Message;
use uuid::Uuid;

use crate::screens::{Door, Socket, open};

const CLOCK_EVERY: Duration = Duration::from_secs(5);
/// How many clock questions a page asks at the start, as browsers do.
const CLOCK_FIRST: u32 = 12;
/// One person in this many does more than tap *Done*.
const SOME: usize = 10;

/// What all people together received and sent.
#[derive(Debug, Default)]
pub struct Tally {
    /// Messages read.
    pub heard: AtomicU64,
    /// Bytes of text read.
    pub bytes: AtomicU64,
    /// Messages sent.
    pub said: AtomicU64,
    /// Commands that the server acknowledged.
    pub taken: AtomicU64,
    /// Commands that the server refused, mostly *Done* outside a rest.
    pub refused: AtomicU64,
    /// Sockets that ended although no page closed them.
    pub lost: AtomicU64,
    news: Notify,
}

impl Tally {
    /// Waits until this many commands were answered. Each person's first are the check-in and one *Done*.
    pub async fn have_answered(&self, commands: u64) {
        while self.taken.load(Ordering::Relaxed) + self.refused.load(Ordering::Relaxed) < commands {
            self.news.notified().await;
        }
    }
}

/// The people of a class, each with a task that runs until it is dropped.
pub fn attend(doors: Vec<Door>, tally: &Arc<Tally>) -> JoinSet<()> {
    let mut people = JoinSet::new();
    for (number, door) in doors.into_iter().enumerate() {
        let tally = Arc::clone(tally);
        people.spawn(async move {
            loop {
                let leaves = number % SOME == 3;
                if person(&door, number, leaves, &tally).await.is_err() {
                    tally.lost.fetch_add(1, Ordering::Relaxed);
                }
            }
        });
    }
    people
}

/// One socket of one person. A person who is to be lost drops it after a while, without closing it.
async fn person(door: &Door, number: usize, leaves: bool, tally: &Tally) -> anyhow::Result<()> {
    let mut socket = open(door).await?;
    let began = Instant::now();
    let stay = if leaves { Duration::from_secs(240 + number as u64) } else { Duration::MAX };
    for _ in 0..CLOCK_FIRST {
        ask_clock(&mut socket, began, tally).await?;
    }
    let mut clock = tokio::time::interval(CLOCK_EVERY);
    let mut said_of = 0;
    let mut due: Option<(Instant, u64)> = None;
    let check_in = json!({ "do": "check_in", "answers": { "feeling": "well", "easier": false } });
    tell(&mut socket, check_in, tally).await?;
    while began.elapsed() < stay {
        let at = due.map_or_else(|| Instant::now() + CLOCK_EVERY, |(at, _)| at);
        tokio::select! {
            message = socket.next() => {
                let Some(message) = message else { anyhow::bail!("the server ended the socket") };
                let Message::Text(text) = message? else { continue };
                tally.heard.fetch_add(1, Ordering::Relaxed);
                tally.bytes.fetch_add(text.len() as u64, Ordering::Relaxed);
                if text.starts_with("{\"kind\":\"taken\"") {
                    tally.taken.fetch_add(1, Ordering::Relaxed);
                    tally.news.notify_one();
                } else if text.starts_with("{\"kind\":\"refused\"") {
                    tally.refused.fetch_add(1, Ordering::Relaxed);
                    tally.news.notify_one();
                } else if text.starts_with("{\"kind\":\"stage\"") {
                    let stage: Value = serde_json::from_str(&text)?;
                    let step = stage["stage"]["moves"].as_array().and_then(|m| m.last()).and_then(|m| m["step"].as_u64());
                    if let Some(step) = step.filter(|step| *step != said_of) {
                        let later = Duration::from_millis(1_000 + (number as u64 * 7_919) % 4_000);
                        due = Some((Instant::now() + later, step));
                    }
                }
            }
            _ = clock.tick() => ask_clock(&mut socket, began, tally).await?,
            () = tokio::time::sleep_until(at.into()), if due.is_some() => {
                let Some((_, step)) = due.take() else { continue };
                said_of = step;
                tell(&mut socket, json!({ "do": "done", "step": step }), tally).await?;
                if (number + step as usize) % (SOME * 5) == 7 {
                    trouble(&mut socket, tally).await?;
                }
            }
        }
    }
    Ok(())
}

/// Stops, reports discomfort and goes on.
async fn trouble(socket: &mut Socket, tally: &Tally) -> anyhow::Result<()> {
    let nothing = json!({ "whose": "own", "where": "neck", "strength": null, "urgent": null, "words": null });
    for command in [
        json!({ "do": "stop", "reason": "hurts", "whose": "own" }),
        json!({ "do": "report", "report": Uuid::now_v7(), "said": nothing }),
        json!({ "do": "go_on" }),
    ] {
        tell(socket, command, tally).await?;
    }
    Ok(())
}

async fn ask_clock(socket: &mut Socket, began: Instant, tally: &Tally) -> anyhow::Result<()> {
    let sent_ms = began.elapsed().as_secs_f64() * 1000.0;
    let ask = json!({ "kind": "clock_ask", "sent_ms": sent_ms, "visible": true, "round_trip_ms": 20.0 });
    say(socket, &ask, tally).await
}

async fn tell(socket: &mut Socket, command: Value, tally: &Tally) -> anyhow::Result<()> {
    say(socket, &json!({ "kind": "seat", "id": Uuid::now_v7(), "command": command }), tally).await
}

async fn say(socket: &mut Socket, message: &Value, tally: &Tally) -> anyhow::Result<()> {
    tally.said.fetch_add(1, Ordering::Relaxed);
    socket.send(Message::Text(message.to_string().into())).await?;
    Ok(())
}
