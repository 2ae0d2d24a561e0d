//! The first page of staff over real requests: the class of the day, what has changed, and what is left to do.

use crate::common::TestServer;
use crate::common::quay::noon_zone;
use jiff::{Timestamp, ToSpan};
use samebreath_core::live::{DeskCommand, SeatId};
use serde_json::{Value, json};
use uuid::Uuid;

fn day(days: i64) -> String {
    Timestamp::now().in_tz("UTC").unwrap().date().checked_add(days.days()).unwrap().to_string()
}

struct House {
    server: TestServer,
    pass: String,
}

impl House {
    async fn post(&self, path: &str, body: Value) -> Value {
        let answer = self.server.post(path, &self.pass, &body).await;
        assert_eq!(answer.status, 200, "{path}: {}", answer.body);
        answer.json()
    }

    async fn today(&self) -> Value {
        self.server.get("/api/planner/today", &self.pass).await.json()
    }

    async fn person(&self, name: &str, conditions: &[&str]) -> Value {
        let person = json!({ "name": name, "conditions": conditions, "decisions": [] });
        self.post("/api/planner/people", person).await
    }

    /// A plan for a day of the group, with so many repetitions.
    async fn plan(&self, group: &Value, on: &str, reps: u32) -> Value {
        let new = json!({ "from": "empty", "title": "Hour", "group": group["id"], "day": on });
        let plan = self.post("/api/planner/plans", new).await;
        let mut content = plan["content"].clone();
        let step = json!({ "part": "Voice", "title": null, "note": null,
            "what": { "kind": "drill", "drill": "strong-ah", "change": { "reps": reps } } });
        content["draft"]["steps"] = json!([step]);
        let url = format!("/api/planner/plans/{}", plan["id"].as_str().unwrap());
        let saved = self.server.put(&url, &self.pass, &json!({ "after": 1, "content": content })).await;
        assert_eq!(saved.status, 200, "{}", saved.body);
        plan
    }

    /// Makes the class of a plan, and returns its id.
    async fn class(&self, plan: &Value) -> Uuid {
        let url = format!("/api/planner/plans/{}/class", plan["id"].as_str().unwrap());
        let begin = json!({ "version": 2, "rehearsal": false, "request": Uuid::now_v7() });
        self.post(&url, begin).await;
        let mut made = self.server.app.store.unfinished_sessions().await.unwrap();
        made.retain(|entry| entry.group.is_some());
        made[0].id.0
    }

    async fn desk(&self, class: Uuid) -> crate::common::Screen {
        let opened =
            self.server.post(&format!("/api/planner/classes/{class}/desk"), &self.pass, &json!({})).await;
        assert_eq!(opened.status, 200, "{}", opened.body);
        self.server.connect("desk", &opened.cookie.unwrap()).await
    }
}

#[tokio::test]
async fn the_class_of_the_day_is_found_with_what_has_changed_since_the_last_one() {
    let folder = tempfile::tempdir().unwrap();
    let server = TestServer::start(folder.path()).await;
    let pass = server.planner().await;
    let house = House { server, pass };
    assert_eq!(house.today().await["class"], Value::Null);
    let (ada, ben) = (house.person("Ada", &[]).await, house.person("Ben", &["neck"]).await);
    let weekday = Timestamp::now().in_tz("UTC").unwrap().weekday().to_monday_one_offset();
    let group = json!({
        "name": "Lantern Quay", "weekday": weekday, "start": "23:59", "minutes": 45, "zone": noon_zone(),
        "first": null, "last": null, "others": [], "weeks_apart": 8, "people": [ada["id"], ben["id"]],
    });
    let group = house.post("/api/planner/groups", group).await;
    let before = house.today().await;
    assert_eq!(before["class"]["coming"]["name"], "Lantern Quay");
    assert_eq!((&before["class"]["plan"], &before["class"]["last"]), (&Value::Null, &Value::Null));
    let unplanned = json!({ "what": "no_plan", "group": group["id"], "name": "Lantern Quay", "day": day(0) });
    assert_eq!(before["left"], json!([unplanned]));

    // Last week's class ends with something noted for later.
    let last = house.plan(&group, &day(-7), 8).await;
    let class = house.class(&last).await;
    let mut desk = house.desk(class).await;
    desk.tell_desk(DeskCommand::Open).await;
    let note = DeskCommand::AddFollowUp {
        seat: SeatId(2),
        what: "telephone about the neck".try_into().unwrap(),
        owner: "Ines".try_into().unwrap(),
        due: day(1).try_into().unwrap(),
    };
    assert_eq!(desk.tell_desk(note).await, None);
    assert_eq!(desk.tell_desk(DeskCommand::End).await, None);

    // Since then somebody has come, somebody has a new precaution, and the dose has grown.
    let casimir = house.person("Casimir", &[]).await;
    let ada_now = json!({ "name": "Ada", "conditions": ["heart"], "decisions": [] });
    let url = format!("/api/planner/people/{}", ada["id"].as_str().unwrap());
    house.server.put(&url, &house.pass, &json!({ "after": 1, "content": ada_now })).await;
    let mut content = group["content"].clone();
    content["people"] = json!([ada["id"], ben["id"], casimir["id"]]);
    let url = format!("/api/planner/groups/{}", group["id"].as_str().unwrap());
    house.server.put(&url, &house.pass, &json!({ "after": 1, "content": content })).await;
    let plan = house.plan(&group, &day(0), 10).await;
    let today = house.today().await;
    let class_of_day = &today["class"];
    assert_eq!(class_of_day["coming"]["plan"], plan["id"]);
    assert_eq!(class_of_day["last"], json!(day(-7)));
    assert_eq!(class_of_day["plan"]["steps"][0]["part"], "Voice");
    let [one, two, three] = &class_of_day["changes"].as_array().unwrap()[..] else {
        panic!("{class_of_day}")
    };
    assert_eq!(one, &json!({ "what": "new_precautions", "name": "Ada", "conditions": ["heart"] }));
    assert_eq!(two, &json!({ "what": "new_person", "name": "Casimir" }));
    assert_eq!((&three["what"], &three["before"], &three["now"]), (&json!("reps"), &json!(8), &json!(10)));
    let [left] = &today["left"].as_array().unwrap()[..] else { panic!("{}", today["left"]) };
    assert_eq!(
        (&left["what"], &left["name"], &left["to_do"], &left["session"]),
        (&json!("follow_up"), &json!("Ben"), &json!("telephone about the neck"), &json!(class))
    );

    // The desk of a class that is over is still where this is looked after.
    let mut desk = house.desk(class).await;
    assert_eq!(
        desk.tell_desk(DeskCommand::CloseFollowUp { id: 1, outcome: "reached".try_into().unwrap() }).await,
        None
    );
    assert_eq!(house.today().await["left"], json!([]));
    // A class that was made is the one to open, and a cancelled one is none.
    let made = house.class(&plan).await;
    assert_eq!(house.today().await["class"]["coming"]["session"], json!(made));
    let kept = house.server.get(&url, &house.pass).await.json();
    let mut content = kept["content"].clone();
    content["others"] = json!([{ "of": day(0), "cancelled": "The heating is off.", "day": null, "start": null,
        "minutes": null, "led_by": null }]);
    let save = json!({ "after": kept["version"], "content": content });
    assert_eq!(house.server.put(&url, &house.pass, &save).await.status, 200);
    assert_eq!(house.today().await["class"], Value::Null);
}
