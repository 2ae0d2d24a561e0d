//! Measures the real server beside yardsticks; `tests/bench` runs it. The only thing it asserts is that every
//! screen got every change.

mod bare_class;
mod class;
mod classes;
mod fanout;
mod flood;
mod ledger;
mod people;
mod process;
mod report;
mod screens;
mod trouble;
mod yardstick;

use std::path::{Path, PathBuf};
use std::time::Duration;

use clap::{Parser, Subcommand, ValueEnum};

use crate::fanout::Rounds;
use crate::process::Server;
use crate::report::Report;

/// Measures how fast, how evenly and with how little memory the server serves many screens.
#[derive(Debug, Parser)]
struct Settings {
    #[command(subcommand)]
    what: What,
}

#[derive(Debug, Subcommand)]
enum What {
    /// Measures everything and prints the tables
    Bench {
        /// Take about a minute in all, only to see that the tool works
        #[arg(long)]
        quick: bool,
        /// For how many seconds to measure classes at their real pace, in each of the three runs
        #[arg(long, default_value_t = 360.0)]
        class_seconds: f64,
        /// Measure only these parts
        #[arg(long, value_delimiter = ',')]
        only: Vec<Part>,
        /// The server's binary
        #[arg(long, default_value = "target/release/samebreath")]
        binary: PathBuf,
        /// Folder for `bench.json` and the plots
        #[arg(long, default_value = "tests/shots/bench")]
        out: PathBuf,
    },
    /// Run one of the yardsticks until it is killed
    #[command(hide = true)]
    Yardstick { name: String },
}

/// The parts that can be measured on their own.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Part {
    /// One change to many screens, beside yardsticks
    Fanout,
    /// The same beside screens that do not read, and when those vanish or read again
    Trouble,
    /// A class while one seat floods and strangers hold connections
    Flood,
    /// How many events a second reach the disk
    Ledger,
    /// One class of 40 at its real pace, beside the least that its messages can cost
    Class,
    /// A hundred classes of 20 at their real pace
    Classes,
    /// Joins, and everybody coming back at once after a crash
    Coming,
}

/// The most open files. Each screen takes several sockets, and this process holds one end of each.
const FILES: u64 = 65_536;

#[tokio::main]
async fn main() -> anyhow::Result<()> {
    rlimit::increase_nofile_limit(FILES)?;
    match Settings::parse().what {
        What::Yardstick { name } if name == "class" => bare_class::run().await,
        What::Yardstick { name } => yardstick::run(&name).await,
        What::Bench { quick, class_seconds, only, binary, out } => {
            let wants = |part| only.is_empty() || only.contains(&part);
            let report = bench(quick, class_seconds, &binary, wants).await?;
            println!("{}", report.table());
            report.write(&out)
        }
    }
}

async fn bench(
    quick: bool,
    class_seconds: f64,
    binary: &Path,
    wants: impl Fn(Part) -> bool,
) -> anyhow::Result<Report> {
    let plan = Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/../../server/plans/tuesday-at-ten.toml"));
    let server = async |folder: &Path| Server::samebreath(binary, folder, plan, "127.0.0.1:0").await;
    let mut report = Report::empty(quick);

    if wants(Part::Fanout) {
        let sizes: &[(usize, usize, usize)] = if quick {
            &[(50, 20, 5), (200, 10, 3)]
        } else {
            &[(50, 300, 60), (1_000, 80, 20), (5_000, 24, 8)]
        };
        for &(screens, single, bursts) in sizes {
            eprintln!("fan-out to {screens} screens");
            let folder = tempfile::tempdir()?;
            let server = server(folder.path()).await?;
            report.fanout.extend(fanout::measure(server, screens, Rounds { single, bursts }).await?);
        }
    }
    if wants(Part::Trouble) {
        let (screens, stuck, changes) = if quick { (100, 20, 5) } else { (1_000, 200, 60) };
        eprintln!("{screens} screens beside {stuck} that do not read");
        let folder = tempfile::tempdir()?;
        let server = server(folder.path()).await?;
        report.trouble = Some(trouble::measure(server, screens, stuck, changes).await?);
    }
    if wants(Part::Flood) {
        let size = if quick {
            flood::Size { people: 10, silent: 200, half: 50, reports: 10, changes: 5 }
        } else {
            flood::Size { people: 40, silent: 3_000, half: 500, reports: 400, changes: 100 }
        };
        eprintln!("{} people beside a flood", size.people);
        let folder = tempfile::tempdir()?;
        report.flood = Some(flood::measure(server(folder.path()).await?, size).await?);
    }
    if wants(Part::Ledger) {
        let time = Duration::from_secs_f64(if quick { 0.5 } else { 5.0 });
        for rooms in [1, 10, 100] {
            eprintln!("ledger, {rooms} rooms");
            report.ledger.push(ledger::appends(rooms, time).await?);
        }
    }
    let many = if quick { 5 } else { 100 };
    for (part, classes, people) in [(Part::Class, 1, 40), (Part::Classes, many, 20)] {
        if wants(part) {
            let seconds = if quick { 6.0 } else { class_seconds };
            eprintln!("{classes} classes of {people} for {seconds} s");
            let folder = tempfile::tempdir()?;
            let server = server(folder.path()).await?;
            report.live.push(classes::live(server, plan, classes, people, seconds).await?);
            if part == Part::Class {
                report.live.push(classes::bare(people, seconds).await?);
            }
        }
    }
    if wants(Part::Coming) {
        let (people, screens) = if quick { (50, 200) } else { (1_000, 2_000) };
        eprintln!("{people} joins, and {screens} screens that come back");
        report.coming = Some(classes::come_back(binary, plan, people, screens).await?);
    }
    Ok(report)
}
