//! Many screens in one process. Each is a real socket that reads everything, notes when the newest stage came, and
//! costs this process as little as possible.

use std::sync::Arc;
use std::sync::atomic::{AtomicU64, AtomicUsize, Ordering};
use std::time::{Duration, Instant};

use anyhow::Context;
use futures_util::stream::{SplitSink, SplitStream};
use futures_util::{SinkExt, StreamExt};
use tokio::net::TcpStream;
use tokio::sync::{Notify, watch};
use tokio::task::JoinSet;
use tokio_tungstenite::WebSocketStream;
use tokio_tungstenite::tungstenite::client::IntoClientRequest;
use tokio_tungstenite::tungstenite::http::HeaderValue;
use tokio_tungstenite::tungstenite::protocol::WebSocketConfig;
use tokio_tungstenite::tungstenite::{Message, Utf8Bytes};

/// The longest wait for something that must come.
pub const PATIENCE: Duration = Duration::from_secs(60);
/// How many handshakes are under way at once.
const AT_ONCE: usize = 64;
const BUFFER: usize = 2 * 1024;

pub type Socket = WebSocketStream<TcpStream>;

/// Where a screen connects, and with which cookie.
#[derive(Debug, Clone)]
pub struct Door {
    /// `127.0.0.1:port`.
    pub address: String,
    /// `/ws/` and the stay; `/` for a yardstick.
    pub path: String,
    /// The cookie; empty for a yardstick.
    pub cookie: String,
}

impl Door {
    /// The door for a cookie, whose name tells the stay.
    pub fn of(address: &str, cookie: &str) -> anyhow::Result<Self> {
        let stay = cookie.split('=').next().and_then(|name| name.strip_prefix("samebreath-"));
        let path = format!("/ws/{}", stay.context("the cookie's name has no stay")?);
        Ok(Self { address: address.to_owned(), path, cookie: cookie.to_owned() })
    }
}

/// Opens one socket.
pub async fn open(door: &Door) -> anyhow::Result<Socket> {
    open_on(TcpStream::connect(&door.address).await?, door).await
}

/// Opens a socket on a connection.
pub async fn open_on(stream: TcpStream, door: &Door) -> anyhow::Result<Socket> {
    let Door { address, path, cookie } = door;
    let mut request = format!("ws://{address}{path}").into_client_request()?;
    if !cookie.is_empty() {
        let headers = request.headers_mut();
        headers.insert("cookie", HeaderValue::from_str(cookie)?);
        headers.insert("origin", HeaderValue::from_str(&format!("http://{address}"))?);
        headers.insert("sec-websocket-protocol", HeaderValue::from_static("samebreath.v2"));
    }
    stream.set_nodelay(true)?;
    let config = WebSocketConfig::default().read_buffer_size(BUFFER).write_buffer_size(0);
    let opened = tokio_tungstenite::client_async_with_config(request, stream, Some(config));
    let (socket, _) =
        tokio::time::timeout(PATIENCE, opened).await.context("the handshake was not answered")??;
    Ok(socket)
}

/// The number of the change that a stage shows; `None` for every other message.
#[must_use]
pub fn stage_seq(text: &str) -> Option<u64> {
    if !text.starts_with("{\"kind\":\"stage\"") {
        return None;
    }
    let (_, after) = text.rsplit_once("\"seq\":")?;
    after.split(|c: char| !c.is_ascii_digit()).next()?.parse().ok()
}

/// What the screens of one server note about a change.
struct Board {
    began: Instant,
    /// The change that all screens wait for.
    awaited: AtomicU64,
    /// When each screen had the change, in nanoseconds since `began`; 0 until then.
    had: Vec<AtomicU64>,
    missing: AtomicUsize,
    all: Notify,
    /// Stage frames read by all screens.
    frames: AtomicU64,
    /// Bytes of their text.
    bytes: AtomicU64,
}

/// The open screens of one server.
pub struct Screens {
    board: Arc<Board>,
    tasks: JoinSet<()>,
}

impl Screens {
    /// Opens a screen at each door. A door may be given several times.
    pub async fn open(doors: Vec<Door>) -> anyhow::Result<Self> {
        Self::open_expecting(doors, u64::MAX).await
    }

    /// The same, but with the screens waiting for change `seq` from the start.
    pub async fn open_expecting(doors: Vec<Door>, seq: u64) -> anyhow::Result<Self> {
        let board = Arc::new(Board {
            began: Instant::now(),
            awaited: AtomicU64::new(seq),
            had: doors.iter().map(|_| AtomicU64::new(0)).collect(),
            missing: AtomicUsize::new(doors.len()),
            all: Notify::new(),
            frames: AtomicU64::new(0),
            bytes: AtomicU64::new(0),
        });
        let mut opening = futures_util::stream::iter(doors.into_iter().enumerate())
            .map(|(index, door)| async move { anyhow::Ok((index, open(&door).await?)) })
            .buffer_unordered(AT_ONCE);
        let mut tasks = JoinSet::new();
        while let Some(opened) = opening.next().await {
            let (index, socket) = opened?;
            tasks.spawn(watch(socket, index, Arc::clone(&board)));
        }
        Ok(Self { board, tasks })
    }

    /// How many screens there are.
    #[must_use]
    pub fn len(&self) -> usize {
        self.board.had.len()
    }

    /// Makes the screens wait for change `seq`. Call [`Self::all_have_it`] next.
    pub fn expect(&self, seq: u64) {
        for had in &self.board.had {
            had.store(0, Ordering::Relaxed);
        }
        self.board.missing.store(self.len(), Ordering::SeqCst);
        self.board.awaited.store(seq, Ordering::SeqCst);
    }

    /// Milliseconds from `since` until each screen had the expected change.
    pub async fn all_have_it(&self, since: Instant) -> anyhow::Result<Vec<f64>> {
        let board = &self.board;
        let wait = async {
            loop {
                let told = board.all.notified();
                if board.missing.load(Ordering::SeqCst) == 0 {
                    return;
                }
                // A screen may have reported before this began to listen, so look again after a while.
                let _ = tokio::time::timeout(Duration::from_millis(50), told).await;
            }
        };
        let came = tokio::time::timeout(PATIENCE, wait).await;
        let missing = board.missing.load(Ordering::SeqCst);
        came.map_err(|_| anyhow::anyhow!("{missing} of {} screens never had the change", self.len()))?;
        board.awaited.store(u64::MAX, Ordering::SeqCst);
        let from = since.duration_since(board.began).as_nanos() as f64;
        Ok(board.had.iter().map(|had| (had.load(Ordering::Relaxed) as f64 - from) / 1e6).collect())
    }

    /// How many stage frames all screens have read, and the bytes of their text.
    #[must_use]
    pub fn read_of_stages(&self) -> (u64, u64) {
        (self.board.frames.load(Ordering::Relaxed), self.board.bytes.load(Ordering::Relaxed))
    }

    /// How many screens lost their socket.
    pub fn lost(&mut self) -> usize {
        let mut lost = 0;
        while self.tasks.try_join_next().is_some() {
            lost += 1;
        }
        lost
    }
}

async fn watch(mut socket: Socket, index: usize, board: Arc<Board>) {
    while let Some(Ok(message)) = socket.next().await {
        let Message::Text(text) = message else { continue };
        let Some(seq) = stage_seq(&text) else { continue };
        board.bytes.fetch_add(text.len() as u64, Ordering::Relaxed);
        board.frames.fetch_add(1, Ordering::Relaxed);
        let Some(had) = board.had.get(index) else { continue };
        if seq >= board.awaited.load(Ordering::SeqCst) && had.load(Ordering::Relaxed) == 0 {
            let now = board.began.elapsed().as_nanos() as u64;
            had.store(now.max(1), Ordering::Relaxed);
            if board.missing.fetch_sub(1, Ordering::SeqCst) == 1 {
                board.all.notify_waiters();
            }
        }
    }
}

/// A socket whose incoming messages are read by a task, so that the caller only has to send.
pub struct Speaker {
    half: SplitSink<Socket, Message>,
    _reader: tokio::task::JoinHandle<()>,
    newest: watch::Receiver<u64>,
}

impl Speaker {
    /// Opens such a socket.
    pub async fn open(door: &Door) -> anyhow::Result<Self> {
        let (half, reading) = open(door).await?.split();
        let (shown, newest) = watch::channel(0);
        let reader = tokio::spawn(drain(reading, shown));
        Ok(Self { half, _reader: reader, newest })
    }

    /// Sends texts in one write.
    pub async fn say(&mut self, texts: impl IntoIterator<Item = Utf8Bytes>) -> anyhow::Result<()> {
        for text in texts {
            self.half.feed(Message::Text(text)).await?;
        }
        self.half.flush().await?;
        Ok(())
    }

    /// Waits until the socket has been shown change `seq` or a later one. Returns the newest.
    pub async fn shown(&self, seq: u64) -> anyhow::Result<u64> {
        let mut newest = self.newest.clone();
        let shown = tokio::time::timeout(PATIENCE, newest.wait_for(|newest| *newest >= seq)).await;
        Ok(*shown.with_context(|| format!("change {seq} was not shown"))??)
    }

    /// The newest change that the socket has been shown.
    #[must_use]
    pub fn newest(&self) -> u64 {
        *self.newest.borrow()
    }
}

async fn drain(mut reading: SplitStream<Socket>, shown: watch::Sender<u64>) {
    while let Some(Ok(message)) = reading.next().await {
        if let Message::Text(text) = message
            && let Some(seq) = stage_seq(&text)
        {
            shown.send_if_modified(|newest| std::mem::replace(newest, seq.max(*newest)) < seq);
        }
    }
}
