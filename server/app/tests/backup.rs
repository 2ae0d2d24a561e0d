//! `backup` and `restore` as a host types them, beside a real server that is killed.

use std::io::{BufRead, BufReader, Write};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::str::FromStr;

use crate::common::program::run;

use age::secrecy::ExposeSecret;

fn serve(data: &str) -> Child {
    let plan = concat!(env!("CARGO_MANIFEST_DIR"), "/../plans/gentle-half-hour.toml");
    let mut server = Command::new(env!("CARGO_BIN_EXE_samebreath"))
        .args(["serve", "--plan", plan, "--listen", "127.0.0.1:0", "--json", "--data", data])
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    let mut first = String::new();
    BufReader::new(server.stdout.take().unwrap()).read_line(&mut first).unwrap();
    assert!(first.starts_with('{'), "{first}");
    server
}

/// How many folders with a copy without encryption there are in the data folder.
fn unencrypted(data: &str) -> usize {
    let names = std::fs::read_dir(data).unwrap().map(|one| one.unwrap().file_name().into_string().unwrap());
    names.filter(|name| name.starts_with("unencrypted-")).count()
}

fn kill(mut server: Child) {
    server.kill().unwrap();
    server.wait().unwrap();
}

#[test]
fn a_host_backs_up_a_running_server_and_puts_the_copy_back_after_it_was_killed() {
    let folder = tempfile::tempdir().unwrap();
    let path = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    let (data, copy) = (path("data"), path("copy.db"));
    let server = serve(&data);
    let (well, said) = run(&["backup", &copy, "--data", &data]);
    assert!(well && said.contains("1 class with "), "{said}");
    let (well, said) = run(&["backup", &copy, "--data", &data]);
    assert!(!well && said.contains("exists already; give another name"), "{said}");
    let (well, said) = run(&["restore", &copy, "--data", &data]);
    assert!(!well && said.contains("another server has the data folder"), "{said}");
    kill(server);
    let (well, said) = run(&["restore", &copy, "--check"]);
    assert!(well && said.contains("is whole: 1 class with "), "{said}");
    let (well, said) = run(&["restore", &copy, "--data", &data]);
    assert!(well && said.contains("It is kept as ") && said.contains("no longer work"), "{said}");
    kill(serve(&data));
}

#[test]
fn a_folder_keeps_the_newest_backups_and_nothing_else_is_removed() {
    let folder = tempfile::tempdir().unwrap();
    let path = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    let (data, copies) = (path("data"), path("copies"));
    kill(serve(&data));
    std::fs::create_dir(&copies).unwrap();
    // One of them is from a day when the clock was wrong: it is newer than the new one, which stays all the same.
    let names = [
        "samebreath-2020-01-01T000000Z.db",
        "samebreath-2090-01-02T000000Z.db.age",
        "samebreath-notes.db",
        "other.db",
    ];
    for name in names {
        std::fs::write(Path::new(&copies).join(name), "x").unwrap();
    }
    let (well, said) = run(&["backup", &copies, "--data", &data, "--keep", "2"]);
    assert!(well, "{said}");
    let mut left: Vec<_> = std::fs::read_dir(&copies)
        .unwrap()
        .map(|one| one.unwrap().file_name().into_string().unwrap())
        .collect();
    left.sort();
    assert_eq!(left.len(), 4, "{left:?}");
    assert!(
        !left.contains(&names[0].to_owned())
            && names[1..].iter().all(|name| left.contains(&(*name).to_owned()))
    );
    // Of two of one day the newer one stays, and of a month long ago its newest.
    let thinned = path("thinned");
    std::fs::create_dir(&thinned).unwrap();
    let is_there = |name: &str| Path::new(&thinned).join(name).exists();
    let [early, late, before] = ["2020-01-01T000000Z", "2020-01-01T060000Z", "2019-12-31T000000Z"]
        .map(|time| format!("samebreath-{time}.db"));
    for name in [&early, &late, &before, "other.db"] {
        std::fs::write(Path::new(&thinned).join(name), "x").unwrap();
    }
    let (well, said) = run(&["backup", &thinned, "--data", &data, "--thin", "1,0,3"]);
    assert!(well, "{said}");
    assert!(is_there(&late) && is_there(&before) && is_there("other.db") && !is_there(&early));
    assert_eq!(std::fs::read_dir(&thinned).unwrap().count(), 4);
    let (well, said) = run(&["backup", &thinned, "--data", &data, "--thin", "7"]);
    assert!(!well && said.contains("three numbers such as 7,4,3"), "{said}");
    let (well, said) = run(&["backup", &path("one.db"), "--data", &data, "--keep", "2"]);
    assert!(!well && said.contains("--keep and --thin are for a folder"), "{said}");
}

#[test]
fn an_encrypted_backup_opens_with_its_key_only() {
    let folder = tempfile::tempdir().unwrap();
    let path = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    let (data, copy) = (path("data"), path("copy.age"));
    kill(serve(&data));
    let key = |name: &str| {
        let key = age::x25519::Identity::generate();
        let file = path(name);
        writeln!(std::fs::File::create(&file).unwrap(), "{}", key.to_string().expose_secret()).unwrap();
        (key.to_public().to_string(), file)
    };
    let ((recipient, right), (_, wrong)) = (key("right"), key("wrong"));
    assert!(age::x25519::Recipient::from_str(&recipient).is_ok());
    // What a command left that was killed long ago is gone afterwards; what another one is using stays.
    for (name, age_h) in [("unencrypted-old", 2), ("unencrypted-new", 0)] {
        let left = Path::new(&data).join(name);
        std::fs::create_dir(&left).unwrap();
        let at = std::time::SystemTime::now() - std::time::Duration::from_hours(age_h);
        std::fs::File::open(&left).unwrap().set_modified(at).unwrap();
    }
    let (well, said) = run(&["backup", &copy, "--data", &data, "--for", &recipient]);
    assert!(well, "{said}");
    assert_eq!(unencrypted(&data), 1, "only the new one");
    std::fs::remove_dir(Path::new(&data).join("unencrypted-new")).unwrap();
    let bytes = std::fs::read(&copy).unwrap();
    assert!(bytes.starts_with(b"age-encryption.org/v1"));
    assert!(!bytes.windows(6).any(|six| six == b"SQLite"));
    assert_eq!(unencrypted(&data), 0);
    // Another program opens it too (Debian's age; `tests/run` installs it).
    let opened = Command::new("age").args(["--decrypt", "--identity", &right, &copy]).output().unwrap();
    assert!(opened.status.success() && opened.stdout.starts_with(b"SQLite format 3"), "{:?}", opened.stderr);
    let (well, said) = run(&["restore", &copy, "--data", &data]);
    assert!(!well && said.contains("is encrypted; give the file with its private key"), "{said}");
    let (well, said) = run(&["restore", &copy, "--data", &data, "--key", &wrong]);
    assert!(!well && said.contains("does not open"), "{said}");
    let (well, said) = run(&["restore", &copy, "--check", "--data", &data, "--key", &right]);
    assert!(well && said.contains("is whole: 1 class with "), "{said}");
    let (well, said) = run(&["restore", &copy, "--data", &data, "--key", &right]);
    assert!(well, "{said}");
    // A damaged file is noticed before anything is put back.
    let mut cut = bytes;
    cut.truncate(cut.len() - 100);
    std::fs::write(&copy, cut).unwrap();
    let (well, said) = run(&["restore", &copy, "--data", &data, "--key", &right]);
    assert!(!well && said.contains("is damaged"), "{said}");
    assert_eq!(unencrypted(&data), 0);
    let (well, said) = run(&["backup", &path("x"), "--data", &data, "--for", "age1wrong"]);
    assert!(!well && said.contains("age1wrong"), "{said}");
}
