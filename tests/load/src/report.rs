//! The report: tables, JSON and plots.

use std::fmt::Write as _;
use std::path::Path;
use std::process::Command;

use plotters::prelude::{
    BLACK, ChartBuilder, Circle, Color, IntoDrawingArea, IntoLogRange, LineSeries, RGBColor, SVGBackend,
    SeriesLabelPosition, WHITE,
};
use serde::Serialize;

use crate::classes::{Coming, Live};
use crate::fanout::Fanout;
use crate::flood::Flood;
use crate::ledger::Appends;
use crate::trouble::Trouble;

/// Everything one run measured.
#[derive(Debug, Serialize)]
pub struct Report {
    /// Processor, cores and kernel.
    pub machine: String,
    /// Day of the run, in UTC.
    pub day: String,
    /// The commit, with a plus sign if the working tree differs from it.
    pub commit: String,
    /// Whether this was a short run, only to see that the tool works. Its figures say little.
    pub quick: bool,
    /// One entry for each server and size.
    pub fanout: Vec<Fanout>,
    /// A class beside screens that do not read.
    pub trouble: Option<Trouble>,
    /// A class beside a seat that floods the server.
    pub flood: Option<Flood>,
    /// The ledger with one room, and with many at once.
    pub ledger: Vec<Appends>,
    /// A class of forty, the same class on a bare server, and a hundred classes of twenty.
    pub live: Vec<Live>,
    /// Joins, and everybody coming back at once after a crash.
    pub coming: Option<Coming>,
}

impl Report {
    /// A report of this machine, day and commit, without figures yet.
    #[must_use]
    pub fn empty(quick: bool) -> Self {
        let said = |program: &str, arguments: &[&str]| {
            let output = Command::new(program).args(arguments).output();
            output.map(|o| String::from_utf8_lossy(&o.stdout).trim().to_owned()).unwrap_or_default()
        };
        let processor = std::fs::read_to_string("/proc/cpuinfo").unwrap_or_default();
        let processor =
            processor.lines().find_map(|line| line.strip_prefix("model name")).unwrap_or_default();
        let cores = std::thread::available_parallelism().map_or(1, usize::from);
        let processor = processor.trim_start_matches([' ', '\t', ':']);
        let changed = if said("git", &["status", "--porcelain"]).is_empty() { "" } else { "+" };
        Self {
            machine: format!("{processor}, {cores} cores, Linux {}", said("uname", &["-r"])),
            day: said("date", &["-u", "+%Y-%m-%d"]),
            commit: format!("{}{changed}", said("git", &["rev-parse", "--short", "HEAD"])),
            quick,
            fanout: Vec::new(),
            trouble: None,
            flood: None,
            ledger: Vec::new(),
            live: Vec::new(),
            coming: None,
        }
    }

    /// The tables in Markdown.
    #[must_use]
    pub fn table(&self) -> String {
        let mut t = String::new();
        let _ = writeln!(
            t,
            "{}; {}; commit {}{}\n",
            self.machine,
            self.day,
            self.commit,
            if self.quick { "; quick run" } else { "" }
        );
        t += "| server | screens | first ms | median ms | p99 ms | last ms | deliveries per CPU-s | in bursts of 16 | frames a burst | KiB idle | KiB grown |\n";
        t += "| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |\n";
        for f in &self.fanout {
            let _ = writeln!(
                t,
                "| {} | {} | {:.1} | {:.1} | {:.1} | {:.1} | {:.0} | {:.0} | {:.1} | {:.1} | {:.1} |",
                f.server,
                f.screens,
                f.first_ms,
                f.median_ms,
                f.p99_ms,
                f.last_ms,
                f.deliveries_per_cpu_s,
                f.burst_deliveries_per_cpu_s,
                f.burst_frames,
                f.idle_kib,
                f.growth_kib
            );
        }
        t += "\n| against tokio-tungstenite | deliveries per CPU-s | in bursts | last screen | idle memory |\n| --- | --- | --- | --- | --- |\n";
        for own in self.fanout.iter().filter(|f| f.server == "samebreath") {
            let Some(bare) =
                self.fanout.iter().find(|f| f.server == "tokio-tungstenite" && f.screens == own.screens)
            else {
                continue;
            };
            let _ = writeln!(
                t,
                "| {} screens | {:.2} x | {:.2} x | {:.2} x | {:.2} x |",
                own.screens,
                own.deliveries_per_cpu_s / bare.deliveries_per_cpu_s,
                own.burst_deliveries_per_cpu_s / bare.burst_deliveries_per_cpu_s,
                own.last_ms / bare.last_ms,
                own.idle_kib / bare.idle_kib
            );
        }
        if let Some(trouble) = &self.trouble {
            let _ = writeln!(
                t,
                "\nThe last of {} screens has a change after {:.1} ms. Beside {} screens that do not read it takes {:.1} ms, and each of those costs {:.1} KiB; the change at which half of those vanish takes {:.1} ms. The other half then read {:.0} stages for the {} changes that they missed, and the last of them shows the newest after {:.0} ms.",
                trouble.screens,
                trouble.alone_ms,
                trouble.stuck,
                trouble.beside_ms,
                trouble.stuck_kib,
                trouble.vanishing_ms,
                trouble.read_then,
                trouble.missed,
                trouble.back_ms
            );
        }
        if let Some(flood) = &self.flood {
            let _ = writeln!(
                t,
                "\n| {} people | report on the desk, ms: median, p99, most | last screen has a change, ms: median, p99, most | MiB |\n| --- | --- | --- | --- |",
                flood.people
            );
            let beside = format!(
                "beside a flooding seat, {} silent connections and {} half requests",
                flood.silent, flood.half
            );
            for (name, n) in [("calm", &flood.calm), (beside.as_str(), &flood.flooded)] {
                let three = |[a, b, c]: [f64; 3]| format!("{a:.1}, {b:.1}, {c:.1}");
                let (report, last) = (three(n.report_ms), three(n.last_ms));
                let _ = writeln!(t, "| {name} | {report} | {last} | {:.0} |", n.resident_mib);
            }
            let _ = writeln!(
                t,
                "\nThe flooding seat sent {:.0} messages and had {:.0} requests answered a second.",
                flood.messages_per_s, flood.requests_per_s
            );
        }
        t += "\n| ledger, rooms at once | events a second | a room waits, ms |\n| --- | --- | --- |\n";
        for a in &self.ledger {
            let _ = writeln!(t, "| {} | {:.0} | {:.2} |", a.rooms, a.per_s, a.waited_ms);
        }
        t += "\n| server | classes | people | measured s | CPU-s a class and hour | % of a core | KB a person and hour | MiB | taken, refused, lost |\n| --- | --- | --- | --- | --- | --- | --- | --- | --- |\n";
        for l in &self.live {
            let _ = writeln!(
                t,
                "| {} | {} | {} | {:.0} | {:.2} | {:.2} | {:.0} | {:.0} | {}, {}, {} |",
                l.server,
                l.classes,
                l.people,
                l.seconds,
                l.cpu_s_a_class_hour,
                l.core_percent,
                l.kb_a_person_hour,
                l.resident_mib,
                l.taken,
                l.refused,
                l.lost
            );
        }
        let Some(c) = &self.coming else { return t };
        let _ = writeln!(
            t,
            "\n{:.0} joins a second. After kill -9 the server listens again within {:.0} ms. Of {} screens that then come back at once, half show the stage after {:.0} ms, 99 of 100 after {:.0} ms, and the last after {:.0} ms.",
            c.joins_per_s, c.listens_after_ms, c.screens, c.half_ms, c.p99_ms, c.last_ms
        );
        t
    }

    /// Writes `bench.json` and the plots into `folder`.
    pub fn write(&self, folder: &Path) -> anyhow::Result<()> {
        std::fs::create_dir_all(folder)?;
        std::fs::write(folder.join("bench.json"), serde_json::to_string_pretty(self)?)?;
        if self.fanout.is_empty() {
            return Ok(());
        }
        self.plot(&folder.join("deliveries.svg"), "Screens served for a CPU-second", |f| {
            f.deliveries_per_cpu_s
        })?;
        self.plot(&folder.join("bursts.svg"), "The same, 16 changes at once", |f| {
            f.burst_deliveries_per_cpu_s
        })?;
        self.plot(&folder.join("last.svg"), "Milliseconds until the last screen has a change", |f| {
            f.last_ms
        })?;
        self.plot(&folder.join("memory.svg"), "KiB an idle connection", |f| f.idle_kib)
    }

    fn plot(&self, file: &Path, title: &str, value: impl Fn(&Fanout) -> f64) -> anyhow::Result<()> {
        let most = self.fanout.iter().map(&value).fold(f64::MIN, f64::max);
        let (few, many) = self.fanout.iter().fold((u32::MAX, 0), |(few, many), f| {
            let screens = u32::try_from(f.screens).unwrap_or(u32::MAX);
            (few.min(screens), many.max(screens))
        });
        let area = SVGBackend::new(file, (640, 400)).into_drawing_area();
        area.fill(&WHITE)?;
        let mut chart = ChartBuilder::on(&area)
            .caption(title, ("sans-serif", 20))
            .margin(16)
            .x_label_area_size(36)
            .y_label_area_size(64)
            .build_cartesian_2d((few..many.max(few + 1)).log_scale(), 0.0..most * 1.1)?;
        chart.configure_mesh().x_desc("screens").draw()?;
        let colours = [
            ("samebreath", RGBColor(13, 74, 87)),
            ("tokio-tungstenite", RGBColor(122, 31, 18)),
            ("axum", RGBColor(150, 140, 110)),
        ];
        for (name, colour) in colours {
            let own = self.fanout.iter().filter(|f| f.server == name);
            let points: Vec<_> =
                own.map(|f| (u32::try_from(f.screens).unwrap_or(u32::MAX), value(f))).collect();
            chart.draw_series(points.iter().map(|point| Circle::new(*point, 4, colour.filled())))?;
            chart
                .draw_series(LineSeries::new(points, colour.stroke_width(3)))?
                .label(name)
                .legend(move |(x, y)| Circle::new((x, y), 5, colour.filled()));
        }
        chart
            .configure_series_labels()
            .position(SeriesLabelPosition::LowerRight)
            .background_style(WHITE)
            .border_style(BLACK)
            .draw()?;
        area.present()?;
        Ok(())
    }
}
