//! The coming days, over real sockets and a real database.

use crate::common::{TestServer, ledger};
use jiff::{Timestamp, ToSpan, ZonedDateTime};
use samebreath_core::live::{ClassEvent, Event};
use serde_json::{Value, json};
use uuid::Uuid;

/// Where it is already tomorrow for half of the day.
const FAR: &str = "Pacific/Kiritimati";

fn there(zone: &str) -> ZonedDateTime {
    Timestamp::now().in_tz(zone).unwrap()
}

/// A group that meets at 23:59 on the day that it is in `zone` in `days` days.
fn group(name: &str, zone: &str, days: i64) -> Value {
    let day = there(zone).date().checked_add(days.days()).unwrap();
    json!({
        "name": name, "weekday": day.weekday().to_monday_one_offset(), "start": "23:59", "minutes": 45,
        "zone": zone, "first": null, "last": null, "others": [], "weeks_apart": 8, "people": [],
    })
}

async fn post(server: &TestServer, pass: &str, path: &str, body: Value) -> Value {
    let answer = server.post(path, pass, &body).await;
    assert_eq!(answer.status, 200, "{}", answer.body);
    answer.json()
}

#[tokio::test]
async fn the_week_has_every_groups_classes_with_their_plans_and_sessions() {
    let folder = tempfile::tempdir().unwrap();
    let server = TestServer::start(folder.path()).await;
    let pass = server.planner().await;
    let far = post(&server, &pass, "/api/planner/groups", group("Far", FAR, 1)).await;
    let near = post(&server, &pass, "/api/planner/groups", group("Near", "UTC", 0)).await;
    // A group without a zone has no classes yet.
    let mut timeless = group("Timeless", "UTC", 0);
    timeless["zone"] = Value::Null;
    post(&server, &pass, "/api/planner/groups", timeless).await;
    let week = async || server.get("/api/planner/week", &pass).await.json().as_array().unwrap().clone();
    let coming = week().await;
    let of = |all: &[Value], group: &Value| {
        all.iter().filter(|one| one["group"] == group["id"]).cloned().collect::<Vec<_>>()
    };
    let days = |found: &[Value]| found.iter().map(|one| one["class"]["day"].clone()).collect::<Vec<_>>();
    let day = |zone: &str, days: i64| json!(there(zone).date().checked_add(days.days()).unwrap().to_string());
    assert_eq!(days(&of(&coming, &far)), [day(FAR, 1)]);
    assert_eq!(
        days(&of(&coming, &near)),
        [day("UTC", 0), day("UTC", 7)],
        "today, and the same day next week"
    );
    let sorted: Vec<_> = coming.iter().map(|one| one["class"]["starts"].as_i64().unwrap()).collect();
    assert!(sorted.is_sorted());
    assert_eq!((&coming[0]["plan"], &coming[0]["session"]), (&Value::Null, &Value::Null));

    // A plan for the group is for its next class, and the class that is made from it starts by the group's clocks.
    let new = json!({ "from": "empty", "title": "Tuesday", "group": far["id"] });
    let plan = post(&server, &pass, "/api/planner/plans", new).await;
    assert_eq!(
        (&plan["content"]["day"], &plan["content"]["draft"]["start"]),
        (&day(FAR, 1), &json!("23:59"))
    );
    let mut content = plan["content"].clone();
    content["draft"]["steps"] = json!([{ "part": null, "title": null, "note": null,
        "what": { "kind": "talk", "title": "Hello", "minutes": 5 } }]);
    let plan_url = format!("/api/planner/plans/{}", plan["id"].as_str().unwrap());
    server.put(&plan_url, &pass, &json!({ "after": 1, "content": content })).await;
    let begin = json!({ "version": 2, "rehearsal": false, "request": Uuid::now_v7() });
    post(&server, &pass, &format!("{plan_url}/class"), begin).await;
    let entries = server.app.store.unfinished_sessions().await.unwrap();
    let entry = entries.iter().find(|entry| entry.group.is_some()).unwrap();
    let [mine] = &of(&week().await, &far)[..] else { panic!("one class") };
    assert_eq!((&mine["plan"], &mine["session"]), (&plan["id"], &json!(entry.id.0)));
    assert_eq!(mine["ended"], json!(false));
    let Event::Class(ClassEvent::Begun { starts, .. }) = &ledger(&server, entry).await[0].event else {
        panic!("a class begins");
    };
    assert_eq!(json!(starts), mine["class"]["starts"]);

    // A class that is moved afterwards is still the one that was planned and made.
    let mut moved = far["content"].clone();
    moved["others"] = json!([{ "of": mine["class"]["of"], "cancelled": null, "day": day(FAR, 3), "start": null,
        "minutes": null, "led_by": null }]);
    let url = format!("/api/planner/groups/{}", far["id"].as_str().unwrap());
    let saved = server.put(&url, &pass, &json!({ "after": 1, "content": moved })).await;
    assert_eq!(saved.status, 200, "{}", saved.body);
    let [found] = &of(&week().await, &far)[..] else { panic!("one class") };
    assert_eq!(found["class"]["day"], day(FAR, 3));
    assert_eq!((&found["plan"], &found["session"]), (&mine["plan"], &mine["session"]));
    // So is one that is made after it was moved, from the plan of its former day.
    let begin = json!({ "version": 2, "rehearsal": false, "request": Uuid::now_v7() });
    post(&server, &pass, &format!("{plan_url}/class"), begin).await;
    let [again] = &of(&week().await, &far)[..] else { panic!("one class") };
    assert_ne!(again["session"], mine["session"]);
    let entries = server.app.store.unfinished_sessions().await.unwrap();
    let entry = entries.iter().find(|entry| json!(entry.id.0) == again["session"]).unwrap();
    let Event::Class(ClassEvent::Begun { starts, .. }) = &ledger(&server, entry).await[0].event else {
        panic!("a class begins");
    };
    assert_eq!(json!(starts), found["class"]["starts"]);
}

#[tokio::test]
async fn a_copy_for_next_week_is_for_the_next_class_that_takes_place_at_its_time() {
    let folder = tempfile::tempdir().unwrap();
    let server = TestServer::start(folder.path()).await;
    let pass = server.planner().await;
    let day = |days: i64| json!(there("UTC").date().checked_add(days.days()).unwrap().to_string());
    let mut group = group("Near", "UTC", 1);
    let other = |of: i64, change: Value| {
        let mut other = json!({ "of": day(of), "cancelled": null, "day": null, "start": null,
            "minutes": null, "led_by": null });
        other.as_object_mut().unwrap().extend(change.as_object().unwrap().clone());
        other
    };
    // The first class is two days late and at another time, and the one after it is cancelled.
    let late = other(1, json!({ "day": day(3), "start": "11:30", "minutes": 90 }));
    group["others"] = json!([late, other(8, json!({ "cancelled": "Away" }))]);
    let group = post(&server, &pass, "/api/planner/groups", group).await;
    let new = json!({ "from": "empty", "title": "x", "group": group["id"] });
    let plan = post(&server, &pass, "/api/planner/plans", new).await;
    let when = |plan: &Value| {
        let Value::Object(planned) = &plan["content"] else { panic!("a plan") };
        (planned["day"].clone(), planned["draft"]["start"].clone(), planned["draft"]["minutes"].clone())
    };
    assert_eq!(when(&plan), (day(3), json!("11:30"), json!(90)));
    let copy = json!({ "from": "next_week", "id": plan["id"], "version": 1, "one_notch_on": false });
    let next = post(&server, &pass, "/api/planner/plans", copy).await;
    assert_eq!(when(&next), (day(15), json!("23:59"), json!(45)));
}

#[tokio::test]
async fn a_page_asks_when_its_group_meets_before_it_is_saved() {
    let folder = tempfile::tempdir().unwrap();
    let server = TestServer::start(folder.path()).await;
    let pass = server.planner().await;
    let mut group = group("Lantern Quay", "Europe/Berlin", 0);
    let look = async |group: &Value| {
        server.post("/api/planner/groups/look", &pass, &json!({ "group": group, "weeks": 8 })).await
    };
    let classes = look(&group).await.json()["classes"].as_array().unwrap().clone();
    assert_eq!(classes.len(), 8, "eight weeks");
    let of = classes[1]["of"].clone();
    group["others"] = json!([{ "of": of, "cancelled": "The hall is closed.", "day": null, "start": null,
        "minutes": null, "led_by": null }]);
    let cancelled = look(&group).await.json()["classes"][1]["cancelled"].clone();
    assert_eq!(cancelled, json!("The hall is closed."));
    group["zone"] = json!("Mars/Crater");
    let refused = look(&group).await;
    assert_eq!(refused.status, 422);
    assert!(refused.body.contains("there is no time zone called Mars/Crater"), "{}", refused.body);
    for cookie in ["", &server.open_desk().await.cookie] {
        assert_eq!(server.get("/api/planner/week", cookie).await.status, 401);
        assert_eq!(
            server
                .post("/api/planner/groups/look", cookie, &json!({ "group": group, "weeks": 8 }))
                .await
                .status,
            401
        );
    }
}
