//! A server whose staff sign in.

use samebreath::session::links;
use samebreath_core::time::EpochMs;
use serde_json::{Value, json};
use uuid::Uuid;

use super::{Answer, Screen, TestServer};

pub const PASSWORD: &str = "lamp otter sill mango";
pub const OTHER: &str = "quiet harbour seven pens";

/// A server with accounts.
pub struct House {
    pub server: TestServer,
    pub folder: tempfile::TempDir,
}

impl House {
    pub async fn open() -> Self {
        let folder = tempfile::tempdir().unwrap();
        Self { server: TestServer::start_in_earnest(folder.path()).await, folder }
    }

    pub fn now(&self) -> EpochMs {
        self.server.app.clock.now()
    }

    pub async fn first_token(&self) -> Option<String> {
        let link = links::first_link(&*self.server.app.store, "", self.now()).await.unwrap()?;
        Some(link.split("#a.").nth(1).unwrap().to_owned())
    }

    /// The house's first coordinator, a clinician, signed in.
    pub async fn ines(&self) -> String {
        let made = self.first(&self.first_token().await.unwrap(), Uuid::now_v7()).await;
        assert_eq!(made.status, 200, "{}", made.body);
        made.cookie.unwrap()
    }

    pub async fn first(&self, token: &str, request: Uuid) -> Answer {
        let clinician = json!({ "title": "SLP", "licence": "L 1" });
        let body = json!({
            "token": token, "name": "Ines", "sign_in": "Inés", "clinician": clinician, "password": PASSWORD,
            "request": request,
        });
        self.server.post("/api/staff/first", "", &body).await
    }

    /// A colleague with this role, who has chosen a password by a link, signed in.
    pub async fn colleague(
        &self,
        coordinator: &str,
        name: &str,
        role: &str,
        clinician: Value,
    ) -> (String, Value) {
        let account = json!({ "name": name, "sign_in": name, "role": role, "clinician": clinician });
        let new = json!({ "account": account, "request": Uuid::now_v7() });
        let made = self.server.post("/api/accounts", coordinator, &new).await;
        assert_eq!(made.status, 200, "{}", made.body);
        let card = made.json();
        let link = format!("/api/accounts/{}/link", card["id"].as_str().unwrap());
        let token = self.token(&link, coordinator).await;
        let body = json!({ "token": token, "password": OTHER, "request": Uuid::now_v7() });
        let chosen = self.server.post("/api/staff/password-by-link", "", &body).await;
        assert_eq!(chosen.status, 200, "{}", chosen.body);
        (chosen.cookie.unwrap(), card)
    }

    pub async fn token(&self, path: &str, cookie: &str) -> String {
        let made = self.server.post(path, cookie, &json!({})).await;
        assert_eq!(made.status, 200, "{}", made.body);
        made.json()["link"].as_str().unwrap().split("#a.").nth(1).unwrap().to_owned()
    }

    pub async fn sign_in(&self, name: &str, password: &str, code: Option<&str>) -> Answer {
        let body = json!({ "name": name, "password": password, "code": code });
        self.server.post("/api/staff/sign-in", "", &body).await
    }

    pub async fn is_in(&self, cookie: &str) -> bool {
        self.server.get("/api/staff/me", cookie).await.status == 200
    }

    /// Changes what the database says, as time or somebody else would.
    pub async fn sql(&self, text: &'static str) {
        let file = self.folder.path().join("samebreath.db");
        let pool = sqlx::SqlitePool::connect(&format!("sqlite:{}", file.display())).await.unwrap();
        sqlx::query(text).execute(&pool).await.unwrap();
        pool.close().await;
    }

    /// Opens the desk of the house's class for an account.
    pub async fn desk_of(&self, account: &str) -> Screen {
        let class = format!("/api/planner/classes/{}/desk", self.server.entry.id.0);
        let opened = self.server.post(&class, account, &json!({})).await;
        assert_eq!(opened.status, 200, "{}", opened.body);
        self.server.connect("desk", &opened.cookie.unwrap()).await
    }
}
