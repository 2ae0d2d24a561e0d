//! A real server on a free port, and a client that keeps what a browser would know.
#![allow(dead_code, missing_docs, clippy::unwrap_used, reason = "shared by several test files")]

pub mod program;
pub mod quay;
pub mod staff;

use std::net::SocketAddr;
use std::sync::Arc;

use futures_util::{SinkExt, StreamExt};
use samebreath::app::{App, Outside};
use samebreath::host::house;
use samebreath::server;
use samebreath::session::new::{self, NewSession};
use samebreath::session::{go_on, links};
use samebreath::settings::{Reach, Site};
use samebreath_core::file::Source;
use samebreath_core::live::{
    Alert, DeskCommand, DeskFrame, DeskReport, Entry, Mine, Recorded, Row, SeatCommand, Stage,
};
use samebreath_core::plan::draft;
use samebreath_store::sessions::SessionEntry;
use samebreath_store::{Sqlite, Store};
use samebreath_wire::ServerMessage;
use serde_json::{Value, json};
use tokio::net::{TcpListener, TcpStream};
use tokio::task::JoinHandle;
use tokio_tungstenite::tungstenite::{self, Message, client::IntoClientRequest};
use tokio_tungstenite::{MaybeTlsStream, WebSocketStream};
use tokio_util::sync::CancellationToken;
use uuid::Uuid;

pub const PLAN: &str = "title = \"Test\"\nminutes = 60\n\
    [[step]]\ndrill = \"long-hiss\"\nnote = \"PRIVATENOTE\"\n\
    [[step]]\nclues = \"allotment\"\nminutes = 5\n\
    [[step]]\ndrill = \"tongue-hold-swallow\"\n[[step]]\ndrill = \"sit-tall\"\n[[step]]\ndrill = \"belly-breath\"\n";

pub struct TestServer {
    pub app: Arc<App>,
    pub address: SocketAddr,
    pub links: links::Links,
    pub entry: SessionEntry,
    pub shutdown: CancellationToken,
    running: Option<JoinHandle<std::io::Result<()>>>,
}

impl TestServer {
    /// A server on `folder`, with a new session of [`PLAN`] unless the folder has one.
    pub async fn start(folder: &std::path::Path) -> Self {
        Self::start_as(folder, true).await
    }

    async fn start_as(folder: &std::path::Path, is_trial: bool) -> Self {
        let shutdown = CancellationToken::new();
        let store: Arc<dyn Store> = Arc::new(Sqlite::open(folder).await.unwrap());
        let house = house::house(None, &[]).unwrap();
        let plan = draft::read_plan(Source::new("plan.toml", PLAN), &house.library).unwrap();
        let rules = house.rules.clone();
        let around = (Self::reach(is_trial), Outside::default());
        let app = server::build(store.clone(), house, around, shutdown.clone()).await;
        go_on::set_clock(&*store, &app.clock).await.unwrap();
        let now = app.clock.now();
        let entry = match go_on::unfinished(&*store, &app.hub).await.unwrap() {
            Some(entry) => entry,
            None => {
                let new = NewSession::of_plan(plan, rules, false, Entry::Code);
                new::new_session(&*store, new, now).await.unwrap()
            }
        };
        Self::listen(app, entry, shutdown).await
    }

    /// The same server on a folder where everybody needs a password.
    pub async fn start_in_earnest(folder: &std::path::Path) -> Self {
        Self::start_as(folder, false).await
    }

    fn reach(is_trial: bool) -> Reach {
        Reach {
            emergency_number: Some("555".to_owned()),
            site: Site::default(),
            trusted_proxies: vec!["127.0.0.0/8".parse().unwrap()],
            entry: Entry::Code,
            joins_a_minute: 10_000,
            is_trial,
            no_offline_practice: false,
        }
    }

    /// Another node on the same store. It has its own bus, so hints do not reach it.
    pub async fn beside(&self) -> Self {
        let shutdown = CancellationToken::new();
        let house = self.app.house.clone();
        let around = (Self::reach(true), Outside::default());
        let app = server::build(self.app.store.clone(), house, around, shutdown.clone()).await;
        Self::listen(app, self.entry.clone(), shutdown).await
    }

    async fn listen(app: Arc<App>, entry: SessionEntry, shutdown: CancellationToken) -> Self {
        let now = app.clock.now();
        let listener = TcpListener::bind("127.0.0.1:0").await.unwrap();
        let address = listener.local_addr().unwrap();
        let links = links::links(&*app.store, &entry, &format!("http://{address}"), now, true).await.unwrap();
        let running = Some(tokio::spawn(server::run(listener, Arc::clone(&app))));
        Self { app, address, links, entry, shutdown, running }
    }

    pub fn url(&self, path: &str) -> String {
        format!("http://{}{path}", self.address)
    }

    /// Stops the server as SIGTERM does, and waits until it has ended.
    pub async fn stop(mut self) {
        self.shutdown.cancel();
        self.running.take().unwrap().await.unwrap().unwrap();
    }

    /// Uses a link and returns the cookie.
    pub async fn use_link(&self, link: &str) -> String {
        let token = link.split("#p.").nth(1).unwrap();
        let answer = self.post("/api/pass", "", &json!({ "token": token })).await;
        assert_eq!(answer.status, 200, "{}", answer.body);
        answer.cookie.unwrap()
    }

    /// Joins with the code and returns the cookie.
    pub async fn join(&self, name: &str) -> String {
        let code = &self.links.code;
        let answer = self.post("/api/join", "", &json!({ "code": code, "name": name })).await;
        assert_eq!(answer.status, 200, "{}", answer.body);
        answer.cookie.unwrap()
    }

    /// Replaces `{stay}` in a path with the stay that the cookie is for, or with a seat's stay if there is no
    /// cookie.
    fn path(&self, path: &str, cookie: &str) -> String {
        let nobody = || format!("{}.1", self.entry.id.0.simple());
        self.url(&path.replace("{stay}", &stay_of(cookie).unwrap_or_else(nobody)))
    }

    /// Adds a request id, as browsers do for requests that make something.
    pub async fn post(&self, path: &str, cookie: &str, body: &Value) -> Answer {
        let mut body = body.clone();
        let makes = path.ends_with("/join")
            || path.ends_with("/pass")
            || path.ends_with("/open")
            || path.ends_with("/class");
        if let (true, Some(fields)) = (makes, body.as_object_mut()) {
            fields.entry("request").or_insert(json!(Uuid::now_v7()));
        }
        let request = client().post(self.path(path, cookie)).header("cookie", cookie).json(&body);
        Answer::of(request.send().await.unwrap()).await
    }

    /// The status of the answer to a request that comes from `address`, through a proxy that is trusted.
    pub async fn post_from(&self, address: &str, path: &str, body: &Value) -> u16 {
        let request = client().post(self.url(path)).header("x-forwarded-for", address).json(body);
        request.send().await.unwrap().status().as_u16()
    }

    pub async fn put(&self, path: &str, cookie: &str, body: &Value) -> Answer {
        let request = client().put(self.url(path)).header("cookie", cookie).json(body);
        Answer::of(request.send().await.unwrap()).await
    }

    pub async fn get(&self, path: &str, cookie: &str) -> Answer {
        let request = client().get(self.path(path, cookie)).header("cookie", cookie);
        Answer::of(request.send().await.unwrap()).await
    }

    /// As a calendar asks that has the version with this tag.
    pub async fn get_if_changed(&self, path: &str, tag: &str) -> Answer {
        Answer::of(client().get(self.url(path)).header("if-none-match", tag).send().await.unwrap()).await
    }

    pub async fn delete(&self, path: &str, cookie: &str, body: &Value) -> Answer {
        let request = client().delete(self.url(path)).header("cookie", cookie).json(body);
        Answer::of(request.send().await.unwrap()).await
    }

    /// The cookie of a browser in which somebody who may do everything is signed in.
    pub async fn planner(&self) -> String {
        let link = links::trial_link(&*self.app.store, "", self.app.clock.now()).await.unwrap();
        let token = link.split("#a.").nth(1).unwrap().to_owned();
        let answer = self.post("/api/staff/open", "", &json!({ "token": token })).await;
        assert_eq!(answer.status, 200, "{}", answer.body);
        let again = self.post("/api/staff/open", "", &json!({ "token": token })).await;
        assert_eq!(again.status, 404, "a link opens once");
        answer.cookie.unwrap()
    }

    /// The facilitator's desk, with the class open.
    pub async fn open_desk(&self) -> Screen {
        let mut desk = self.connect("desk", &self.use_link(&self.links.desk).await).await;
        desk.tell_desk(DeskCommand::Open).await;
        desk
    }

    /// A participant's screen.
    pub async fn seat(&self, name: &str) -> Screen {
        self.connect("seat", &self.join(name).await).await
    }

    pub async fn connect(&self, door: &str, cookie: &str) -> Screen {
        let origin = format!("http://{}", self.address);
        let socket = self.handshake(door, cookie, Some(&origin)).await.unwrap();
        let mut screen = Screen { cookie: cookie.to_owned(), ..Screen::of(socket) };
        while screen.stage.is_none() {
            screen.hear().await.unwrap();
        }
        screen
    }

    pub async fn handshake(&self, door: &str, cookie: &str, origin: Option<&str>) -> Result<Socket, u16> {
        let (door, language) = door.split_once('?').unwrap_or((door, ""));
        let who = if door == "seat" { "1" } else { "facilitator" };
        let nobody = || format!("{}.{who}", self.entry.id.0.simple());
        let stay = stay_of(cookie).unwrap_or_else(nobody);
        let url = format!("ws://{}/ws/{stay}?{language}", self.address);
        let mut request = url.into_client_request().unwrap();
        let headers = request.headers_mut();
        headers.insert("cookie", cookie.parse().unwrap());
        headers.insert("sec-websocket-protocol", "samebreath.v2".parse().unwrap());
        if let Some(origin) = origin {
            headers.insert("origin", origin.parse().unwrap());
        }
        match tokio_tungstenite::connect_async(request).await {
            Ok((socket, _)) => Ok(socket),
            Err(tungstenite::Error::Http(response)) => Err(response.status().as_u16()),
            Err(other) => panic!("{other}"),
        }
    }
}

pub type Socket = WebSocketStream<MaybeTlsStream<TcpStream>>;

fn client() -> reqwest::Client {
    reqwest::Client::builder().no_proxy().build().unwrap()
}

/// The stay that a cookie is for.
pub fn stay_of(cookie: &str) -> Option<String> {
    let (name, _) = cookie.split_once('=')?;
    name.strip_prefix("samebreath-").filter(|stay| stay.contains('.')).map(str::to_owned)
}

pub struct Answer {
    pub status: u16,
    pub body: String,
    pub cookie: Option<String>,
    pub set_cookie: Option<String>,
    pub headers: reqwest::header::HeaderMap,
}

impl Answer {
    async fn of(response: reqwest::Response) -> Self {
        let headers = response.headers().clone();
        let set_cookie = headers.get("set-cookie").map(|c| c.to_str().unwrap().to_owned());
        let cookie = set_cookie.as_ref().and_then(|c| c.split(';').next()).map(str::to_owned);
        Self {
            status: response.status().as_u16(),
            body: response.text().await.unwrap(),
            cookie,
            set_cookie,
            headers,
        }
    }

    pub fn json(&self) -> Value {
        serde_json::from_str(&self.body).unwrap()
    }
}

/// A screen, and what it knows.
pub struct Screen {
    pub socket: Socket,
    /// The cookie with which it connected.
    pub cookie: String,
    pub stage: Option<Stage>,
    pub mine: Option<Mine>,
    pub desk: Option<DeskFrame>,
    /// Every text that arrived.
    pub seen: Vec<String>,
}

impl Screen {
    pub fn of(socket: Socket) -> Self {
        let cookie = String::new();
        Self { socket, cookie, stage: None, mine: None, desk: None, seen: Vec::new() }
    }

    /// The people whom this desk shows.
    pub fn rows(&self) -> &[Row] {
        self.desk.as_ref().map(|desk| &desk.rows[..]).unwrap_or_default()
    }

    /// The reports that this desk shows as alerts.
    pub fn reports(&self) -> Vec<DeskReport> {
        let alerts = self.desk.iter().flat_map(|desk| desk.alerts.clone());
        let report = |alert| if let Alert::Report(report) = alert { Some(*report) } else { None };
        alerts.filter_map(report).collect()
    }

    /// Reads one message. The error is the close code, when the server closed the socket.
    /// Waits until the server ends the socket, because its pass has ended.
    pub async fn is_shut(&mut self) {
        loop {
            match self.hear().await {
                Ok(_) => {}
                Err(code) => return assert_eq!(code, 4003, "it may come in no more"),
            }
        }
    }

    pub async fn hear(&mut self) -> Result<ServerMessage, u16> {
        loop {
            match self.socket.next().await {
                Some(Ok(Message::Text(text))) => {
                    self.seen.push(text.to_string());
                    let message: ServerMessage = serde_json::from_str(&text).unwrap();
                    match &message {
                        ServerMessage::Stage { stage } => self.stage = Some(stage.clone()),
                        ServerMessage::Mine { mine } => self.mine = Some(mine.clone()),
                        ServerMessage::Desk { desk } => self.desk = Some((**desk).clone()),
                        _ => {}
                    }
                    return Ok(message);
                }
                Some(Ok(Message::Close(frame))) => return Err(frame.map_or(1005, |f| f.code.into())),
                Some(Ok(_)) => {}
                Some(Err(_)) | None => return Err(1006),
            }
        }
    }

    /// Reads messages until `is_so` holds.
    pub async fn until(&mut self, is_so: impl Fn(&Self) -> bool) {
        while !is_so(self) {
            self.hear().await.unwrap();
        }
    }

    pub async fn send(&mut self, value: Value) {
        self.socket.send(Message::Text(value.to_string().into())).await.unwrap();
    }

    /// Sends a command and waits for its answer: `None`, or the refusal's code.
    pub async fn tell(&mut self, kind: &str, id: Uuid, command: Value) -> Option<String> {
        self.send(json!({ "kind": kind, "id": id, "command": command })).await;
        loop {
            match self.hear().await.unwrap() {
                ServerMessage::Taken { id: of } if of.0 == id => return None,
                ServerMessage::Refused { id: of, code, .. } if of.0 == id => return Some(code),
                _ => {}
            }
        }
    }

    pub async fn tell_desk(&mut self, command: DeskCommand) -> Option<String> {
        self.tell("desk", Uuid::now_v7(), serde_json::to_value(command).unwrap()).await
    }

    pub async fn tell_seat(&mut self, command: SeatCommand) -> Option<String> {
        self.tell("seat", Uuid::now_v7(), serde_json::to_value(command).unwrap()).await
    }

    /// Reads until the server closes the socket, and returns the close code.
    pub async fn until_closed(&mut self) -> u16 {
        loop {
            if let Err(code) = self.hear().await {
                return code;
            }
        }
    }
}

/// One more class on a server.
pub async fn another_class(server: &TestServer) -> (SessionEntry, links::Links) {
    one_more(server, false).await
}

/// A rehearsal on a server, without its people.
pub async fn rehearsal(server: &TestServer) -> (SessionEntry, links::Links) {
    one_more(server, true).await
}

async fn one_more(server: &TestServer, rehearsal: bool) -> (SessionEntry, links::Links) {
    let plan = draft::read_plan(Source::new("plan.toml", PLAN), &server.app.house.library).unwrap();
    let new = NewSession::of_plan(plan, server.app.house.rules.clone(), rehearsal, Entry::Code);
    let now = server.app.clock.now();
    let entry = new::new_session(&*server.app.store, new, now).await.unwrap();
    let links = links::links(&*server.app.store, &entry, "", now, true).await.unwrap();
    (entry, links)
}

/// The lines that the ledger has for a class.
pub async fn ledger(server: &TestServer, entry: &SessionEntry) -> Vec<Recorded> {
    server.app.store.read_after(entry.id, 0).await.unwrap()
}
