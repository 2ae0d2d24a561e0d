//! What every role may ask for, of what is their own, shared and others': each route is asked for as each of them, and
//! the answers are the table in `doors.txt`. A route that is not asked for here fails the test.

use std::fmt::Write;

use crate::common::TestServer;
use crate::common::staff::House;
use samebreath::session::new::{NewSession, new_session};
use samebreath::{DOORS, Door};
use samebreath_core::file::Source;
use samebreath_core::live::Entry;
use samebreath_core::plan::draft;
use samebreath_core::plan::group::GroupId;
use samebreath_core::practice::HomeClass;
use samebreath_core::versioned::Versioned;
use serde_json::{Value, json};
use uuid::Uuid;

/// A group with what belongs to it.
struct Things {
    group: Value,
    plan: Value,
    person: Value,
    class: Uuid,
    home_class: Uuid,
}

fn id(thing: &Value) -> String {
    thing["id"].as_str().unwrap().to_owned()
}

async fn things(server: &TestServer, ines: &str, name: &str, entrusted: &[Value]) -> Things {
    let post = async |path: &str, body: Value| {
        let answer = server.post(path, ines, &body).await;
        assert_eq!(answer.status, 200, "{path}: {}", answer.body);
        answer.json()
    };
    let person =
        post("/api/planner/people", json!({ "name": name, "conditions": [], "decisions": [] })).await;
    let group = json!({
        "name": name, "weekday": 2, "start": "10:00", "minutes": 45, "weeks_apart": 8, "people": [person["id"]],
        "zone": "Europe/Berlin", "first": null, "last": null, "others": [], "entrusted": entrusted,
    });
    let group = post("/api/planner/groups", group).await;
    let plan =
        post("/api/planner/plans", json!({ "from": "empty", "title": name, "group": group["id"] })).await;
    let app = &server.app;
    let read = draft::read_plan(Source::new("plan.toml", crate::common::PLAN), &app.house.library).unwrap();
    let group_id = Some(GroupId(Uuid::parse_str(&id(&group)).unwrap()));
    let new = NewSession {
        group: group_id,
        ..NewSession::of_plan(read, app.house.rules.clone(), false, Entry::Code)
    };
    let class = new_session(&*app.store, new, app.clock.now()).await.unwrap().id.0;
    let home_class = json!({
        "title": name, "intro": null, "group": group["id"], "person": null, "days_a_week": 3, "by": "Ines",
        "steps": [{ "part": null, "title": null, "note": null, "what": { "kind": "drill", "drill": "sit-tall" } }],
        "from": "2026-10-06", "until": "2026-10-13",
    });
    let home_class: Versioned<HomeClass> = Versioned {
        id: Uuid::now_v7(),
        version: 1,
        updated_at: app.clock.now(),
        content: serde_json::from_value(home_class).unwrap(),
    };
    app.store.add_document(&home_class).await.unwrap();
    Things { group, plan, person, class, home_class: home_class.id }
}

/// A body for a route that changes nothing when it is let through: what it asks for is behind, or makes nothing twice.
fn body(path: &str, method: &str, things: &Things, round: &Value, make: Uuid) -> Value {
    let of = |thing: &Value| match method {
        "PUT" => json!({ "after": 0, "content": thing["content"] }),
        _ => json!({ "version": 0 }),
    };
    match path {
        "/api/planner/preview" => json!({ "drill": "long-hiss" }),
        "/api/planner/look" => json!({ "plan": null, "planned": things.plan["content"] }),
        "/api/planner/plans" => json!({ "from": "empty", "title": "x", "group": things.group["id"] }),
        "/api/planner/plans/{id}" => of(&things.plan),
        "/api/planner/plans/{id}/class" => {
            json!({ "version": 0, "rehearsal": false, "request": Uuid::now_v7() })
        }
        "/api/planner/plans/{id}/home-class" => json!({ "version": 0, "person": null, "intro": null,
            "days_a_week": 3, "until": "2026-10-13", "request": make }),
        "/api/planner/plans/{id}/home-class/look" => {
            json!({ "version": 0, "person": null, "days_a_week": 3 })
        }
        "/api/planner/home-classes/{id}" => json!({ "version": 0 }),
        "/api/planner/rounds" => json!({ "from": "empty", "theme": "x", "language": "en" }),
        "/api/planner/rounds/look" => json!({ "round": round["content"], "said": [] }),
        "/api/planner/rounds/{id}" => of(round),
        "/api/planner/groups" => {
            let mut group = things.group["content"].clone();
            group["entrusted"] = json!([]);
            group["people"] = json!([]);
            group
        }
        "/api/planner/groups/look" => json!({ "group": things.group["content"], "weeks": 1 }),
        "/api/planner/groups/{id}" => of(&things.group),
        "/api/planner/people" => json!({ "name": "New", "conditions": [], "decisions": [] }),
        "/api/planner/people/{id}" => of(&things.person),
        "/api/planner/people/{id}/erasure" => json!({ "name": "not their name" }),
        "/api/planner/people/{id}/hold" => json!({ "reason": "a claim" }),
        "/api/planner/classes/{id}/note" | "/api/planner/people/{id}/notes/{class}" => match method {
            "PUT" => json!({ "after": 0, "words": {} }),
            _ => json!({ "request": make, "seen": "", "after": 0, "words": {} }),
        },
        "/api/planner/notes/{id}/added" => json!({ "request": make, "corrects": false, "text": "x" }),
        "/api/planner/groups/{id}/letters" => json!({ "of": "2027-03-09" }),
        "/api/planner/people/{id}/links" => json!({ "medium": "paper", "request": make }),
        "/api/retention" => {
            json!({ "after": 0, "rules": { "record_years": null, "link_days": 60, "audit_years": 6 } })
        }
        "/api/staff/calendar" => json!({ "medium": "calendar", "request": make }),
        // The account of nobody: it is not found, but the door was open.
        "/api/accounts" => {
            let account =
                json!({ "name": "N", "sign_in": make.to_string(), "role": "helper", "clinician": null });
            json!({ "account": account, "request": make })
        }
        "/api/accounts/{id}" => {
            let account = json!({ "name": "N", "sign_in": "n", "role": "helper", "clinician": null });
            json!({ "after": 0, "account": account })
        }
        "/api/staff/provider/answer" => json!({ "state": make, "code": null, "iss": null, "error": null }),
        "/api/staff/passkeys/made" => json!({ "id": make, "name": "n", "answer": {} }),
        "/api/staff/again" => json!({ "password": "no" }),
        "/api/staff/password" => json!({ "from": "no", "to": "no" }),
        "/api/staff/second" if method == "PUT" => json!({ "secret": "A", "code": "1" }),
        "/api/staff/second" if method == "DELETE" => json!({ "password": "no" }),
        _ => json!({}),
    }
}

/// A new link to be ended: that of a person, which a coordinator makes, or of a calendar, which everybody makes for
/// themselves.
async fn link(server: &TestServer, of: &str, (who, ines): (&str, &str)) -> String {
    let maker = if of.starts_with("/api/planner/people/") { ines } else { who };
    let made = server.post(of, maker, &json!({ "medium": "calendar", "request": Uuid::now_v7() })).await;
    made.json()["card"]["id"].as_str().map_or_else(|| Uuid::nil().to_string(), str::to_owned)
}

/// The address of a route for these things.
fn address(path: &str, things: &Things, round: &Value, nobody: &Value) -> String {
    let which = match path {
        _ if path.starts_with("/api/planner/plans/") => id(&things.plan),
        _ if path.starts_with("/api/planner/groups/") => id(&things.group),
        _ if path.starts_with("/api/planner/people/") => id(&things.person),
        _ if path.starts_with("/api/planner/rounds/") => id(round),
        _ if path.starts_with("/api/planner/classes/") => things.class.to_string(),
        _ if path.starts_with("/api/planner/home-classes/") => things.home_class.to_string(),
        _ if path.starts_with("/api/accounts/") => id(nobody),
        _ => Uuid::nil().to_string(),
    };
    path.replace("{id}", &which)
        .replace("{class}", &things.class.to_string())
        .replace("{file}", "classes.csv")
}

/// W-02, R-11, R-37: every route as every role.
#[tokio::test]
async fn every_role_gets_what_the_table_says_and_nothing_else() {
    let house = House::open().await;
    let server = &house.server;
    let ines = house.ines().await;
    let slp = json!({ "title": "SLP", "licence": "L" });
    let (helper, helper_card) = house.colleague(&ines, "Anselm", "helper", json!(null)).await;
    let (plain, plain_card) = house.colleague(&ines, "Odile", "facilitator", json!(null)).await;
    let (clinician, clinician_card) = house.colleague(&ines, "Yuki", "facilitator", slp).await;
    let (coordinator, coordinator_card) = house.colleague(&ines, "Bertram", "coordinator", json!(null)).await;
    let (_, nobody) = house.colleague(&ines, "Casimir", "helper", json!(null)).await;
    let four = [helper_card, plain_card, clinician_card, coordinator_card].map(|card| card["id"].clone());
    let round = json!({ "from": "empty", "theme": "Tools", "language": "en" });
    let round = server.post("/api/planner/rounds", &ines, &round).await.json();
    let [own, shared, others] = [
        things(server, &ines, "Own", &four).await,
        things(server, &ines, "Shared", &[]).await,
        things(server, &ines, "Others", &[nobody["id"].clone()]).await,
    ];
    // The links of others' class are without those that would open a desk of it.
    let links_of = async |class: Uuid| {
        server.post(&format!("/api/planner/classes/{class}/links"), &coordinator, &json!({})).await.json()
    };
    let (mine, theirs) = (links_of(own.class).await, links_of(others.class).await);
    assert!(mine["desk"].is_string() && mine["helper"].is_string());
    assert_eq!((&theirs["desk"], &theirs["helper"]), (&json!(null), &json!(null)));
    assert!(theirs["class"].is_string());
    let mut table = format!("{:<8}{:<42}  helper  facil.  clin.   coord.\n", "", "own, shared, others:");
    for (method, path, door) in DOORS {
        if *door == Door::Open {
            continue;
        }
        // What signs out is asked for by itself.
        if path.starts_with("/api/staff/sign-out") {
            continue;
        }
        let mut row = format!("{method:<8}{path:<42}");
        for who in ["", &helper, &plain, &clinician, &coordinator] {
            let mut marks = String::new();
            for things in [&own, &shared, &others] {
                let end = path.strip_suffix("/letter").unwrap_or(path).strip_suffix("/{link}");
                let link = match end {
                    Some(of) => link(server, &address(of, things, &round, &nobody), (who, &ines)).await,
                    None => String::new(),
                };
                let (at, make) =
                    (address(path, things, &round, &nobody).replace("{link}", &link), Uuid::now_v7());
                let with = body(path, method, things, &round, make);
                let answer = match *method {
                    "GET" => server.get(&at, who).await,
                    "POST" => server.post(&at, who, &with).await,
                    "PUT" => server.put(&at, who, &with).await,
                    _ => server.delete(&at, who, &with).await,
                };
                let mark = match answer.status {
                    200 | 409 | 422 => 'y',
                    401 if who.is_empty() => '!',
                    // The door was open; the password in the request is not right.
                    401 if answer.json()["code"] == "wrong_sign_in" => 'y',
                    429 => 'y',
                    403 => '-',
                    404 => '0',
                    other => panic!("{method} {at}: {other} {}", answer.body),
                };
                marks.push(mark);
            }
            if who.is_empty() {
                assert_eq!(marks, "!!!", "{method} {path} without an account");
            } else {
                write!(row, "  {marks:<6}").unwrap();
            }
        }
        table.push_str(row.trim_end());
        table.push('\n');
    }
    let file = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/doors.txt");
    if std::env::var_os("SAMEBREATH_WRITE").is_some() {
        std::fs::write(file, &table).unwrap();
    }
    let expected = std::fs::read_to_string(file).unwrap_or_default();
    assert_eq!(table, expected, "with SAMEBREATH_WRITE=1 the test writes {file}");
}

/// A method that the table does not have at an address is refused, and an address that it does not have is nothing.
#[tokio::test]
async fn what_is_not_in_the_table_answers_nobody() {
    let house = House::open().await;
    let ines = house.ines().await;
    assert_eq!(house.server.delete("/api/planner/library", &ines, &json!({})).await.status, 405);
    assert_eq!(house.server.delete("/api/planner/week", "", &json!({})).await.status, 405);
    assert_eq!(house.server.post("/api/planner/nothing", &ines, &json!({})).await.status, 405);
    assert_eq!(house.server.get("/api/planner/nothing", &ines).await.status, 404);
    let mut rows: Vec<_> = DOORS.iter().map(|(method, path, _)| (path, method)).collect();
    let all = rows.len();
    rows.sort_unstable();
    rows.dedup();
    assert_eq!(rows.len(), all, "each route has one row");
}
