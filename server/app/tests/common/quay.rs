//! A house with one group, and people who come by their own links.

use jiff::{Timestamp, ToSpan};
use serde_json::{Value, json};
use uuid::Uuid;

use super::staff::House;
use super::{Answer, Screen};

/// A house with a group that meets late today, its coordinator, and two of its people.
pub struct Quay {
    pub house: House,
    pub ines: String,
    pub group: Value,
    pub ada: String,
    pub ben: String,
}

pub fn day(days: i64) -> String {
    Timestamp::now().in_tz("UTC").unwrap().date().checked_add(days.days()).unwrap().to_string()
}

/// A zone in which it is about noon, on the same day as in UTC: late today is half a day away, whenever the test runs.
pub fn noon_zone() -> String {
    let ahead = 12 - i32::from(Timestamp::now().in_tz("UTC").unwrap().hour());
    // The signs of these zones are those of POSIX: the other way round.
    match ahead {
        0 => "Etc/GMT".to_owned(),
        ahead if ahead > 0 => format!("Etc/GMT-{ahead}"),
        behind => format!("Etc/GMT+{}", -behind),
    }
}

/// A link's token.
pub fn token(made: &Value) -> &str {
    made["path"].as_str().unwrap().strip_prefix("/own#").unwrap()
}

impl Quay {
    pub async fn open() -> Self {
        let house = House::open().await;
        let ines = house.ines().await;
        let mut people = Vec::new();
        for name in ["Ada", "Ben"] {
            let person = json!({ "name": name, "conditions": [], "decisions": [] });
            people.push(house.server.post("/api/planner/people", &ines, &person).await.json()["id"].clone());
        }
        let weekday = Timestamp::now().in_tz("UTC").unwrap().weekday().to_monday_one_offset();
        let group = json!({
            "name": "Lantern Quay", "weekday": weekday, "start": "23:59", "minutes": 45, "zone": noon_zone(),
            "first": null, "last": null, "others": [], "weeks_apart": 8, "people": people,
        });
        let group = house.server.post("/api/planner/groups", &ines, &group).await.json();
        let [ada, ben] = [0, 1].map(|n: usize| people[n].as_str().unwrap().to_owned());
        Self { house, ines, group, ada, ben }
    }

    /// Makes the class of today, and opens its desk.
    pub async fn desk(&self) -> Screen {
        let server = &self.house.server;
        let new = json!({ "from": "empty", "title": "Hour", "group": self.group["id"], "day": day(0) });
        let plan = server.post("/api/planner/plans", &self.ines, &new).await.json();
        let mut content = plan["content"].clone();
        content["draft"]["steps"] = json!([{ "part": null, "title": null, "note": null,
            "what": { "kind": "drill", "drill": "sit-tall", "change": {} } }]);
        let url = format!("/api/planner/plans/{}", plan["id"].as_str().unwrap());
        let saved = server.put(&url, &self.ines, &json!({ "after": 1, "content": content })).await;
        assert_eq!(saved.status, 200, "{}", saved.body);
        let begin = json!({ "version": 2, "rehearsal": false, "request": Uuid::now_v7() });
        let begun = server.post(&format!("{url}/class"), &self.ines, &begin).await;
        assert_eq!(begun.status, 200, "{}", begun.body);
        let made = server.app.store.unfinished_sessions().await.unwrap();
        let class = made.iter().find(|entry| entry.group.is_some()).unwrap().id.0;
        let opened = server.post(&format!("/api/planner/classes/{class}/desk"), &self.ines, &json!({})).await;
        server.connect("desk", &opened.cookie.unwrap()).await
    }

    pub fn links(person: &str) -> String {
        format!("/api/planner/people/{person}/links")
    }

    pub async fn link(&self, person: &str, medium: &str) -> Value {
        let new = json!({ "medium": medium, "request": Uuid::now_v7() });
        let made = self.house.server.post(&Self::links(person), &self.ines, &new).await;
        assert_eq!(made.status, 200, "{}", made.body);
        made.json()
    }

    pub async fn end(&self, person: &str, made: &Value) {
        let url = format!("{}/{}", Self::links(person), made["card"]["id"].as_str().unwrap());
        assert_eq!(self.house.server.delete(&url, &self.ines, &json!({})).await.status, 200);
    }

    /// Says yes on a device of one's own.
    pub async fn yes(&self, made: &Value, shared: bool) -> Answer {
        let body = json!({ "token": token(made), "shared": shared, "request": Uuid::now_v7() });
        self.house.server.post("/api/own/open", "", &body).await
    }

    /// The cookie of a device on which the link is open, and the address of its page.
    pub async fn at_home(&self, made: &Value) -> (String, String) {
        let opened = self.yes(made, false).await;
        assert_eq!(opened.status, 200, "{}", opened.body);
        let page = format!("/api/own/{}", opened.json()["place"]["link"].as_str().unwrap());
        (opened.cookie.unwrap(), page)
    }

    pub async fn come(&self, (cookie, page): &(String, String)) -> Answer {
        self.house.server.post(&format!("{page}/class"), cookie, &json!({})).await
    }
}
