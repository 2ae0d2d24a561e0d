//! W-25: what is kept goes when its time is over, as announced and as the page said it would, and a held record does not.

use samebreath::session::retention;
use samebreath_core::live::{DeskCommand, Session};
use samebreath_core::record::retention::RetentionReport;
use samebreath_core::time::day::Date;
use samebreath_store::audit::Verdict;
use serde_json::{Value, json};

use crate::common::quay::{Quay, day};

fn at(days: i64) -> Date {
    Date::try_from(day(days)).unwrap()
}

/// What a day's clearing is said to do, then does.
async fn both(quay: &Quay, days: i64) -> RetentionReport {
    let app = &quay.house.server.app;
    let said = retention::due(app, at(days)).await.unwrap().report;
    let done = retention::run(app, at(days)).await.unwrap();
    assert_eq!(said, done, "what was shown before is what goes");
    done
}

async fn page(quay: &Quay) -> Value {
    quay.house.server.get("/api/retention", &quay.ines).await.json()
}

async fn is_there(quay: &Quay, person: &str) -> bool {
    quay.house.server.get(&format!("/api/planner/people/{person}"), &quay.ines).await.status == 200
}

/// A class with both people and a guest, which ended today; then both leave the group.
async fn over(quay: &Quay) {
    let server = &quay.house.server;
    let home = quay.at_home(&quay.link(&quay.ada, "paper").await).await;
    let mut desk = quay.desk().await;
    desk.tell_desk(DeskCommand::Open).await;
    quay.come(&home).await;
    let class = server.app.store.unfinished_sessions().await.unwrap();
    let class = class.into_iter().find(|entry| entry.group.is_some()).unwrap();
    let join = json!({ "code": class.code, "name": "Gus", "request": uuid::Uuid::now_v7() });
    let joined = server.post("/api/join", "", &join).await;
    assert_eq!(joined.status, 200, "{}", joined.body);
    assert_eq!(desk.tell_desk(DeskCommand::End).await, None);
    drop(desk);
    let url = format!("/api/planner/groups/{}", quay.group["id"].as_str().unwrap());
    let kept = server.get(&url, &quay.ines).await.json();
    let mut content = kept["content"].clone();
    content["people"] = json!([]);
    let saved = server.put(&url, &quay.ines, &json!({ "after": kept["version"], "content": content })).await;
    assert_eq!(saved.status, 200, "{}", saved.body);
    // A room closes once nobody looks at it.
    for _ in 0..100 {
        if server.app.hub.put_away(class.id).await.unwrap() && !server.app.hub.is_any_open().await {
            return;
        }
        tokio::time::sleep(std::time::Duration::from_millis(100)).await;
    }
    panic!("the class is still open");
}

#[tokio::test]
async fn what_is_kept_goes_when_it_was_announced_and_a_held_record_does_not() {
    let quay = Quay::open().await;
    let server = &quay.house.server;
    assert_eq!(page(&quay).await["version"], json!(0), "nobody chose anything");
    over(&quay).await;
    let far = 6 * 366 + 40;
    let first = both(&quay, far - 1).await;
    assert_eq!(first.links, 0, "after days without a look nothing goes");
    let none = both(&quay, far).await;
    assert_eq!((none.erased, none.announced, none.guests), (0, 0, 0), "no time was chosen");
    assert_eq!(none.links, 1, "links have a time of their own");
    assert_eq!(both(&quay, far).await.links, 0);

    let rules = json!({ "record_years": 6, "link_days": 60, "audit_years": 6 });
    let change = json!({ "after": 0, "rules": rules });
    let set = server.put("/api/retention", &quay.ines, &change).await;
    assert_eq!((set.status, &set.json()["rules"]), (200, &rules), "{}", set.body);
    let again = server.put("/api/retention", &quay.ines, &change).await;
    assert_eq!(again.status, 200, "its answer was lost");
    let other = json!({ "after": 0, "rules": { "record_years": 5, "link_days": 60, "audit_years": 6 } });
    assert_eq!(server.put("/api/retention", &quay.ines, &other).await.status, 409);
    let wrong = json!({ "after": 1, "rules": { "record_years": 0, "link_days": 60, "audit_years": 6 } });
    let refused = server.put("/api/retention", &quay.ines, &wrong).await;
    assert!(refused.status == 422 && refused.body.contains("from 1 to 40"), "{}", refused.body);

    assert_eq!(both(&quay, 100).await.announced, 0);
    let hold = format!("/api/planner/people/{}/hold", quay.ben);
    assert_eq!(server.put(&hold, &quay.ines, &json!({ "reason": "a claim" })).await.status, 200);
    let announced = both(&quay, far + 1).await;
    assert_eq!((announced.announced, announced.held, announced.erased), (1, 1, 0));
    for days in 2..31 {
        assert_eq!(both(&quay, far + days).await.erased, 0, "{days}");
    }
    assert!(is_there(&quay, &quay.ada).await);
    let gone = both(&quay, far + 31).await;
    // The house has a class that nobody ended, which waits.
    assert_eq!((gone.erased, gone.held, gone.guests, gone.failed), (1, 1, 0, 1));
    assert!(!is_there(&quay, &quay.ada).await && is_there(&quay, &quay.ben).await);
    let class =
        server.app.store.sessions().await.unwrap().into_iter().find(|one| one.group.is_some()).unwrap();
    let ledger = server.app.store.read_after(class.id, 0).await.unwrap();
    let names: Vec<_> =
        Session::replay(&ledger).unwrap().seats().values().map(|seat| seat.name.to_string()).collect();
    assert_eq!(names, ["Person 1", "Ben", "Gus"], "the class of somebody who is held keeps its guests");
    let acts = server.app.store.audit_after(0).await.unwrap();
    assert!(acts.iter().any(|(_, act)| act.act == "retention"), "who was erased by rule is in the audit");
    let nothing = both(&quay, far + 32).await;
    assert_eq!(
        nothing,
        RetentionReport { held: 1, failed: 1, acts: nothing.acts, ..RetentionReport::default() }
    );

    // An act of that day, by which the others are old.
    let then = server.app.clock.now().plus((far + 32) * 24 * 3_600_000);
    let mut act = server.app.store.audit_after(0).await.unwrap().pop().unwrap().1;
    (act.at, act.act) = (then, "GET /api/retention".to_owned());
    server.app.store.add_audit(&act).await.unwrap();
    let verdict = server.app.store.verify_audit().await.unwrap();
    assert!(matches!(verdict, Verdict::Whole { emptied: 1.., .. }), "{verdict:?}");
    let reports = page(&quay).await["reports"].clone();
    assert_eq!(reports[0]["day"], json!(day(far + 32)));
    assert_eq!(reports[1]["report"]["erased"], json!(1), "{reports}");
    assert!(!reports.to_string().contains("Ada"), "a report has no names");
}

#[tokio::test]
async fn what_was_announced_is_seen_by_name_and_taken_back_when_somebody_returns() {
    let quay = Quay::open().await;
    let server = &quay.house.server;
    over(&quay).await;
    let left = server.get("/api/planner/today", &quay.ines).await.json()["left"].to_string();
    assert!(left.contains("retention_open"), "{left}");
    let rules = json!({ "record_years": 1, "link_days": 60, "audit_years": 6 });
    server.put("/api/retention", &quay.ines, &json!({ "after": 0, "rules": rules })).await;
    assert_eq!(both(&quay, 367).await.announced, 2);
    let left = server.get("/api/planner/today", &quay.ines).await.json()["left"].to_string();
    assert!(left.contains("records_go") && left.contains("\"people\":2"), "{left}");
    assert!(!left.contains("retention_open"), "{left}");
    // The server was off, or its clock was wrong: nobody saw what was announced, so it is announced anew.
    let anew = both(&quay, 407).await;
    assert_eq!((anew.announced, anew.erased), (2, 0));
    let due = retention::due(&server.app, at(408)).await.unwrap();
    let names: Vec<_> = due.leaving.iter().map(|one| (one.name.as_str(), one.on)).collect();
    assert_eq!(names, [("Ada", at(437)), ("Ben", at(437))]);

    let url = format!("/api/planner/groups/{}", quay.group["id"].as_str().unwrap());
    let kept = server.get(&url, &quay.ines).await.json();
    let mut content = kept["content"].clone();
    content["people"] = json!([quay.ada]);
    server.put(&url, &quay.ines, &json!({ "after": kept["version"], "content": content })).await;
    for days in 408..437 {
        assert_eq!(both(&quay, days).await.erased, 0, "{days}");
    }
    let announced = server.app.store.announced().await.unwrap();
    assert!(!announced.iter().any(|(id, _)| id.to_string() == quay.ada), "Ada is enrolled again");
    let gone = both(&quay, 437).await;
    assert_eq!((gone.erased, gone.guests), (1, 1), "Ben is not");
    assert!(is_there(&quay, &quay.ada).await && !is_there(&quay, &quay.ben).await);
}
