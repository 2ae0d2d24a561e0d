//! A class on the real server, joined as browsers join it: with a code or a link, over HTTP.

use std::path::Path;

use anyhow::Context;
use futures_util::{StreamExt, TryStreamExt};
use reqwest::header::{ORIGIN, SET_COOKIE};
use serde_json::{Value, json};
use tokio_tungstenite::tungstenite::Utf8Bytes;
use uuid::Uuid;

use crate::process::{Links, Server, StaffDoor};
use crate::screens::{Door, Speaker};

/// How many joins are under way at once.
const AT_ONCE: usize = 16;

/// Plain requests to one server.
#[derive(Debug, Clone)]
pub struct Http {
    client: reqwest::Client,
    address: String,
}

impl Http {
    /// To `127.0.0.1:port`.
    #[must_use]
    pub fn to(address: &str) -> Self {
        Self { client: reqwest::Client::new(), address: address.to_owned() }
    }

    /// Posts JSON. Returns the cookie that was set, if any, and the answer.
    pub async fn post(&self, path: &str, cookie: &str, body: &Value) -> anyhow::Result<(String, Value)> {
        let base = format!("http://{}", self.address);
        let request =
            self.client.post(format!("{base}{path}")).header(ORIGIN, &base).header("cookie", cookie);
        let answer = request.json(body).send().await?;
        let status = answer.status();
        let set = answer.headers().get(SET_COOKIE).and_then(|value| value.to_str().ok()).unwrap_or_default();
        let cookie = set.split(';').next().unwrap_or_default().to_owned();
        let text = answer.text().await?;
        anyhow::ensure!(status.is_success(), "{path}: {status} {text}");
        Ok((cookie, serde_json::from_str(&text).unwrap_or(Value::Null)))
    }

    /// Uses a link and returns its cookie.
    pub async fn use_link(&self, path: &str, link: &str) -> anyhow::Result<String> {
        let token = link.split('.').next_back().context("a link without a token")?;
        Ok(self.post(path, "", &json!({ "token": token, "request": Uuid::now_v7() })).await?.0)
    }

    /// Takes `people` seats with the code and returns their cookies.
    pub async fn join(&self, code: &str, people: usize) -> anyhow::Result<Vec<String>> {
        futures_util::stream::iter(0..people)
            .map(|n| async move {
                let body = json!({ "code": code, "name": format!("Person {n}"), "request": Uuid::now_v7() });
                anyhow::Ok(self.post("/api/join", "", &body).await?.0)
            })
            .buffered(AT_ONCE)
            .try_collect()
            .await
    }
}

/// An open class with its desk.
pub struct Class {
    address: String,
    /// The cookies of its seats.
    pub seats: Vec<String>,
    desk: Speaker,
    desk_cookie: String,
}

impl Class {
    /// Opens the class of `links` and takes `people` seats.
    pub async fn open(address: &str, links: &Links, people: usize) -> anyhow::Result<Self> {
        let http = Http::to(address);
        let desk_cookie = http.use_link("/api/pass", &links.desk).await?;
        let desk = Speaker::open(&Door::of(address, &desk_cookie)?).await?;
        let mut class = Self { address: address.to_owned(), seats: Vec::new(), desk, desk_cookie };
        let closed = class.desk.shown(1).await?;
        class.tell([json!({ "do": "open" })]).await?;
        class.desk.shown(closed + 1).await?;
        class.seats = http.join(&links.code, people).await?;
        Ok(class)
    }

    /// Doors for `screens` screens. Each seat may have five.
    pub fn doors(&self, screens: usize) -> anyhow::Result<Vec<Door>> {
        self.seats.iter().cycle().take(screens).map(|cookie| Door::of(&self.address, cookie)).collect()
    }

    /// The door through which one more screen of the desk connects.
    pub fn desk_door(&self) -> anyhow::Result<Door> {
        Door::of(&self.address, &self.desk_cookie)
    }

    /// Sends the desk's commands in one write.
    pub async fn tell(&mut self, commands: impl IntoIterator<Item = Value>) -> anyhow::Result<()> {
        let texts: Vec<Utf8Bytes> = commands
            .into_iter()
            .map(|command| {
                json!({ "kind": "desk", "id": Uuid::now_v7(), "command": command }).to_string().into()
            })
            .collect();
        self.desk.say(texts).await
    }

    /// Waits until the desk has been shown change `seq`.
    pub async fn shown(&self, seq: u64) -> anyhow::Result<()> {
        self.desk.shown(seq).await.map(drop)
    }

    /// The number of the newest change that the desk has been shown.
    #[must_use]
    pub fn seq(&self) -> u64 {
        self.desk.newest()
    }
}

/// Begins more classes on a server, through its planner, from a plan file.
pub async fn begin_more(server: &Server, plan: &Path, classes: usize) -> anyhow::Result<Vec<Links>> {
    let links = server.links.clone().context("not a samebreath server")?;
    let http = Http::to(&server.address);
    let token = links.staff.first.split('.').next_back().context("a link without a token")?;
    let account = json!({ "token": token, "name": "Ines", "sign_in": "ines", "clinician": null,
        "password": "lamp otter sill mango", "request": Uuid::now_v7() });
    let (cookie, _) = http.post("/api/staff/first", "", &account).await?;
    let text = std::fs::read_to_string(plan)?;
    let new = json!({ "from": "file", "text": text });
    let (_, made) = http.post("/api/planner/plans", &cookie, &new).await?;
    let id = made["id"].as_str().context("a plan without an id")?.to_owned();
    let mut all = Vec::new();
    for _ in 0..classes {
        let body = json!({ "version": 1, "rehearsal": false, "request": Uuid::now_v7() });
        let (_, class) = http.post(&format!("/api/planner/plans/{id}/class"), &cookie, &body).await?;
        let text = |key: &str| class[key].as_str().map(str::to_owned).with_context(|| format!("no {key}"));
        all.push(Links { desk: text("desk")?, staff: StaffDoor::default(), code: text("code")? });
    }
    Ok(all)
}
