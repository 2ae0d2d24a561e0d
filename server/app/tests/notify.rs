//! What a service manager is told (systemd's sd_notify protocol, systemd.io and sd_notify(3): datagrams of
//! `NAME=value` lines on the socket that `NOTIFY_SOCKET` names).
#![cfg(unix)]

use std::fs::Permissions;
use std::io::{BufRead, BufReader};
use std::net::TcpStream;
use std::os::unix::fs::PermissionsExt;
use std::os::unix::net::UnixDatagram;
use std::process::{Command, Stdio};
use std::time::Duration;

#[test]
fn a_service_manager_is_told_when_the_server_is_ready_and_when_it_stops() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("notify");
    let socket = UnixDatagram::bind(&path).unwrap();
    let mut server = Command::new(env!("CARGO_BIN_EXE_samebreath"))
        .args(["serve", "--listen", "127.0.0.1:0", "--json", "--data"])
        .arg(folder.path().join("data"))
        .env("NOTIFY_SOCKET", &path)
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let told = || {
        let mut bytes = [0; 4096];
        let many = socket.recv(&mut bytes).unwrap();
        String::from_utf8_lossy(&bytes[..many]).trim().to_owned()
    };
    let mut line = String::new();
    BufReader::new(server.stdout.take().unwrap()).read_line(&mut line).unwrap();
    assert_eq!(told(), "READY=1");
    let links: serde_json::Value = serde_json::from_str(&line).unwrap();
    TcpStream::connect(links["listens_on"].as_str().unwrap()).unwrap();
    let healthy = || {
        let mut ask = Command::new(env!("CARGO_BIN_EXE_samebreath"));
        ask.args(["healthy", "--listen", links["listens_on"].as_str().unwrap()]).output().unwrap()
    };
    assert!(healthy().status.success());
    let stopped = Command::new("kill").arg(server.id().to_string()).status().unwrap();
    assert!(stopped.success());
    assert_eq!(told(), "STOPPING=1");
    assert!(server.wait().unwrap().success());
    let said = String::from_utf8(healthy().stderr).unwrap();
    assert!(said.starts_with("samebreath: no server answers on 127.0.0.1:"), "{said}");
}

/// As in the systemd unit.
#[test]
fn links_in_a_file_are_there_when_the_server_is_ready_and_for_its_owner_alone() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("notify");
    let socket = UnixDatagram::bind(&path).unwrap();
    socket.set_read_timeout(Some(Duration::from_secs(30))).unwrap();
    let links = folder.path().join("links");
    std::fs::write(&links, "links of an earlier start, which everybody could read").unwrap();
    std::fs::set_permissions(&links, Permissions::from_mode(0o644)).unwrap();
    let server = Command::new(env!("CARGO_BIN_EXE_samebreath"))
        .args(["serve", "--listen", "127.0.0.1:0", "--json", "--data"])
        .arg(folder.path().join("data"))
        .env("NOTIFY_SOCKET", &path)
        .env("SAMEBREATH_LINKS", &links)
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let told = socket.recv(&mut [0; 4096]);
    assert!(Command::new("kill").arg(server.id().to_string()).status().unwrap().success());
    let output = server.wait_with_output().unwrap();
    told.expect("the server never said that it was ready");
    assert!(output.stdout.is_empty(), "printed: {}", String::from_utf8_lossy(&output.stdout));
    let written: serde_json::Value = serde_json::from_slice(&std::fs::read(&links).unwrap()).unwrap();
    assert!(written["listens_on"].is_string(), "{written}");
    assert_eq!(std::fs::metadata(&links).unwrap().permissions().mode() & 0o777, 0o600);
}
