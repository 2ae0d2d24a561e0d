//! `backup` and `restore`: copies of the data, made beside a running server and put back while none runs.

use std::fs::{File, OpenOptions};
use std::io::{self, BufReader, BufWriter, Write};
use std::os::unix::fs::OpenOptionsExt;
use std::path::{Path, PathBuf};
use std::time::Duration;

use age::x25519::Recipient;
use anyhow::{Context, bail, ensure};
use jiff::Timestamp;
use samebreath_store::backup::{self, Held};

use crate::commands::print::print;
use crate::thin::Thinned;

/// How the names of backups in a folder begin; then comes the time.
const NAMED: &str = "samebreath-";
/// The time in a name: sorted by name is sorted by time.
const TIME: &str = "%Y-%m-%dT%H%M%SZ";
/// How an encrypted file begins (age-encryption.org/v1).
const ENCRYPTED: &[u8] = b"age-encryption.org/";

/// Writes a backup of the data to a file, or to a new file in a folder, of which only the newest are kept.
///
/// # Errors
/// When there is no data, the file exists already, or it cannot be written. Then there is no such file, and no older
/// backup is removed.
pub(super) fn write(
    data: &Path,
    to: &Path,
    recipients: &[Recipient],
    stays: Option<Stays>,
) -> anyhow::Result<()> {
    let into = to.is_dir().then_some(to);
    ensure!(
        stays.is_none() || into.is_some(),
        "--keep and --thin are for a folder; {} is none",
        to.display()
    );
    let ending = if recipients.is_empty() { "db" } else { "db.age" };
    let file = into.map_or_else(|| to.to_owned(), |folder| folder.join(format!("{NAMED}{}.{ending}", now())));
    let held = if recipients.is_empty() {
        block_on(backup::backup(data, &file))?
    } else {
        encrypted(data, &file, recipients)?
    };
    print(&format!("{}: {}", file.display(), said(&held)))?;
    if let (Some(folder), Some(stays)) = (into, stays) {
        for old in older(folder, &file, stays)? {
            std::fs::remove_file(&old).with_context(|| format!("cannot remove {}", old.display()))?;
        }
    }
    Ok(())
}

/// Puts a backup in the place of the data, or only checks it.
///
/// # Errors
/// When a server runs, or the backup cannot be read. Then the data is as it was.
pub(super) fn restore(file: &Path, data: &Path, key: Option<&Path>, check: bool) -> anyhow::Result<()> {
    let plain = match (is_encrypted(file)?, key) {
        (true, None) => bail!("{} is encrypted; give the file with its private key as --key", file.display()),
        (false, Some(_)) => bail!("{} is not encrypted; leave out --key", file.display()),
        (false, None) => None,
        (true, Some(key)) => Some(Plain::of(file, key, data)?),
    };
    let source = plain.as_ref().map_or_else(|| file.to_owned(), Plain::file);
    if check {
        let held = block_on(backup::check(&source))
            .with_context(|| format!("{} cannot be put back", file.display()))?;
        return print(&format!("{} is whole: {}", file.display(), said(&held)));
    }
    let restored = block_on(backup::restore(&source, data, &now()));
    let restored = restored.with_context(|| format!("{} was not put back", file.display()))?;
    print(&format!("{} has {}", data.display(), said(&restored.held)))?;
    if let Some((aside, lost)) = restored.replaced {
        let had = lost.map_or_else(|| "could not be read".to_owned(), |held| format!("had {}", said(&held)));
        print(&format!(
            "What was there {had}. It is kept as {}; remove it once nothing of it is missed.",
            aside.display()
        ))?;
    }
    print(
        "Sign-ins, and the links and cookies of classes, no longer work; the next start prints new links. The lasting links of people do, but for those that were ended since.",
    )
}

/// Writes an encrypted backup. Without encryption, the copy lies only in the data folder, where the data is anyway.
fn encrypted(data: &Path, file: &Path, recipients: &[Recipient]) -> anyhow::Result<Held> {
    ensure!(!file.exists(), "{} exists already; give another name", file.display());
    ensure!(data.is_dir(), "there is no data in {}; give its folder as --data", data.display());
    let plain = Plain::beside(data)?;
    let held = block_on(backup::backup(data, &plain.file()))?;
    let part = PathBuf::from(format!("{}.part", file.display()));
    // One that was killed may have left its own.
    let _ = std::fs::remove_file(&part);
    let written = encrypt(&plain.file(), &part, recipients)
        .and_then(|()| backup::publish(&part, file).map_err(Into::into));
    if written.is_err() {
        let _ = std::fs::remove_file(&part);
    }
    written.map(|()| held)
}

fn encrypt(from: &Path, to: &Path, recipients: &[Recipient]) -> anyhow::Result<()> {
    let encryptor = age::Encryptor::with_recipients(recipients.iter().map(|one| one as &dyn age::Recipient))?;
    let file = private(to)?;
    let mut out = encryptor.wrap_output(BufWriter::new(file))?;
    io::copy(&mut BufReader::new(File::open(from)?), &mut out)?;
    let mut file = out.finish()?;
    file.flush()?;
    Ok(file.get_ref().sync_all()?)
}

/// A folder, for its owner only, with a copy without encryption. It is removed with the value.
struct Plain(tempfile::TempDir);

impl Plain {
    /// How the folders' names begin.
    const NAMED: &'static str = "unencrypted-";
    /// A command that has taken longer was killed, and what it left is removed by the next one.
    const LONGEST: Duration = Duration::from_hours(1);

    fn beside(folder: &Path) -> anyhow::Result<Self> {
        for entry in std::fs::read_dir(folder)?.flatten() {
            let is_ours = entry.file_name().to_str().is_some_and(|name| name.starts_with(Self::NAMED));
            let made = entry.metadata().and_then(|it| it.modified());
            let is_left = made.is_ok_and(|at| at.elapsed().is_ok_and(|age| age > Self::LONGEST));
            if is_ours && is_left {
                let _ = std::fs::remove_dir_all(entry.path());
            }
        }
        let made = tempfile::Builder::new().prefix(Self::NAMED).tempdir_in(folder);
        Ok(Self(made.with_context(|| format!("cannot write in {}", folder.display()))?))
    }

    fn file(&self) -> PathBuf {
        self.0.path().join("copy.db")
    }

    /// What an encrypted backup holds.
    fn of(file: &Path, key: &Path, data: &Path) -> anyhow::Result<Self> {
        let shown = key.display();
        let keys = age::IdentityFile::from_file(shown.to_string())
            .with_context(|| format!("cannot read {shown}"))?;
        let keys = keys.into_identities().with_context(|| format!("{shown} has no private key of age"))?;
        let elsewhere = std::env::temp_dir();
        let plain = Self::beside(if data.is_dir() { data } else { &elsewhere })?;
        let opened = age::Decryptor::new(BufReader::new(File::open(file)?))?
            .decrypt(keys.iter().map(|key| &**key as &dyn age::Identity))
            .with_context(|| format!("{shown} does not open {}", file.display()));
        io::copy(&mut opened?, &mut private(&plain.file())?)
            .with_context(|| format!("{} is damaged", file.display()))?;
        Ok(plain)
    }
}

/// A new file that only its owner can read.
fn private(file: &Path) -> anyhow::Result<File> {
    let opened = OpenOptions::new().create_new(true).write(true).mode(0o600).open(file);
    opened.with_context(|| format!("cannot write {}", file.display()))
}

fn is_encrypted(file: &Path) -> anyhow::Result<bool> {
    let mut begins = Vec::new();
    let opened = File::open(file).with_context(|| format!("cannot read {}", file.display()))?;
    io::Read::read_to_end(&mut io::Read::take(opened, ENCRYPTED.len() as u64), &mut begins)?;
    Ok(begins == ENCRYPTED)
}

/// Which backups of a folder stay.
#[derive(Debug, Clone, Copy)]
pub(super) enum Stays {
    /// So many of the newest.
    Newest(u16),
    /// One for each of the last days, weeks and months.
    Thinned(Thinned),
}

/// The backups of a folder that go. `new` stays whatever the clock says, and counts as the newest. Files with other names are
/// nobody's business here.
fn older(folder: &Path, new: &Path, stays: Stays) -> anyhow::Result<Vec<PathBuf>> {
    let time_of = |name: &str| {
        let rest = name.strip_prefix(NAMED)?;
        let time = rest.strip_suffix(".db").or_else(|| rest.strip_suffix(".db.age"))?;
        jiff::civil::DateTime::strptime(TIME, time).ok()
    };
    let mut found = Vec::new();
    for entry in std::fs::read_dir(folder)? {
        let path = entry?.path();
        let time = path.file_name().and_then(|name| name.to_str()).and_then(time_of);
        found.extend(time.filter(|_| path != new).map(|time| (time, path)));
    }
    found.sort();
    found.reverse();
    let stay = match stays {
        Stays::Newest(keep) => (1..=found.len()).map(|at| at < usize::from(keep)).collect(),
        Stays::Thinned(thinned) => {
            let is_new = new.file_name().and_then(|name| name.to_str()).and_then(time_of);
            let times: Vec<_> = is_new.into_iter().chain(found.iter().map(|(time, _)| *time)).collect();
            thinned.stay(&times).split_off(usize::from(is_new.is_some()))
        }
    };
    Ok(found.into_iter().zip(stay).filter(|(_, stays)| !stays).map(|((_, path), _)| path).collect())
}

fn said(held: &Held) -> String {
    let Held { sessions, lines, documents, newest_ms } = held;
    let newest = newest_ms.and_then(|ms| Timestamp::from_millisecond(ms).ok());
    let newest = newest
        .map_or_else(String::new, |at| format!(", the newest of {}", at.strftime("%Y-%m-%d %H:%M UTC")));
    format!(
        "{sessions} {} with {lines} {}{newest}, and {documents} {}",
        if *sessions == 1 { "class" } else { "classes" },
        if *lines == 1 { "entry" } else { "entries" },
        if *documents == 1 { "plan, group, person or round" } else { "plans, groups, people and rounds" },
    )
}

fn now() -> String {
    Timestamp::now().strftime(TIME).to_string()
}

fn block_on<T, E: Into<anyhow::Error>>(done: impl Future<Output = Result<T, E>>) -> anyhow::Result<T> {
    tokio::runtime::Builder::new_current_thread().enable_all().build()?.block_on(done).map_err(Into::into)
}
