//! The server as a process: how it bears what the tools around it do.

use std::io::{BufRead, BufReader};
use std::process::{Command, Stdio};
use std::sync::mpsc;
use std::time::Duration;

/// How long to wait before the test fails. It normally takes far less.
const PATIENCE: Duration = Duration::from_secs(30);

#[test]
fn a_server_whose_log_nobody_reads_any_more_goes_on_and_ends_when_told() {
    let folder = tempfile::tempdir().unwrap();
    let plan = concat!(env!("CARGO_MANIFEST_DIR"), "/../plans/gentle-half-hour.toml");
    let mut server = Command::new(env!("CARGO_BIN_EXE_samebreath"))
        .args(["serve", "--plan", plan, "--listen", "127.0.0.1:0", "--json", "--data"])
        .arg(folder.path())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut first = String::new();
    BufReader::new(server.stdout.take().unwrap()).read_line(&mut first).unwrap();
    assert!(first.starts_with('{'), "{first}");
    drop(server.stderr.take());
    assert!(Command::new("kill").arg(server.id().to_string()).status().unwrap().success());
    let (tell, told) = mpsc::channel();
    let id = server.id();
    std::thread::spawn(move || tell.send(server.wait()));
    let ended = told.recv_timeout(PATIENCE);
    if ended.is_err() {
        Command::new("kill").args(["-9", &id.to_string()]).status().unwrap();
    }
    assert!(ended.expect("the server did not end").unwrap().success());
}
