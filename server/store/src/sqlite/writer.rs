//! The one writer: it commits together all appends that wait, and answers them after the commit. It has its own
//! connection, because a pool would check the connection before and after each commit.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use samebreath_core::live::{ClassEvent, Event};
use samebreath_core::time::EpochMs;
use sqlx::sqlite::{SqliteConnectOptions, SqliteConnection};
use sqlx::{ConnectOptions, Connection, Sqlite, Transaction};
use tokio::sync::{mpsc, oneshot};

use crate::StoreError;
use crate::ledger::{Append, NewEvent, SessionId};
use crate::line::write_line;

/// How many appends may wait. When the queue is full a room waits for its turn, and its participants see
/// "on its way" a little longer.
const WAITING: usize = 256;
/// About how many events share a commit. Appends that wait are committed together, but no commit is delayed to
/// gather more: while one is under way, the next batch gathers by itself.
const BATCH: usize = 50;

#[derive(Debug, Clone)]
pub(super) struct Writer {
    jobs: mpsc::Sender<Job>,
    /// Whether the last commit reached the disk.
    recording: Arc<AtomicBool>,
}

#[derive(Debug)]
enum Job {
    Append(Appending),
    Try(oneshot::Sender<bool>),
    Close(oneshot::Sender<()>),
}

#[derive(Debug)]
struct Appending {
    session: SessionId,
    after: u64,
    events: Vec<NewEvent>,
    reply: oneshot::Sender<Append>,
}

impl Writer {
    /// Starts the writer of the database that `options` open.
    pub(super) fn spawn(options: SqliteConnectOptions) -> Self {
        let (jobs, waiting) = mpsc::channel(WAITING);
        let recording = Arc::new(AtomicBool::new(true));
        let committer = Committer { options, connection: None, recording: Arc::clone(&recording) };
        tokio::spawn(committer.run(waiting));
        Self { jobs, recording }
    }

    pub(super) fn is_recording(&self) -> bool {
        self.recording.load(Ordering::Relaxed)
    }

    /// Commits a write that changes no data of anybody's, and says whether it reached the disk.
    pub(super) async fn try_writing(&self) -> bool {
        let (reply, answer) = oneshot::channel();
        self.jobs.send(Job::Try(reply)).await.is_ok() && answer.await.unwrap_or(false)
    }

    pub(super) async fn append(&self, session: SessionId, after: u64, events: Vec<NewEvent>) -> Append {
        let (reply, answer) = oneshot::channel();
        let job = Job::Append(Appending { session, after, events, reply });
        if self.jobs.send(job).await.is_err() {
            return Append::Unknown(StoreError::Closed);
        }
        answer.await.unwrap_or(Append::Unknown(StoreError::Closed))
    }

    /// Takes no more appends, commits those that were handed over, and closes the file.
    pub(super) async fn close(&self) {
        let (reply, done) = oneshot::channel();
        if self.jobs.send(Job::Close(reply)).await.is_ok() {
            // If the writer is gone, the file is closed.
            let _ = done.await;
        }
    }
}

struct Committer {
    options: SqliteConnectOptions,
    /// Opened for the first commit, and anew after a commit that failed.
    connection: Option<SqliteConnection>,
    recording: Arc<AtomicBool>,
}

impl Committer {
    async fn run(mut self, mut waiting: mpsc::Receiver<Job>) {
        let mut closing = Vec::new();
        let mut trying = Vec::new();
        while let Some(first) = waiting.recv().await {
            let (mut batch, mut next) = (Vec::new(), Some(first));
            while let Some(job) = next {
                match job {
                    Job::Append(appending) => batch.push(appending),
                    Job::Try(reply) => trying.push(reply),
                    Job::Close(reply) => {
                        waiting.close();
                        closing.push(reply);
                    }
                }
                let events: usize = batch.iter().map(|appending| appending.events.len()).sum();
                next = if events < BATCH { waiting.try_recv().ok() } else { None };
            }
            if !batch.is_empty() || !trying.is_empty() {
                self.commit(batch, !trying.is_empty()).await;
            }
            for reply in trying.drain(..) {
                // The asker may have stopped waiting.
                let _ = reply.send(self.recording.load(Ordering::Relaxed));
            }
        }
        if let Some(connection) = self.connection {
            // Everything that was answered is on disk, so an error while closing does no harm.
            let _ = connection.close().await;
        }
        for reply in closing {
            // The asker may have stopped waiting.
            let _ = reply.send(());
        }
    }

    async fn commit(&mut self, batch: Vec<Appending>, touches: bool) {
        let outcomes = self.try_commit(&batch, touches).await;
        self.recording.store(outcomes.is_ok(), Ordering::Relaxed);
        let mut outcomes = outcomes.map(Vec::into_iter);
        for appending in batch {
            let outcome = match &mut outcomes {
                Ok(outcomes) => outcomes.next().unwrap_or(Append::Unknown(StoreError::Closed)),
                Err(error) => Append::Unknown(StoreError::Sql(sqlx::Error::Protocol(error.to_string()))),
            };
            // If the room no longer waits, the next one reads the ledger.
            drop(appending.reply.send(outcome));
        }
    }

    async fn try_commit(&mut self, batch: &[Appending], touches: bool) -> Result<Vec<Append>, sqlx::Error> {
        let mut connection = match self.connection.take() {
            Some(connection) => connection,
            None => self.options.connect().await?,
        };
        let outcomes = commit_with(&mut connection, batch, touches).await;
        if outcomes.is_ok() {
            self.connection = Some(connection);
        } else {
            // After a failed transaction the connection may believe that it is still in one.
            connection.close().await?;
        }
        outcomes
    }
}

/// Commits the whole batch in one transaction. An append that conflicts does not affect the others.
async fn commit_with(
    connection: &mut SqliteConnection,
    batch: &[Appending],
    touches: bool,
) -> Result<Vec<Append>, sqlx::Error> {
    if let [Appending { session, after, events, .. }] = batch
        && let [only] = &events[..]
        && !touches
        && only.recorded.event != Event::Class(ClassEvent::Ended)
    {
        // One statement is a transaction by itself.
        return Ok(vec![insert(connection, &session.to_string(), *after, only).await?]);
    }
    let mut outcomes = Vec::new();
    let mut transaction = connection.begin_with("begin immediate").await?;
    if touches {
        // This writes a page, and so a frame of the log, as a commit of events does.
        sqlx::query("update writing set tries = tries + 1").execute(&mut *transaction).await?;
    }
    for Appending { session, after, events, .. } in batch {
        outcomes.push(append(&mut transaction, *session, *after, events).await?);
    }
    for (appending, outcome) in batch.iter().zip(&outcomes) {
        if let (Append::Committed, Some(ended_at)) = (outcome, appending.ends_at()) {
            sqlx::query("update session set ended_at_ms = $2 where id = $1")
                .bind(appending.session.to_string())
                .bind(ended_at.0)
                .execute(&mut *transaction)
                .await?;
        }
    }
    transaction.commit().await?;
    Ok(outcomes)
}

impl Appending {
    /// When the session ended, if these events end it.
    fn ends_at(&self) -> Option<EpochMs> {
        let end = self.events.iter().find(|new| new.recorded.event == Event::Class(ClassEvent::Ended));
        end.map(|new| new.recorded.at)
    }
}

async fn append(
    transaction: &mut Transaction<'_, Sqlite>,
    session: SessionId,
    after: u64,
    events: &[NewEvent],
) -> Result<Append, sqlx::Error> {
    let id = session.to_string();
    if let [only] = events {
        // A single event needs no savepoint, which would cost two more statements.
        return insert(transaction, &id, after, only).await;
    }
    let mut part = transaction.begin().await?;
    for (before, event) in (after..).zip(events) {
        if matches!(insert(&mut part, &id, before, event).await?, Append::Conflict) {
            part.rollback().await?;
            return Ok(Append::Conflict);
        }
    }
    part.commit().await?;
    Ok(Append::Committed)
}

/// Appends an event right after place `after`, which must be the last.
async fn insert(
    connection: &mut SqliteConnection,
    session: &str,
    after: u64,
    event: &NewEvent,
) -> Result<Append, sqlx::Error> {
    let body = write_line(&event.recorded).map_err(|e| sqlx::Error::Encode(Box::new(e)))?;
    let done = sqlx::query(
        "insert into event (session, seq, event_id, at_ms, body) select $1, $2, $3, $4, $5 \
         where (select coalesce(max(seq), 0) from event where session = $1) = $6 and $2 = $6 + 1 \
         on conflict do nothing",
    )
    .bind(session)
    .bind(event.recorded.seq.cast_signed())
    .bind(event.id.to_string())
    .bind(event.recorded.at.0)
    .bind(body)
    .bind(after.cast_signed())
    .execute(connection)
    .await?;
    Ok(if done.rows_affected() == 1 { Append::Committed } else { Append::Conflict })
}
