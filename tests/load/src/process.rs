//! Servers as separate processes, and what the kernel says about them.

use std::path::Path;
use std::process::Stdio;
use std::time::Duration;

use anyhow::{Context, ensure};
use nix::time::clock_getcpuclockid;
use nix::unistd::Pid;
use serde::Deserialize;
use tokio::io::{AsyncBufReadExt, BufReader};
use tokio::process::{Child, Command};

/// The links that `samebreath serve --json` prints.
#[derive(Debug, Clone, Deserialize)]
pub struct Links {
    /// Opens the facilitator's desk, once.
    pub desk: String,
    /// Where staff come in; a link of a class has none.
    #[serde(default)]
    pub staff: StaffDoor,
    /// The class code.
    pub code: String,
}

/// Where staff come in.
#[derive(Debug, Clone, Default, Deserialize)]
pub struct StaffDoor {
    /// A link that makes the first account, while there is none.
    #[serde(default)]
    pub first: String,
}

/// A server under measurement.
pub struct Server {
    child: Child,
    /// `127.0.0.1:port`.
    pub address: String,
    /// The links that the server printed; a yardstick has none.
    pub links: Option<Links>,
}

impl Server {
    /// Starts `command` and reads the first line of its output.
    async fn start(mut command: Command) -> anyhow::Result<(Child, String)> {
        let mut child = command.stdout(Stdio::piped()).kill_on_drop(true).spawn()?;
        let output = child.stdout.take().context("no output")?;
        let mut lines = BufReader::new(output).lines();
        let line = lines.next_line().await?.context("the server ended without printing anything")?;
        // Read and drop the rest of the output, so that the pipe never fills up.
        tokio::spawn(async move { while let Ok(Some(_)) = lines.next_line().await {} });
        Ok((child, line))
    }

    /// Starts the real server on `folder`. `listen` may have port 0.
    pub async fn samebreath(binary: &Path, folder: &Path, plan: &Path, listen: &str) -> anyhow::Result<Self> {
        ensure!(binary.exists(), "{} is missing; build it with: cargo build --release", binary.display());
        let mut command = Command::new(binary);
        command.args(["serve", "--json", "--listen", listen, "--data"]).arg(folder);
        command.args(["--entry", "code", "--joins-a-minute", "1000000"]);
        command.arg("--plan").arg(plan).env("RUST_LOG", "warn").stderr(Stdio::null());
        let (child, line) = Self::start(command).await?;
        let links: Links = serde_json::from_str(&line).context("the server's first line")?;
        let address =
            links.desk.trim_start_matches("http://").split('/').next().unwrap_or_default().to_owned();
        Ok(Self { child, address, links: Some(links) })
    }

    /// Starts one of the yardsticks, which is this program in another role.
    pub async fn yardstick(name: &str) -> anyhow::Result<Self> {
        let mut command = Command::new(std::env::current_exe()?);
        command.args(["yardstick", name]);
        let (child, address) = Self::start(command).await?;
        Ok(Self { child, address, links: None })
    }

    /// The id of the server's process.
    fn pid(&self) -> anyhow::Result<u32> {
        self.child.id().context("the server has ended")
    }

    /// The CPU time that the server has used, in seconds, exact to the nanosecond and including threads that have
    /// ended (`clock_getcpuclockid`).
    pub fn cpu_s(&self) -> anyhow::Result<f64> {
        let pid = Pid::from_raw(self.pid()?.cast_signed());
        let used = clock_getcpuclockid(pid)?.now()?;
        Ok(Duration::from(used).as_secs_f64())
    }

    /// The server's resident memory in KiB (`VmRSS`).
    pub fn resident_kib(&self) -> anyhow::Result<f64> {
        let status = std::fs::read_to_string(format!("/proc/{}/status", self.pid()?))?;
        let line = status.lines().find(|line| line.starts_with("VmRSS:")).context("no VmRSS")?;
        line.split_whitespace().nth(1).and_then(|kib| kib.parse().ok()).context("VmRSS is not a number")
    }

    /// Kills the server, without giving it time to do anything more.
    pub async fn kill(mut self) -> anyhow::Result<()> {
        self.child.kill().await?;
        Ok(())
    }
}
