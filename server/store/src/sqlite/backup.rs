//! Copies of the database: made beside a running server, checked before they count, and put back in place of what is
//! there.

use std::fs::File;
use std::io;
use std::path::{Path, PathBuf};
use std::time::Duration;

use sqlx::sqlite::SqliteConnectOptions;
use sqlx::{ConnectOptions, Connection, SqliteConnection};

use crate::StoreError;
use crate::sqlite::{DATABASE, MIGRATIONS, lock, make_private, private_file};

/// What a copy holds, for whoever has to trust it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Held {
    /// Classes, past and present.
    pub sessions: i64,
    /// Lines of their ledgers.
    pub lines: i64,
    /// Plans, groups and rounds.
    pub documents: i64,
    /// When the newest line was written, in milliseconds since 1970; absent when there is none.
    pub newest_ms: Option<i64>,
}

/// What was put back.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Restored {
    /// What the copy holds.
    pub held: Held,
    /// Where the database that was there before is kept now, with what it held; absent when there was none. What it
    /// held is unknown when it could not be read.
    pub replaced: Option<(PathBuf, Option<Held>)>,
}

/// Writes a copy of the database in `folder` to `file`, beside a server that may be running. The copy is whole and
/// checked, only its owner can read it, and it is on disk when this returns.
///
/// # Errors
/// When there is no database, `file` exists already, or the copy cannot be written or is not sound. Then `file` is not
/// there.
pub async fn backup(folder: &Path, file: &Path) -> Result<Held, StoreError> {
    let source = folder.join(DATABASE);
    if !source.is_file() {
        return Err(StoreError::NothingHere { folder: folder.display().to_string() });
    }
    refuse_existing(file)?;
    let part = beside(file, "part");
    remove_with_log(&part).map_err(|source| unusable(&part, source))?;
    let made = copy_to(&source, &part).await;
    let held = or_remove(made, &part)?;
    or_remove(publish(&part, file), &part)?;
    Ok(held)
}

/// Gives a finished file its name for good. A file that has the name already stays.
///
/// # Errors
/// When there is such a file, or it cannot be written.
pub fn publish(part: &Path, file: &Path) -> Result<(), StoreError> {
    // A link, unlike a new name, never takes the place of a file that somebody made in the meantime.
    match std::fs::hard_link(part, file) {
        Ok(()) => std::fs::remove_file(part).map_err(|source| unusable(part, source))?,
        Err(error) if error.kind() == io::ErrorKind::AlreadyExists => refuse_existing(file)?,
        // Some file systems, on a stick for instance, have no links.
        Err(_) => {
            refuse_existing(file)?;
            std::fs::rename(part, file).map_err(|source| unusable(file, source))?;
        }
    }
    sync_folder(file)
}

/// Checks that `file` is a copy that this version can read, without changing it or anything else.
///
/// # Errors
/// When it is damaged, no copy of ours, or a newer version made it.
pub async fn check(file: &Path) -> Result<Held, StoreError> {
    let folder = tempfile::tempdir().map_err(|source| unusable(&std::env::temp_dir(), source))?;
    ready(file, &folder.path().join(DATABASE)).await
}

/// Puts the copy `file` in the place of the database in `folder`. What was there is kept beside it under a name with
/// `at`, a moment in time. Links and cookies of the copy no longer work, because some of them may have been revoked since
/// it was made.
///
/// # Errors
/// When a server has the folder open, or the copy is damaged, no copy of ours, or a newer version made it. Then
/// everything is as it was.
pub async fn restore(file: &Path, folder: &Path, at: &str) -> Result<Restored, StoreError> {
    make_private(folder).map_err(|source| unusable(folder, source))?;
    let lock = lock(folder)?;
    let (database, part) = (folder.join(DATABASE), folder.join("restore.part"));
    remove_with_log(&part).map_err(|source| unusable(&part, source))?;
    let held = ready(file, &part).await;
    let held = or_remove(held, &part)?;
    for made in [&part, &folder.join("lock")] {
        or_remove(owned_as(folder, made).map_err(|source| unusable(made, source)), &part)?;
    }
    if database.exists() {
        or_remove(carry_over(&database, &part).await, &part)?;
    }
    let replaced = if database.exists() { Some(set_aside(&database, at).await) } else { None };
    let replaced = or_remove(replaced.transpose(), &part)?;
    // In one step: there is a database at every moment.
    or_remove(std::fs::rename(&part, &database).map_err(|source| unusable(&database, source)), &part)?;
    sync_folder(&database)?;
    drop(lock);
    Ok(Restored { held, replaced })
}

/// Takes over what must outlast the copy: who was erased since, whose record is held, and which lasting links were ended
/// or made anew since. What is damaged has nothing to say.
async fn carry_over(database: &Path, part: &Path) -> Result<(), StoreError> {
    let Ok(mut old) = open(database).await else { return Ok(()) };
    // A database of an earlier version has none of these.
    let erased: Vec<(String, String)> =
        sqlx::query_as("select person, day from erased").fetch_all(&mut old).await.unwrap_or_default();
    let held: Result<Vec<(String, String, i64)>, _> =
        sqlx::query_as("select person, reason, since_ms from legal_hold").fetch_all(&mut old).await;
    let links: Result<Vec<String>, _> =
        sqlx::query_scalar("select hash from own_link").fetch_all(&mut old).await;
    old.close().await?;
    let mut new = open(part).await?;
    for (person, day) in erased {
        sqlx::query("insert into erased (person, day, applied) values ($1, $2, 0) on conflict do nothing")
            .bind(person)
            .bind(day)
            .execute(&mut new)
            .await?;
    }
    if let Ok(held) = held {
        sqlx::query("delete from legal_hold").execute(&mut new).await?;
        for (person, reason, since) in held {
            sqlx::query("insert into legal_hold (person, reason, since_ms) values ($1, $2, $3)")
                .bind(person)
                .bind(reason)
                .bind(since)
                .execute(&mut new)
                .await?;
        }
    }
    if let Ok(links) = links {
        let copied: Vec<String> = sqlx::query_scalar("select hash from own_link").fetch_all(&mut new).await?;
        for ended in copied.iter().filter(|hash| !links.contains(hash)) {
            sqlx::query("delete from own_link where hash = $1").bind(ended).execute(&mut new).await?;
        }
    }
    new.close().await?;
    without_log(part).await?;
    File::open(part).and_then(|file| file.sync_all()).map_err(|source| unusable(part, source))
}

/// Keeps what is there under another name, with the commits that are only in its log: they must neither be lost nor be
/// played into the copy that takes its place.
async fn set_aside(database: &Path, at: &str) -> Result<(PathBuf, Option<Held>), StoreError> {
    // What is damaged is kept as it is, with its log.
    let held = without_log(database).await.ok();
    let aside = database.with_file_name(format!("replaced-{at}.db"));
    refuse_existing(&aside)?;
    // The database keeps its name too, until the copy takes it. A log that could not be moved into it goes along.
    std::fs::hard_link(database, &aside).map_err(|source| unusable(&aside, source))?;
    for ending in ["-wal", "-shm"] {
        let (from, to) = (with_ending(database, ending), with_ending(&aside, ending));
        if from.exists() {
            std::fs::rename(&from, &to).map_err(|source| unusable(&to, source))?;
        }
    }
    Ok((aside, held))
}

/// Moves what is in the log into the database, and says what it holds then.
async fn without_log(database: &Path) -> Result<Held, StoreError> {
    let mut connection = open(database).await?;
    let held = held(&mut connection).await?;
    sqlx::query("pragma wal_checkpoint(truncate)").execute(&mut connection).await?;
    connection.close().await?;
    Ok(held)
}

/// Copies the database before its schema is changed, if it will be. The copy lies in the same folder.
pub(super) async fn before_migration(database: &Path) -> Result<(), StoreError> {
    let mut connection = open(database).await?;
    let Some(from) = schema_of(&mut connection).await? else { return Ok(()) };
    connection.close().await?;
    if MIGRATIONS.iter().any(|migration| migration.version > from) {
        let file = database.with_file_name(format!("before-migration-from-{from}.db"));
        let part = beside(&file, "part");
        remove_with_log(&part).map_err(|source| unusable(&part, source))?;
        or_remove(copy_to(database, &part).await, &part)?;
        std::fs::rename(&part, &file).map_err(|source| unusable(&file, source))?;
        sync_folder(&file)?;
    }
    Ok(())
}

/// Writes a sound copy of `source` to `part`.
async fn copy_to(source: &Path, part: &Path) -> Result<Held, StoreError> {
    // The file is made first, because SQLite would make one that others can read.
    private_file(part).map_err(|source| unusable(part, source))?;
    let mut connection = open(source).await?;
    let target = part.to_str().ok_or_else(|| unusable(part, io::ErrorKind::InvalidFilename.into()))?;
    sqlx::query("vacuum into $1").bind(target).execute(&mut connection).await?;
    connection.close().await?;
    let held = sound(part, part).await?;
    File::open(part).and_then(|file| file.sync_all()).map_err(|source| unusable(part, source))?;
    Ok(held)
}

/// Copies `file` to `part` and makes it ready for this version: checked, with the present schema, without links and
/// cookies.
async fn ready(file: &Path, part: &Path) -> Result<Held, StoreError> {
    if std::fs::metadata(with_ending(file, "-wal")).is_ok_and(|log| log.len() > 0) {
        return Err(StoreError::HasLog { file: file.display().to_string() });
    }
    // The permissions of a backup, which may be for reading only, are not taken along.
    private_file(part).map_err(|source| unusable(part, source))?;
    let copied = File::open(file).and_then(|mut from| {
        io::copy(&mut from, &mut File::options().write(true).truncate(true).open(part)?)
    });
    copied.map_err(|source| unusable(file, source))?;
    sound(part, file).await?;
    let mut connection = open(part).await?;
    MIGRATIONS.run(&mut connection).await?;
    for emptied in [
        "delete from pass",
        "delete from signed_in",
        "delete from account_link",
        "delete from own_device",
        // Whoever was erased since is on the list of the database that is replaced.
        "update erased set applied = 0",
    ] {
        sqlx::query(emptied).execute(&mut connection).await?;
    }
    connection.close().await?;
    let held = without_log(part).await?;
    File::open(part).and_then(|file| file.sync_all()).map_err(|source| unusable(part, source))?;
    Ok(held)
}

/// Checks every page, index and reference of a file that was copied from another one, and that it is one of ours.
async fn sound(file: &Path, from: &Path) -> Result<Held, StoreError> {
    let not_ours = || StoreError::NoCopy { file: from.display().to_string() };
    let mut connection = open(file).await.map_err(|_| not_ours())?;
    let verdict: Result<String, _> =
        sqlx::query_scalar("pragma integrity_check(1)").fetch_one(&mut connection).await;
    match verdict {
        Ok(verdict) if verdict == "ok" => {}
        Ok(verdict) => return Err(StoreError::Damaged(verdict)),
        // "File is not a database" (sqlite.org/rescode.html#notadb).
        Err(sqlx::Error::Database(error)) if error.code().is_some_and(|code| code == "26") => {
            return Err(not_ours());
        }
        Err(error) => return Err(StoreError::Damaged(error.to_string())),
    }
    let loose = sqlx::query("pragma foreign_key_check").fetch_optional(&mut connection).await?;
    if loose.is_some() {
        return Err(StoreError::Damaged("a ledger's line belongs to no class".to_owned()));
    }
    if schema_of(&mut connection).await?.is_none() {
        return Err(not_ours());
    }
    let held = held(&mut connection).await?;
    connection.close().await?;
    Ok(held)
}

/// The version of the schema; `None` for a database that is not one of ours, or is new.
async fn schema_of(connection: &mut SqliteConnection) -> Result<Option<i64>, StoreError> {
    let known: i64 = sqlx::query_scalar("select count(*) from sqlite_schema where name = '_sqlx_migrations'")
        .fetch_one(&mut *connection)
        .await?;
    if known == 0 {
        return Ok(None);
    }
    Ok(sqlx::query_scalar("select max(version) from _sqlx_migrations").fetch_one(connection).await?)
}

async fn held(connection: &mut SqliteConnection) -> Result<Held, StoreError> {
    let (sessions, lines, newest_ms) = sqlx::query_as(
        "select (select count(*) from session), (select count(*) from event), (select max(at_ms) from event)",
    )
    .fetch_one(&mut *connection)
    .await?;
    // Documents came with a later schema than ledgers.
    let documents =
        sqlx::query_scalar("select count(*) from document").fetch_one(connection).await.unwrap_or(0);
    Ok(Held { sessions, lines, documents, newest_ms })
}

async fn open(file: &Path) -> Result<SqliteConnection, StoreError> {
    let options = SqliteConnectOptions::new()
        .filename(file)
        .foreign_keys(true)
        .busy_timeout(Duration::from_secs(10))
        .pragma("trusted_schema", "OFF");
    Ok(options.connect().await?)
}

/// Gives the file to the owner of the folder: root puts a copy back for a server that is not root.
#[cfg(unix)]
fn owned_as(folder: &Path, file: &Path) -> io::Result<()> {
    use std::os::unix::fs::{MetadataExt, chown};
    let (of, now) = (std::fs::metadata(folder)?, std::fs::metadata(file)?);
    if (of.uid(), of.gid()) == (now.uid(), now.gid()) {
        return Ok(());
    }
    chown(file, Some(of.uid()), Some(of.gid()))
}

#[cfg(not(unix))]
fn owned_as(_: &Path, _: &Path) -> io::Result<()> {
    Ok(())
}

fn refuse_existing(file: &Path) -> Result<(), StoreError> {
    if file.exists() { Err(StoreError::Exists { file: file.display().to_string() }) } else { Ok(()) }
}

/// Removes what was begun when something failed.
fn or_remove<T>(outcome: Result<T, StoreError>, part: &Path) -> Result<T, StoreError> {
    if outcome.is_err() {
        // What failed first is what has to be known.
        let _ = remove_with_log(part);
    }
    outcome
}

fn remove_with_log(file: &Path) -> io::Result<()> {
    for ending in ["", "-wal", "-shm", "-journal"] {
        match std::fs::remove_file(with_ending(file, ending)) {
            Err(error) if error.kind() != io::ErrorKind::NotFound => return Err(error),
            _ => {}
        }
    }
    Ok(())
}

fn beside(file: &Path, ending: &str) -> PathBuf {
    with_ending(file, &format!(".{ending}"))
}

fn with_ending(file: &Path, ending: &str) -> PathBuf {
    let mut name = file.as_os_str().to_owned();
    name.push(ending);
    name.into()
}

/// Makes a new name outlast a power cut.
fn sync_folder(file: &Path) -> Result<(), StoreError> {
    let folder = match file.parent() {
        Some(folder) if folder != Path::new("") => folder,
        _ => Path::new("."),
    };
    File::open(folder).and_then(|folder| folder.sync_all()).map_err(|source| unusable(folder, source))
}

fn unusable(file: &Path, source: io::Error) -> StoreError {
    StoreError::File { file: file.display().to_string(), source }
}
