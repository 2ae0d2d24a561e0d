//! Yardsticks: the same broadcast with nothing around it, built on two common libraries. A message that one
//! socket sends goes to all. Each connection has one task and a bounded queue, what waits is joined into one
//! write, buffers are small and nothing is delayed, so both are as good as their libraries allow.

use std::sync::{Arc, Mutex};

use axum::Router;
use axum::extract::State;
use axum::extract::ws::{self, WebSocketUpgrade};
use axum::response::Response;
use axum::routing::any;
use axum::serve::ListenerExt;
use futures_util::{SinkExt, StreamExt};
use tokio::net::TcpListener;
use tokio::sync::mpsc;
use tokio_tungstenite::tungstenite::protocol::WebSocketConfig;
use tokio_tungstenite::tungstenite::{Message, Utf8Bytes};

const QUEUE: usize = 32;
const BUFFER: usize = 4 * 1024;

type Queues = Arc<Mutex<Vec<mpsc::Sender<Utf8Bytes>>>>;

fn broadcast(queues: &Queues, text: &Utf8Bytes) {
    let mut queues = queues.lock().unwrap_or_else(std::sync::PoisonError::into_inner);
    // A connection that is gone or does not read is dropped.
    queues.retain(|queue| queue.try_send(text.clone()).is_ok());
}

fn enter(queues: &Queues) -> mpsc::Receiver<Utf8Bytes> {
    let (sender, receiver) = mpsc::channel(QUEUE);
    queues.lock().unwrap_or_else(std::sync::PoisonError::into_inner).push(sender);
    receiver
}

/// Prints the yardstick's address, then runs it until it is killed.
pub async fn run(name: &str) -> anyhow::Result<()> {
    let listener = TcpListener::bind("127.0.0.1:0").await?;
    println!("{}", listener.local_addr()?);
    let queues = Queues::default();
    if name == "axum" {
        let router = Router::new().route("/", any(upgrade)).with_state(queues);
        let listener = listener.tap_io(|stream| drop(stream.set_nodelay(true)));
        axum::serve(listener, router).await?;
        return Ok(());
    }
    loop {
        let (stream, _) = listener.accept().await?;
        stream.set_nodelay(true)?;
        let queues = Arc::clone(&queues);
        tokio::spawn(async move {
            let config = WebSocketConfig::default().read_buffer_size(BUFFER).write_buffer_size(BUFFER);
            let Ok(mut socket) = tokio_tungstenite::accept_async_with_config(stream, Some(config)).await
            else {
                return;
            };
            let mut queue = enter(&queues);
            loop {
                tokio::select! {
                    Some(text) = queue.recv() => {
                        if socket.feed(Message::Text(text)).await.is_err() { return }
                        while let Ok(text) = queue.try_recv() {
                            if socket.feed(Message::Text(text)).await.is_err() { return }
                        }
                        if socket.flush().await.is_err() { return }
                    }
                    heard = socket.next() => match heard {
                        Some(Ok(Message::Text(text))) => broadcast(&queues, &text),
                        Some(Ok(_)) => {}
                        Some(Err(_)) | None => return,
                    },
                }
            }
        });
    }
}

async fn upgrade(upgrade: WebSocketUpgrade, State(queues): State<Queues>) -> Response {
    let upgrade = upgrade.read_buffer_size(BUFFER).write_buffer_size(BUFFER);
    upgrade.on_upgrade(move |mut socket| async move {
        let mut queue = enter(&queues);
        loop {
            tokio::select! {
                Some(text) = queue.recv() => {
                    if socket.feed(ws::Message::Text(text.as_str().into())).await.is_err() { return }
                    while let Ok(text) = queue.try_recv() {
                        if socket.feed(ws::Message::Text(text.as_str().into())).await.is_err() { return }
                    }
                    if socket.flush().await.is_err() { return }
                }
                heard = socket.recv() => match heard {
                    Some(Ok(ws::Message::Text(text))) => broadcast(&queues, &Utf8Bytes::from(text.as_str())),
                    Some(Ok(_)) => {}
                    Some(Err(_)) | None => return,
                },
            }
        }
    })
}
