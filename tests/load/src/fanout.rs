//! One change to all screens: how soon the first, the middle and the last screen have it, and what it costs. The
//! real server and the yardsticks take turns in one run.

use std::time::{Duration, Instant};

use anyhow::Context;
use hdrhistogram::Histogram;
use serde::Serialize;
use serde_json::json;
use tokio_tungstenite::tungstenite::Utf8Bytes;

use crate::class::Class;
use crate::process::Server;
use crate::screens::{Door, Screens, Speaker};

/// How many changes make a burst.
pub const BURST: u64 = 16;
/// How many screens each person has: as many as a seat may have.
const OF_ONE: usize = 5;
/// How long to wait after a change, so that work which the server finishes later is counted as well.
const AFTERWARDS: Duration = Duration::from_millis(30);

/// The figures of one server at one size.
#[derive(Debug, Clone, Serialize)]
pub struct Fanout {
    /// `samebreath`, `tokio-tungstenite` or `axum`.
    pub server: String,
    /// How many screens are open.
    pub screens: usize,
    /// Milliseconds until the first screen had a change, median over the changes.
    pub first_ms: f64,
    /// Milliseconds until half of the screens had a change, over all screens and changes.
    pub median_ms: f64,
    /// Milliseconds until 99 of 100 screens had it.
    pub p99_ms: f64,
    /// Milliseconds until the last screen had it, median over the changes.
    pub last_ms: f64,
    /// Screens served with a change for each second of CPU.
    pub deliveries_per_cpu_s: f64,
    /// The same when 16 changes come at once. A screen that has the last of them counts as served with all.
    pub burst_deliveries_per_cpu_s: f64,
    /// How many stage frames a screen read for the 16 changes of a burst.
    pub burst_frames: f64,
    /// KiB of resident memory for each idle connection.
    pub idle_kib: f64,
    /// By how many KiB a connection grew over all changes and bursts.
    pub growth_kib: f64,
}

/// How often to measure.
#[derive(Debug, Clone, Copy)]
pub struct Rounds {
    /// Single changes.
    pub single: usize,
    /// Bursts.
    pub bursts: usize,
}

/// A server with all its screens.
pub struct Contestant {
    name: &'static str,
    server: Server,
    screens: Screens,
    source: Source,
    idle_kib: f64,
    before_kib: f64,
    first: Vec<f64>,
    last: Vec<f64>,
    all: Histogram<u64>,
    single_cpu_s: f64,
    burst_cpu_s: f64,
    burst_frames: u64,
}

/// Where a change comes from.
enum Source {
    Class(Box<Class>),
    /// A yardstick: a text as long as a real stage is sent to everybody.
    Yardstick {
        speaker: Speaker,
        seq: u64,
        stage: String,
    },
}

impl Source {
    /// Makes `changes` changes in one write and returns the number of the last.
    async fn change(&mut self, screens: &Screens, changes: u64) -> anyhow::Result<Instant> {
        match self {
            Self::Class(class) => {
                let last = class.seq() + changes;
                screens.expect(last);
                // Go back and forth between the first two steps.
                let step = |n: u64| json!({ "do": "go_to", "step": 1 + (class.seq() + n) % 2 });
                let commands: Vec<_> = (1..=changes).map(step).collect();
                let began = Instant::now();
                class.tell(commands).await?;
                Ok(began)
            }
            Self::Yardstick { speaker, seq, stage } => {
                let texts: Vec<Utf8Bytes> =
                    (1..=changes).map(|n| stage.replace("SEQ", &(*seq + n).to_string()).into()).collect();
                *seq += changes;
                screens.expect(*seq);
                let began = Instant::now();
                speaker.say(texts).await?;
                Ok(began)
            }
        }
    }

    /// Waits until the source knows the number of its own last change.
    async fn settle(&self, last: u64) -> anyhow::Result<()> {
        if let Self::Class(class) = self {
            class.shown(last).await?;
        }
        Ok(())
    }

    fn seq(&self) -> u64 {
        match self {
            Self::Class(class) => class.seq(),
            Self::Yardstick { seq, .. } => *seq,
        }
    }
}

impl Contestant {
    async fn yardstick(name: &'static str, screens: usize, stage: &str) -> anyhow::Result<Self> {
        let server = Server::yardstick(name).await?;
        let door = Door { address: server.address.clone(), path: "/".to_owned(), cookie: String::new() };
        let speaker = Speaker::open(&door).await?;
        let source = Source::Yardstick { speaker, seq: 0, stage: stage.to_owned() };
        Self::with(name, server, vec![door; screens], source).await
    }

    /// A class on the real server, with enough people for `more` additional screens.
    pub async fn samebreath(server: Server, screens: usize, more: usize) -> anyhow::Result<Self> {
        let links = server.links.clone().context("not samebreath")?;
        let people = (screens + more).div_ceil(OF_ONE);
        let mut class = Class::open(&server.address, &links, people).await?;
        class.tell([json!({ "do": "start" })]).await?;
        let doors = class.doors(screens)?;
        Self::with("samebreath", server, doors, Source::Class(Box::new(class))).await
    }

    async fn with(
        name: &'static str,
        server: Server,
        doors: Vec<Door>,
        source: Source,
    ) -> anyhow::Result<Self> {
        tokio::time::sleep(Duration::from_millis(300)).await;
        let empty_kib = server.resident_kib()?;
        let screens = Screens::open(doors).await?;
        tokio::time::sleep(Duration::from_millis(700)).await;
        let before_kib = server.resident_kib()?;
        let idle_kib = (before_kib - empty_kib) / screens.len() as f64;
        let all = Histogram::new_with_bounds(1, 60_000_000, 3)?;
        let (first, last) = (Vec::new(), Vec::new());
        let mut contestant = Self {
            name,
            server,
            screens,
            source,
            idle_kib,
            before_kib,
            first,
            last,
            all,
            single_cpu_s: 0.0,
            burst_cpu_s: 0.0,
            burst_frames: 0,
        };
        // Each server's first change warms up caches and allocators, so it is not counted.
        contestant.turn(1).await?;
        Ok(contestant)
    }

    /// Makes one change or burst. Returns when each screen had it and the CPU time that it took.
    pub async fn turn(&mut self, changes: u64) -> anyhow::Result<(Vec<f64>, f64, u64)> {
        let (last, cpu_s) = (self.source.seq() + changes, self.server.cpu_s()?);
        let frames = self.screens.read_of_stages().0;
        let began = self.source.change(&self.screens, changes).await?;
        let times = self.screens.all_have_it(began).await.with_context(|| self.name)?;
        self.source.settle(last).await?;
        tokio::time::sleep(AFTERWARDS).await;
        Ok((times, self.server.cpu_s()? - cpu_s, self.screens.read_of_stages().0 - frames))
    }

    /// Doors for more screens of the same class; none for a yardstick.
    pub fn doors(&self, screens: usize) -> anyhow::Result<Vec<Door>> {
        if let Source::Class(class) = &self.source { class.doors(screens) } else { Ok(Vec::new()) }
    }

    /// The number of the newest change.
    pub fn seq(&self) -> u64 {
        self.source.seq()
    }

    /// Resident memory of the server.
    pub fn resident_kib(&self) -> anyhow::Result<f64> {
        self.server.resident_kib()
    }

    /// Fails if a screen lost its socket.
    pub fn all_are_open(&mut self) -> anyhow::Result<()> {
        let lost = self.screens.lost();
        anyhow::ensure!(lost == 0, "{}: {lost} screens lost their socket", self.name);
        Ok(())
    }

    async fn single(&mut self) -> anyhow::Result<()> {
        let (mut times, cpu_s, _) = self.turn(1).await?;
        times.sort_by(f64::total_cmp);
        self.first.extend(times.first());
        self.last.extend(times.last());
        for ms in times {
            self.all.saturating_record((ms * 1000.0) as u64);
        }
        self.single_cpu_s += cpu_s;
        Ok(())
    }

    async fn burst(&mut self) -> anyhow::Result<()> {
        let (_, cpu_s, frames) = self.turn(BURST).await?;
        self.burst_cpu_s += cpu_s;
        self.burst_frames += frames;
        Ok(())
    }

    fn figures(&mut self, rounds: Rounds) -> anyhow::Result<Fanout> {
        self.all_are_open()?;
        let screens = self.screens.len() as f64;
        let served = |changes: usize| screens * changes as f64;
        Ok(Fanout {
            server: self.name.to_owned(),
            screens: self.screens.len(),
            first_ms: median(&mut self.first),
            median_ms: self.all.value_at_quantile(0.5) as f64 / 1000.0,
            p99_ms: self.all.value_at_quantile(0.99) as f64 / 1000.0,
            last_ms: median(&mut self.last),
            deliveries_per_cpu_s: served(rounds.single) / self.single_cpu_s,
            burst_deliveries_per_cpu_s: served(rounds.bursts * BURST as usize) / self.burst_cpu_s,
            burst_frames: self.burst_frames as f64 / served(rounds.bursts),
            idle_kib: self.idle_kib,
            growth_kib: (self.server.resident_kib()? - self.before_kib) / screens,
        })
    }
}

/// What the yardsticks send: a text as long as the real server's stages.
fn stage_of(bytes: usize) -> String {
    let text = "{\"kind\":\"stage\",\"rest\":\"\",\"seq\":SEQ}";
    text.replace("\"rest\":\"", &format!("\"rest\":\"{}", "x".repeat(bytes.saturating_sub(text.len()))))
}

/// The median. Sorts the numbers.
pub fn median(of: &mut [f64]) -> f64 {
    of.sort_by(f64::total_cmp);
    of.get(of.len() / 2).copied().unwrap_or(f64::NAN)
}

/// Measures a fresh samebreath server and the yardsticks. All run at the same time and take turns in each round.
pub async fn measure(server: Server, screens: usize, rounds: Rounds) -> anyhow::Result<Vec<Fanout>> {
    let own = Contestant::samebreath(server, screens, 0).await?;
    let (frames, bytes) = own.screens.read_of_stages();
    let stage = stage_of(bytes.checked_div(frames).unwrap_or(400) as usize);
    let mut contestants = vec![
        own,
        Contestant::yardstick("tokio-tungstenite", screens, &stage).await?,
        Contestant::yardstick("axum", screens, &stage).await?,
    ];
    for _ in 0..rounds.single {
        for contestant in &mut contestants {
            contestant.single().await?;
        }
    }
    for _ in 0..rounds.bursts {
        for contestant in &mut contestants {
            contestant.burst().await?;
        }
    }
    contestants.iter_mut().map(|contestant| contestant.figures(rounds)).collect()
}
