//! The least that the messages of a class can cost. This server only answers each clock question, puts each command
//! on disk by itself, acknowledges it, and shows everybody the next step each minute. It checks nothing, decides
//! nothing and keeps track of nobody.

use std::sync::Arc;

use futures_util::{SinkExt, StreamExt};
use serde_json::Value;
use sqlx::ConnectOptions;
use sqlx::sqlite::{SqliteConnectOptions, SqliteConnection, SqliteJournalMode, SqliteSynchronous};
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::{Mutex, watch};
use tokio::time::{Instant, interval_at};
use tokio_tungstenite::tungstenite::Message;
use tokio_tungstenite::tungstenite::protocol::WebSocketConfig;

use crate::classes::NEXT_EVERY;

const BUFFER: usize = 4 * 1024;

/// Prints its address, then runs until it is killed.
pub async fn run() -> anyhow::Result<()> {
    let listener = TcpListener::bind("127.0.0.1:0").await?;
    println!("{}", listener.local_addr()?);
    let folder = tempfile::tempdir()?;
    let options = SqliteConnectOptions::new()
        .filename(folder.path().join("bare.db"))
        .create_if_missing(true)
        .journal_mode(SqliteJournalMode::Wal)
        .synchronous(SqliteSynchronous::Full);
    let mut disk = options.connect().await?;
    sqlx::query("create table event (seq integer primary key, body text not null)")
        .execute(&mut disk)
        .await?;

    let (steps, step) = watch::channel(1_u64);
    tokio::spawn(async move {
        let mut next = interval_at(Instant::now() + NEXT_EVERY / 2, NEXT_EVERY);
        loop {
            next.tick().await;
            steps.send_modify(|step| *step += 1);
        }
    });
    let disk = Arc::new(Mutex::new(disk));
    loop {
        let (stream, _) = listener.accept().await?;
        // A connection that breaks is no error here.
        tokio::spawn(serve(stream, Arc::clone(&disk), step.clone()));
    }
}

async fn serve(
    stream: TcpStream,
    disk: Arc<Mutex<SqliteConnection>>,
    mut step: watch::Receiver<u64>,
) -> anyhow::Result<()> {
    stream.set_nodelay(true)?;
    let config = WebSocketConfig::default().read_buffer_size(BUFFER).write_buffer_size(BUFFER);
    let mut socket = tokio_tungstenite::accept_async_with_config(stream, Some(config)).await?;
    step.mark_changed();
    loop {
        let answer = tokio::select! {
            changed = step.changed() => {
                changed?;
                format!("{{\"kind\":\"stage\",\"stage\":{{\"moves\":[{{\"step\":{}}}]}}}}", *step.borrow())
            }
            heard = socket.next() => {
                let Some(Message::Text(text)) = heard.transpose()? else { return Ok(()) };
                let message: Value = serde_json::from_str(&text)?;
                if message["kind"] == "clock_ask" {
                    format!("{{\"kind\":\"clock\",\"sent_ms\":{}}}", message["sent_ms"])
                } else {
                    let insert = sqlx::query("insert into event (body) values ($1)").bind(text.as_str());
                    insert.execute(&mut *disk.lock().await).await?;
                    format!("{{\"kind\":\"taken\",\"id\":{}}}", message["id"])
                }
            }
        };
        socket.send(Message::Text(answer.into())).await?;
    }
}
