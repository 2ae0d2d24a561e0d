//! One seat floods the server in every way it can, and strangers hold connections open. This measures how much the
//! rest of the class and its desk notice.

use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};
use std::time::{Duration, Instant};

use anyhow::Context;
use futures_util::{SinkExt, StreamExt};
use serde::Serialize;
use serde_json::{Value, json};
use tokio::io::AsyncWriteExt;
use tokio::net::TcpStream;
use tokio::task::JoinSet;
use tokio_tungstenite::tungstenite::Message;
use uuid::Uuid;

use crate::class::Class;
use crate::process::Server;
use crate::screens::{Door, PATIENCE, Screens, Socket, open};

/// How many screens the flooding seat opens, and how many requests it has under way at once.
const FLOODING: usize = 8;
/// The pause between two measurements, so that each is taken at an ordinary moment.
const BETWEEN: Duration = Duration::from_millis(40);

/// How many people and connections there are, and how often to measure.
#[derive(Debug, Clone, Copy)]
pub struct Size {
    pub people: usize,
    /// Connections that say nothing.
    pub silent: usize,
    /// Connections that send only half of a request's head.
    pub half: usize,
    pub reports: usize,
    pub changes: usize,
}

/// What a desk and a class notice.
#[derive(Debug, Clone, Serialize)]
pub struct Noticed {
    /// Milliseconds until the desk shows a report: for half of the reports, 99 of 100, and all.
    pub report_ms: [f64; 3],
    /// Milliseconds until the last screen has a change: for half of the changes, 99 of 100, and all.
    pub last_ms: [f64; 3],
    /// Resident memory of the server, in MiB.
    pub resident_mib: f64,
}

/// What a class notices without the flood and in it.
#[derive(Debug, Clone, Serialize)]
pub struct Flood {
    pub people: usize,
    pub silent: usize,
    pub half: usize,
    pub calm: Noticed,
    pub flooded: Noticed,
    /// Messages that the flooding seat could send in a second, and its requests that were answered.
    pub messages_per_s: f64,
    pub requests_per_s: f64,
}

/// Measures a class before a flood and in it.
pub async fn measure(server: Server, size: Size) -> anyhow::Result<Flood> {
    let Size { people, silent, half, .. } = size;
    let links = server.links.clone().context("not samebreath")?;
    // The extra seat is the one that floods.
    let mut class = Class::open(&server.address, &links, people + 1).await?;
    let flooding = Door::of(&server.address, &class.seats.pop().context("no seat")?)?;
    class.tell([json!({ "do": "start" })]).await?;
    let screens = Screens::open(class.doors(people)?).await?;
    let mut desk = open(&class.desk_door()?).await?;

    let calm = notice(&server, &mut class, &screens, &mut desk, size).await?;

    let mut strangers = Vec::with_capacity(silent + half);
    for n in 0..silent + half {
        let mut stranger = TcpStream::connect(&server.address).await?;
        if n >= silent {
            stranger.write_all(b"GET / HTTP/1.1\r\nhost: here\r\nx-half: ").await?;
        }
        strangers.push(stranger);
    }
    let counts = Arc::new(Counts::default());
    let mut flood = JoinSet::new();
    for _ in 0..FLOODING {
        flood.spawn(messages(flooding.clone(), Arc::clone(&counts)));
        flood.spawn(requests(flooding.clone(), Arc::clone(&counts)));
    }
    let began = Instant::now();
    let flooded = notice(&server, &mut class, &screens, &mut desk, size).await?;
    let seconds = began.elapsed().as_secs_f64();
    drop((flood, strangers));
    Ok(Flood {
        people,
        silent,
        half,
        calm,
        flooded,
        messages_per_s: counts.messages.load(Ordering::Relaxed) as f64 / seconds,
        requests_per_s: counts.requests.load(Ordering::Relaxed) as f64 / seconds,
    })
}

async fn notice(
    server: &Server,
    class: &mut Class,
    screens: &Screens,
    desk: &mut Socket,
    size: Size,
) -> anyhow::Result<Noticed> {
    let mut report_ms = Vec::with_capacity(size.reports);
    let mut seats = Vec::new();
    for door in class.doors(size.people)? {
        seats.push(open(&door).await?);
    }
    for n in 0..size.reports {
        let many = seats.len();
        let seat = seats.get_mut(n % many).context("no seats")?;
        report_ms.push(report(seat, desk).await?);
        tokio::time::sleep(BETWEEN).await;
    }
    let mut last_ms = Vec::with_capacity(size.changes);
    for n in 0..size.changes {
        let next = class.seq() + 1;
        // Reports also make new stages, so wait for the change after the newest one so far.
        screens.expect(next);
        let began = Instant::now();
        class.tell([json!({ "do": "go_to", "step": 1 + n % 2 })]).await?;
        let times = screens.all_have_it(began).await?;
        last_ms.push(times.into_iter().fold(0.0, f64::max));
        class.shown(next).await?;
        tokio::time::sleep(BETWEEN).await;
    }
    Ok(Noticed {
        report_ms: spread(report_ms),
        last_ms: spread(last_ms),
        resident_mib: server.resident_kib()? / 1024.0,
    })
}

/// Sends one report. Returns the milliseconds until the desk shows it. The desk then closes it, so that the
/// person's next report is a new one.
async fn report(seat: &mut Socket, desk: &mut Socket) -> anyhow::Result<f64> {
    let report = Uuid::now_v7();
    let said = json!({ "where": "neck", "strength": { "word": "quite" } });
    let began = Instant::now();
    let body = json!({ "do": "report", "report": report, "said": said });
    tell(seat, "seat", &body).await?;
    let shows = format!("\"id\":\"{report}\"");
    until(desk, |text| text.starts_with("{\"kind\":\"desk\"") && text.contains(&shows)).await?;
    let ms = began.elapsed().as_secs_f64() * 1000.0;
    let closed = json!({ "do": "handle_report", "report": report, "to": "closed" });
    let id = tell(desk, "desk", &closed).await?;
    until(desk, |text| text.starts_with("{\"kind\":\"taken\"") && text.contains(&id)).await?;
    Ok(ms)
}

async fn tell(socket: &mut Socket, kind: &str, command: &Value) -> anyhow::Result<String> {
    let id = Uuid::now_v7().to_string();
    let text = json!({ "kind": kind, "id": id, "command": command }).to_string();
    socket.send(Message::Text(text.into())).await?;
    Ok(id)
}

async fn until(socket: &mut Socket, is_it: impl Fn(&str) -> bool) -> anyhow::Result<()> {
    let reads = async {
        while let Some(message) = socket.next().await {
            if let Message::Text(text) = message?
                && is_it(&text)
            {
                return Ok(());
            }
        }
        anyhow::bail!("the desk's socket ended")
    };
    tokio::time::timeout(PATIENCE, reads).await.context("the desk was never sent what it waits for")?
}

#[derive(Default)]
struct Counts {
    messages: AtomicU64,
    requests: AtomicU64,
}

/// Sends commands as fast as the server takes them, stopping and going on in turn. The socket is opened again
/// whenever the server ends it.
async fn messages(door: Door, counts: Arc<Counts>) {
    loop {
        let Ok(mut socket) = open(&door).await else {
            tokio::time::sleep(Duration::from_millis(10)).await;
            continue;
        };
        let mut stops = true;
        loop {
            let command =
                if stops { json!({ "do": "stop", "reason": null }) } else { json!({ "do": "go_on" }) };
            stops = !stops;
            if tell(&mut socket, "seat", &command).await.is_err() {
                break;
            }
            counts.messages.fetch_add(1, Ordering::Relaxed);
        }
    }
}

/// Sends requests one after the other, as fast as they are answered.
async fn requests(door: Door, counts: Arc<Counts>) {
    let client = reqwest::Client::new();
    let me = format!("http://{}{}", door.address, door.path.replace("/ws/", "/api/me/"));
    loop {
        if client.get(&me).header("cookie", &door.cookie).send().await.is_ok() {
            counts.requests.fetch_add(1, Ordering::Relaxed);
        }
    }
}

fn spread(mut ms: Vec<f64>) -> [f64; 3] {
    ms.sort_by(f64::total_cmp);
    let at = |share: f64| {
        ms.get(((ms.len().saturating_sub(1)) as f64 * share) as usize).copied().unwrap_or(f64::NAN)
    };
    [at(0.5), at(0.99), at(1.0)]
}
