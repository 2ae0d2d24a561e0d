//! Sums for those who fund the organisation, over real requests.

use samebreath::demo;
use serde_json::{Value, json};

use crate::common::TestServer;
use crate::common::quay::Quay;

/// The demo's six weeks have two groups, of eight and of five people, one of whom is in both: with lines of their own they
/// would tell of that one.
#[tokio::test]
async fn the_demo_is_added_up_and_small_groups_are_not_told_apart() {
    let folder = tempfile::tempdir().unwrap();
    let server = TestServer::start(folder.path()).await;
    demo::furnish(&server.app).await.unwrap();
    let cookie = server.planner().await;
    let asked = server.get("/api/sums", &cookie).await;
    assert_eq!(asked.status, 200, "{}", asked.body);
    let sums = asked.json()["sums"].clone();
    let groups = server.get("/api/planner/groups", &cookie).await.json();
    let mut minutes = 0;
    let mut attendances = 0;
    for group in groups.as_array().unwrap() {
        let path = format!("/api/planner/groups/{}/attendance", group["id"].as_str().unwrap());
        let table = server.get(&path, &cookie).await.json();
        for person in table["people"].as_array().unwrap() {
            minutes += person["minutes"].as_u64().unwrap();
            attendances += person["came"].as_u64().unwrap();
        }
    }
    let total = &sums["total"];
    assert_eq!((&total["minutes"], &total["attendances"]), (&json!(minutes), &json!(attendances)));
    assert_eq!((&total["held"], &total["cancelled"]), (&json!(10), &json!(2)));
    assert_eq!((&total["new"], &total["returning"]), (&total["people"], &json!(0)));
    let lines = |sums: &Value| sums["groups"].as_array().unwrap().len();
    assert_eq!((lines(&sums), &sums["without_line"], &total["people"]), (0, &json!(2), &json!(12)), "{sums}");
    let strict = server.get("/api/sums?below=11", &cookie).await.json()["sums"].clone();
    assert_eq!((lines(&strict), &strict["without_line"]), (0, &json!(2)), "{strict}");
    assert_eq!(strict["total"]["people"], 12);

    let file = server.get("/api/sums.csv", &cookie).await;
    let mut rows = csv::Reader::from_reader(file.body.as_bytes());
    let first = rows.records().next().unwrap().unwrap();
    assert_eq!((&first[0], &first[9]), ("total", attendances.to_string().as_str()));
    let empty = server.get("/api/sums?from=2020-01-01&to=2020-12-31", &cookie).await.json();
    assert_eq!(empty["sums"]["total"]["people"], Value::Null, "nobody came, which is not told from a few");
}

#[tokio::test]
async fn a_wrong_period_is_refused_with_the_reason_and_every_look_is_in_the_audit() {
    let quay = Quay::open().await;
    let server = &quay.house.server;
    let asks = async |query: &str| server.get(&format!("/api/sums{query}"), &quay.ines).await;
    for (query, reason) in [
        ("?from=yesterday", "`from` is no day"),
        ("?from=2026-10-02&to=2026-10-01", "give the earlier day first"),
        ("?below=3", "`below` is 3; it is 5 or 11"),
    ] {
        let answer = asks(query).await;
        assert_eq!(answer.status, 422);
        assert!(answer.json()["text"].as_str().unwrap().contains(reason), "{}", answer.body);
    }
    let (helper, _) = quay.house.colleague(&quay.ines, "Anselm", "helper", Value::Null).await;
    assert_eq!(server.get("/api/sums", &helper).await.status, 403);
    let acts = server.app.store.audit_after(0).await.unwrap();
    assert_eq!(acts.iter().filter(|(_, entry)| entry.act == "GET /api/sums").count(), 4);
}
