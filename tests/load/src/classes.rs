//! Whole classes: joining, one class at its real pace, a hundred at once, and everybody coming back after a crash.

use std::path::Path;
use std::sync::Arc;
use std::sync::atomic::Ordering;
use std::time::{Duration, Instant};

use serde::Serialize;
use serde_json::json;

use crate::class::{Class, Http, begin_more};
use crate::people::{Tally, attend};
use crate::process::Server;
use crate::screens::{Door, Screens};

const HOUR_S: f64 = 3_600.0;
/// How often the facilitator goes on to another step: sixty times an hour.
pub const NEXT_EVERY: Duration = Duration::from_secs(60);

/// What classes cost at their real pace.
#[derive(Debug, Clone, Serialize)]
pub struct Live {
    /// The server.
    pub server: &'static str,
    /// How many classes there are at once.
    pub classes: usize,
    /// How many people each class has.
    pub people: usize,
    /// How many seconds were measured.
    pub seconds: f64,
    /// CPU-seconds of the server for an hour of one class.
    pub cpu_s_a_class_hour: f64,
    /// The share of one core that all classes take together, in percent.
    pub core_percent: f64,
    /// Kilobytes of messages to each person in an hour.
    pub kb_a_person_hour: f64,
    /// Resident memory of the server at the end, in MiB.
    pub resident_mib: f64,
    /// How many commands of participants were acknowledged.
    pub taken: u64,
    /// How many were refused.
    pub refused: u64,
    /// How many sockets ended although no page closed them.
    pub lost: u64,
}

/// Runs `classes` classes of `people` for `seconds`.
pub async fn live(
    server: Server,
    plan: &Path,
    classes: usize,
    people: usize,
    seconds: f64,
) -> anyhow::Result<Live> {
    let links = begin_more(&server, plan, classes).await?;
    let tally = Arc::new(Tally::default());
    let mut rooms = Vec::new();
    for links in &links {
        let mut class = Class::open(&server.address, links, people).await?;
        class.tell([json!({ "do": "start" })]).await?;
        let attending = attend(class.doors(people)?, &tally);
        rooms.push((class, attending));
    }
    let under_way = UnderWay::begin(&server, &tally, classes, people).await?;
    // Each class goes on at a different moment of the minute.
    let began = under_way.began;
    let mut due: Vec<Instant> =
        (0..classes).map(|n| began + NEXT_EVERY.mul_f64((n as f64 + 0.5) / classes as f64)).collect();
    while began.elapsed().as_secs_f64() < seconds {
        for ((class, _), due) in rooms.iter_mut().zip(&mut due) {
            if *due <= Instant::now() {
                *due += NEXT_EVERY;
                class.tell([json!({ "do": "next" })]).await?;
            }
        }
        let next = due.iter().copied().fold(began + Duration::from_secs_f64(seconds), Instant::min);
        tokio::time::sleep_until(next.into()).await;
    }
    under_way.end("samebreath")
}

/// The same people on a server that only answers and records ([`crate::bare_class`]).
pub async fn bare(people: usize, seconds: f64) -> anyhow::Result<Live> {
    let server = Server::yardstick("class").await?;
    let door = Door { address: server.address.clone(), path: "/".to_owned(), cookie: String::new() };
    let tally = Arc::new(Tally::default());
    let _attending = attend(vec![door; people], &tally);
    let under_way = UnderWay::begin(&server, &tally, 1, people).await?;
    tokio::time::sleep(Duration::from_secs_f64(seconds)).await;
    under_way.end("bare")
}

/// Classes whose cost is being measured.
struct UnderWay<'a> {
    server: &'a Server,
    tally: &'a Tally,
    classes: usize,
    people: usize,
    began: Instant,
    cpu_s: f64,
    bytes: u64,
}

impl<'a> UnderWay<'a> {
    /// Begins to measure once everybody has checked in and done the first step.
    async fn begin(
        server: &'a Server,
        tally: &'a Tally,
        classes: usize,
        people: usize,
    ) -> anyhow::Result<Self> {
        tally.have_answered((2 * classes * people) as u64).await;
        let bytes = tally.bytes.load(Ordering::Relaxed);
        Ok(Self { server, tally, classes, people, began: Instant::now(), cpu_s: server.cpu_s()?, bytes })
    }

    fn end(&self, name: &'static str) -> anyhow::Result<Live> {
        let Self { server, tally, classes, people, .. } = *self;
        let seconds = self.began.elapsed().as_secs_f64();
        let cpu_s = server.cpu_s()? - self.cpu_s;
        let of = |count: &std::sync::atomic::AtomicU64| count.load(Ordering::Relaxed);
        let bytes = of(&tally.bytes) - self.bytes;
        Ok(Live {
            server: name,
            classes,
            people,
            seconds,
            cpu_s_a_class_hour: cpu_s / seconds * HOUR_S / classes as f64,
            core_percent: cpu_s / seconds * 100.0,
            kb_a_person_hour: bytes as f64 / 1000.0 / (classes * people) as f64 / seconds * HOUR_S,
            resident_mib: server.resident_kib()? / 1024.0,
            taken: of(&tally.taken),
            refused: of(&tally.refused),
            lost: of(&tally.lost),
        })
    }
}

/// The figures of joining, and of coming back after a crash.
#[derive(Debug, Clone, Serialize)]
pub struct Coming {
    /// Seats taken with the code in a second, 16 at once.
    pub joins_per_s: f64,
    /// How many screens come back at once.
    pub screens: usize,
    /// Milliseconds from the new server's start until it listens.
    pub listens_after_ms: f64,
    /// Milliseconds from then until half of the screens show the stage again.
    pub half_ms: f64,
    /// Milliseconds until 99 of 100 do.
    pub p99_ms: f64,
    /// Milliseconds until the last one does.
    pub last_ms: f64,
}

/// Takes seats, opens screens, kills the server and lets all screens come back at once.
pub async fn come_back(binary: &Path, plan: &Path, people: usize, screens: usize) -> anyhow::Result<Coming> {
    let folder = tempfile::tempdir()?;
    let server = Server::samebreath(binary, folder.path(), plan, "127.0.0.1:0").await?;
    let address = server.address.clone();
    let Some(links) = server.links.clone() else { anyhow::bail!("not samebreath") };
    let mut class = Class::open(&address, &links, 0).await?;
    let began = Instant::now();
    class.seats = Http::to(&address).join(&links.code, people).await?;
    let joins_per_s = people as f64 / began.elapsed().as_secs_f64();
    class.tell([json!({ "do": "start" })]).await?;
    let doors = class.doors(screens)?;
    drop(Screens::open(doors.clone()).await?);
    server.kill().await?;
    let began = Instant::now();
    let _server = Server::samebreath(binary, folder.path(), plan, &address).await?;
    let listens_after_ms = began.elapsed().as_secs_f64() * 1000.0;
    let began = Instant::now();
    let back = Screens::open_expecting(doors, 0).await?;
    let mut times = back.all_have_it(began).await?;
    times.sort_by(f64::total_cmp);
    let at = |share: f64| times[((times.len() - 1) as f64 * share) as usize];
    Ok(Coming {
        joins_per_s,
        screens,
        listens_after_ms,
        half_ms: at(0.5),
        p99_ms: at(0.99),
        last_ms: at(1.0),
    })
}
