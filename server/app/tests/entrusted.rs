//! What belongs to whom: health, a group's desks, and the class of whoever stands in.

use crate::common::quay::noon_zone;
use crate::common::staff::House;
use serde_json::{Value, json};
use uuid::Uuid;

/// Only a clinician's account changes what concerns health, and a coordinator of others' groups does not see it.
#[tokio::test]
async fn health_is_for_those_who_may() {
    let house = House::open().await;
    let ines = house.ines().await;
    let slp = json!({ "title": "SLP", "licence": "L 2" });
    let (odile, _) = house.colleague(&ines, "Odile", "facilitator", json!(null)).await;
    let (yuki, yuki_card) = house.colleague(&ines, "Yuki", "facilitator", slp).await;
    let person = json!({ "name": "Ada", "conditions": ["neck"], "decisions": [] });
    let refused = house.server.post("/api/planner/people", &odile, &person).await;
    assert_eq!((refused.status, refused.json()["code"].clone()), (403, json!("not_clinician")));
    let plain = json!({ "name": "Ada", "conditions": [], "decisions": [] });
    let ada = house.server.post("/api/planner/people", &odile, &plain).await.json();
    let url = format!("/api/planner/people/{}", ada["id"].as_str().unwrap());
    let save = async |who: &str, after: u64, content: &Value| {
        house.server.put(&url, who, &json!({ "after": after, "content": content })).await
    };
    assert_eq!(save(&odile, 1, &person).await.status, 403);
    assert_eq!(save(&yuki, 1, &person).await.status, 200);
    let renamed = json!({ "name": "Ada L", "conditions": ["neck"], "decisions": [] });
    assert_eq!(save(&odile, 2, &renamed).await.status, 200, "what she does not change she may keep");
    // The group is Yuki's from now on.
    let group = json!({
        "name": "Mill Lane", "weekday": 4, "start": "14:00", "minutes": 45, "weeks_apart": 8,
        "people": [ada["id"]], "zone": null, "first": null, "last": null, "others": [],
        "entrusted": [yuki_card["id"]],
    });
    assert_eq!(
        house.server.post("/api/planner/groups", &yuki, &group).await.status,
        403,
        "a coordinator's act"
    );
    assert_eq!(house.server.post("/api/planner/groups", &ines, &group).await.status, 200);
    assert_eq!(house.server.get(&url, &odile).await.status, 404, "as if it were not there");
    let seen = house.server.get(&url, &ines).await.json();
    let health = ["conditions", "decisions", "forms"].map(|key| seen["content"][key].clone());
    assert_eq!((&seen["content"]["name"], health), (&json!("Ada L"), [json!([]), json!([]), json!([])]));
    let cards = house.server.get("/api/planner/people", &ines).await.json();
    assert_eq!((&cards[0]["health_hidden"], &cards[0]["conditions"]), (&json!(true), &json!([])));
    // Whoever does not see them changes nothing of them by saving.
    let by_ines = json!({ "name": "Ada Q", "conditions": [], "decisions": [] });
    assert_eq!(save(&ines, 3, &by_ines).await.status, 200);
    let theirs = house.server.get(&url, &yuki).await.json();
    let kept = (&theirs["content"]["name"], &theirs["content"]["conditions"]);
    assert_eq!(kept, (&json!("Ada Q"), &json!(["neck"])));
}

/// Whoever a group is not entrusted to any more has no desk of its classes, and keeps those of others.
#[tokio::test]
async fn a_desk_shuts_when_its_group_is_entrusted_to_others() {
    let house = House::open().await;
    let ines = house.ines().await;
    let (odile, card) = house.colleague(&ines, "Odile", "facilitator", json!(null)).await;
    let group = |entrusted: &[&Value]| {
        json!({
            "name": "Mill Lane", "weekday": 4, "start": "14:00", "minutes": 45, "weeks_apart": 8, "people": [],
            "zone": null, "first": null, "last": null, "others": [], "entrusted": entrusted,
        })
    };
    let kept = house.server.post("/api/planner/groups", &ines, &group(&[])).await.json();
    let file =
        json!({ "from": "file", "text": "title = \"x\"\nminutes = 60\n[[step]]\ndrill = \"sit-tall\"\n" });
    let plan = house.server.post("/api/planner/plans", &odile, &file).await.json();
    let mut content = plan["content"].clone();
    content["group"] = kept["id"].clone();
    let url = format!("/api/planner/plans/{}", plan["id"].as_str().unwrap());
    house.server.put(&url, &odile, &json!({ "after": 1, "content": content })).await;
    let begin = json!({ "version": 2, "rehearsal": false, "request": Uuid::now_v7() });
    assert_eq!(house.server.post(&format!("{url}/class"), &odile, &begin).await.status, 200);
    let made = house.server.app.store.unfinished_sessions().await.unwrap();
    let class = made.iter().find(|entry| entry.group.is_some()).unwrap().id.0;
    let opened = house.server.post(&format!("/api/planner/classes/{class}/desk"), &odile, &json!({})).await;
    let cookie = opened.cookie.unwrap();
    let mut desk = house.server.connect("desk", &cookie).await;
    let url = format!("/api/planner/groups/{}", kept["id"].as_str().unwrap());
    let save = async |after: u64, content: Value| {
        let saved = house.server.put(&url, &ines, &json!({ "after": after, "content": content })).await;
        assert_eq!(saved.json()["saved"], json!(true));
    };
    save(1, group(&[&card["id"]])).await;
    assert_eq!(house.server.get("/api/desk/{stay}/sheet", &cookie).await.status, 200, "it is hers now");
    let me = house.server.get("/api/staff/me", &ines).await.json();
    save(2, group(&[&me["id"]])).await;
    desk.is_shut().await;
    assert_eq!(house.server.get("/api/desk/{stay}/sheet", &cookie).await.status, 401);
    assert!(house.is_in(&odile).await);
    house.desk_of(&odile).await;
}

/// Whoever stands in for a day gets that day's class with its plan and desk, and nothing else of the group.
#[tokio::test]
async fn a_stand_in_has_the_class_of_the_day_and_nothing_else() {
    let house = House::open().await;
    let ines = house.ines().await;
    let (odile, card) = house.colleague(&ines, "Odile", "facilitator", json!(null)).await;
    let me = house.server.get("/api/staff/me", &ines).await.json();
    let day = |days: i64| {
        let today = jiff::Timestamp::now().in_tz("UTC").unwrap().date();
        json!(today.checked_add(jiff::ToSpan::days(days)).unwrap().to_string())
    };
    let weekday = jiff::Timestamp::now().in_tz("UTC").unwrap().weekday().to_monday_one_offset();
    let group = |others: Value| {
        json!({
            "name": "Mill Lane", "weekday": weekday, "start": "23:59", "minutes": 45, "weeks_apart": 8,
            "people": [], "zone": noon_zone(), "first": null, "last": null, "others": others, "entrusted": [me["id"]],
        })
    };
    let kept = house.server.post("/api/planner/groups", &ines, &group(json!([]))).await.json();
    let plan = async |on: Value| {
        let new = json!({ "from": "empty", "title": "Hour", "group": kept["id"], "day": on });
        let plan = house.server.post("/api/planner/plans", &ines, &new).await.json();
        let mut content = plan["content"].clone();
        content["draft"]["steps"] = json!([{ "part": null, "title": null, "note": null,
            "what": { "kind": "talk", "title": "Hello", "minutes": 5 } }]);
        let url = format!("/api/planner/plans/{}", plan["id"].as_str().unwrap());
        house.server.put(&url, &ines, &json!({ "after": 1, "content": content })).await;
        url
    };
    let (today, next) = (plan(day(0)).await, plan(day(7)).await);
    let sees = async |url: &str| house.server.get(url, &odile).await.status;
    let week = async || house.server.get("/api/planner/week", &odile).await.json();
    assert_eq!((sees(&today).await, week().await), (404, json!([])));
    let url = format!("/api/planner/groups/{}", kept["id"].as_str().unwrap());
    let save = async |after: u64, others: Value| {
        let saved = house.server.put(&url, &ines, &json!({ "after": after, "content": group(others) })).await;
        assert_eq!(saved.json()["saved"], json!(true), "{}", saved.body);
    };
    save(
        1,
        json!([{ "of": day(0), "cancelled": null, "day": null, "start": null, "minutes": null,
        "led_by": "Odile", "stand_in": card["id"] }]),
    )
    .await;
    assert_eq!((sees(&today).await, sees(&next).await, sees(&url).await), (200, 404, 404));
    let coming = week().await;
    assert_eq!(coming.as_array().unwrap().len(), 1, "the class of today and no other");
    let begin = json!({ "version": 2, "rehearsal": false, "request": Uuid::now_v7() });
    assert_eq!(house.server.post(&format!("{today}/class"), &odile, &begin).await.status, 200);
    let other = json!({ "version": 2, "rehearsal": false, "request": Uuid::now_v7() });
    assert_eq!(house.server.post(&format!("{next}/class"), &odile, &other).await.status, 404);
    let first = house.server.get("/api/planner/today", &odile).await.json();
    let class = first["class"]["coming"]["session"].as_str().unwrap().to_owned();
    let opened = house.server.post(&format!("/api/planner/classes/{class}/desk"), &odile, &json!({})).await;
    let cookie = opened.cookie.unwrap();
    assert!(cookie.contains("facilitator"));
    let mut desk = house.server.connect("desk", &cookie).await;
    // The usual facilitator comes after all.
    save(2, json!([])).await;
    desk.is_shut().await;
    assert_eq!((sees(&today).await, week().await), (404, json!([])));
}
