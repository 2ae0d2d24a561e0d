//! Groups over real sockets and a real database: what they have had, who is expected, and what next week brings.

use crate::common::{Answer, TestServer};
use samebreath_core::live::{CareEvent, DeskCommand, Event, Recorded};
use serde_json::{Value, json};

const ROUND: &str = "title = \"Ours\"\nminutes = 60\n\n[[step]]\nclues = \"toolbox\"\nonly = [1, 3]\nminutes = 5\n\n[[step]]\ndrill = \"nod-down\"\n";

struct Planner {
    server: TestServer,
    pass: String,
    group: Value,
    /// Ann and Ben.
    people: Vec<Value>,
}

/// The address of a document.
fn url(kind: &str, document: &Value) -> String {
    format!("/api/planner/{kind}/{}", document["id"].as_str().unwrap())
}

/// A group with these people.
fn group(name: &str, people: &[Value]) -> Value {
    let people: Vec<_> = people.iter().map(|person| person["id"].clone()).collect();
    json!({
        "name": name, "weekday": 2, "start": "10:00", "minutes": 45, "weeks_apart": 8, "people": people, "notes": false,
        "zone": null, "first": null, "last": null, "others": [], "entrusted": [],
    })
}

impl Planner {
    async fn with_group(folder: &std::path::Path) -> Self {
        let server = TestServer::start(folder).await;
        let pass = server.planner().await;
        let ann = json!({ "name": "Ann", "conditions": ["neck"], "decisions": [] });
        let cleared =
            json!({ "what": { "kind": "cleared", "family": "neck" }, "by": "Ines", "on": "2027-01-12" });
        let ben = json!({ "name": "Ben", "conditions": ["neck"], "decisions": [cleared] });
        let mut people = Vec::new();
        for person in [ann, ben] {
            people.push(server.post("/api/planner/people", &pass, &person).await.json());
        }
        let group = group("Lantern Quay", &people);
        let answer = server.post("/api/planner/groups", &pass, &group).await;
        assert_eq!(answer.status, 200, "{}", answer.body);
        Self { pass, group: answer.json(), people, server }
    }

    /// Saves a person under another name, over the version that the page shows.
    async fn rename(&self, person: &Value, after: u64, name: &str) -> Answer {
        let mut content = person["content"].clone();
        content["name"] = json!(name);
        self.server
            .put(&url("people", person), &self.pass, &json!({ "after": after, "content": content }))
            .await
    }

    async fn post(&self, path: &str, body: Value) -> Value {
        let answer = self.server.post(path, &self.pass, &body).await;
        assert_eq!(answer.status, 200, "{}", answer.body);
        answer.json()
    }

    /// A plan with `ROUND` for the group on `day`.
    async fn plan_for(&self, day: Value) -> Value {
        let plan = self.post("/api/planner/plans", json!({ "from": "file", "text": ROUND })).await;
        let mut content = plan["content"].clone();
        (content["day"], content["group"]) = (day, self.group["id"].clone());
        let url = format!("/api/planner/plans/{}", plan["id"].as_str().unwrap());
        let saved =
            self.server.put(&url, &self.pass, &json!({ "after": 1, "content": content })).await.json();
        saved["now"].clone()
    }

    async fn look(&self, plan: &Value) -> Value {
        self.post("/api/planner/look", json!({ "plan": plan["id"], "planned": plan["content"] })).await
    }
}

/// The numbers of the clues that a look says are left in a round.
fn left(look: &Value, set: &str) -> Vec<u64> {
    let rounds = look["had"]["rounds"].as_array().unwrap();
    let round = rounds.iter().find(|round| round["set"] == json!(set)).unwrap();
    round["left"].as_array().unwrap().iter().map(|n| n.as_u64().unwrap()).collect()
}

#[tokio::test]
async fn a_group_is_kept_and_a_wrong_one_is_refused_with_the_reason() {
    let folder = tempfile::tempdir().unwrap();
    let planner = Planner::with_group(folder.path()).await;
    let url = url("groups", &planner.group);
    let mut content = planner.group["content"].clone();
    let put = async |after: u64, content: &Value| {
        planner.server.put(&url, &planner.pass, &json!({ "after": after, "content": content })).await
    };
    let wrong = async |content: &Value, why: &str| {
        let refused = put(1, content).await;
        assert_eq!(refused.status, 422);
        assert_eq!(refused.json()["text"], json!(why));
    };
    content["weekday"] = json!(8);
    wrong(&content, "`weekday` is 8; it must be from 1 (Monday) to 7 (Sunday)").await;
    let ben = planner.post("/api/planner/people", planner.people[1]["content"].clone()).await;
    let content = group("Lantern Quay", &[&planner.people[..], &[ben]].concat());
    wrong(&content, "there are two people called “Ben” in Lantern Quay; add an initial").await;
    let unknown = json!({ "id": "00000000-0000-4000-8000-000000000007" });
    let content = group("Lantern Quay", &[unknown]);
    let gone = "somebody in this group was removed; take them out of the group first";
    wrong(&content, gone).await;
    let content = group("Lantern Quay", &planner.people[..1]);
    assert_eq!(put(1, &content).await.json()["saved"], json!(true));
    assert_eq!(put(1, &content).await.json()["saved"], json!(false), "a second editor overwrites nothing");
    let cards = planner.server.get("/api/planner/groups", &planner.pass).await.json();
    let people = [&planner.people[0]["id"]];
    assert_eq!(
        cards,
        json!([{ "id": planner.group["id"], "name": "Lantern Quay", "start": "10:00", "weekday": 2, "people": people }])
    );
    let remove =
        async |version: u64| planner.server.delete(&url, &planner.pass, &json!({ "version": version })).await;
    assert_eq!(remove(1).await.status, 409, "the page shows an older version");
    assert_eq!(remove(2).await.json()["content"], content, "the answer has the removed content");
    assert_eq!(planner.server.get(&url, &planner.pass).await.status, 404);
    // The people of a group that is gone are still here.
    assert_eq!(
        planner.server.get("/api/planner/people", &planner.pass).await.json().as_array().unwrap().len(),
        3
    );
}

#[tokio::test]
async fn a_person_in_two_groups_is_one_person() {
    let folder = tempfile::tempdir().unwrap();
    let planner = Planner::with_group(folder.path()).await;
    let [ann, ben] = &planner.people[..] else { panic!("two people") };
    let bea = json!({ "name": "Bea", "conditions": [], "decisions": [] });
    let bea = planner.post("/api/planner/people", bea).await;
    planner.post("/api/planner/groups", group("Evening", &[ann.clone(), bea.clone()])).await;
    // A name is corrected in one place, unless that makes two of one name in any of the groups.
    let two = planner.rename(ann, 1, "Ben").await;
    let why = "there are two people called “Ben” in Lantern Quay; add an initial";
    assert_eq!((two.status, &two.json()["text"]), (422, &json!(why)));
    let two = planner.rename(ann, 1, "Bea").await;
    assert!(two.body.contains("called “Bea” in Evening"), "{}", two.body);
    assert_eq!(planner.rename(ann, 1, "Anna").await.json()["saved"], json!(true));
    assert_eq!(planner.rename(ben, 1, "Bea").await.json()["saved"], json!(true), "Bea is in another group");
    let look = planner.look(&planner.plan_for(json!("2127-03-09")).await).await;
    let advice = look["advice"].to_string();
    assert!(advice.contains("Not cleared for Nod down: Anna. They rest."), "{advice}");
    // Nobody is removed who is enrolled somewhere.
    let remove = async |person: &Value, version: u64| {
        planner.server.delete(&url("people", person), &planner.pass, &json!({ "version": version })).await
    };
    let refused = remove(&bea, 1).await;
    let why = "this person is enrolled in Evening; take them out of the group first";
    assert_eq!((refused.status, &refused.json()["text"]), (422, &json!(why)));
    let spare = json!({ "name": "Bea", "conditions": [], "decisions": [] });
    let spare = planner.post("/api/planner/people", spare).await;
    assert_eq!(remove(&spare, 1).await.status, 200);
    let cards = planner.server.get("/api/planner/people", &planner.pass).await.json();
    let names: Vec<_> = cards.as_array().unwrap().iter().map(|card| card["name"].clone()).collect();
    assert_eq!(names, [json!("Anna"), json!("Bea"), json!("Bea")]);
}

#[tokio::test]
async fn a_plan_knows_its_groups_people_and_what_they_had() {
    let folder = tempfile::tempdir().unwrap();
    let planner = Planner::with_group(folder.path()).await;
    planner.plan_for(json!("2127-02-23")).await;
    let mut plan = planner.plan_for(json!("2127-03-09")).await;
    let look = planner.look(&plan).await;
    let advice = look["advice"].as_array().unwrap();
    let texts: Vec<_> = advice.iter().map(|one| one["text"].as_str().unwrap()).collect();
    assert!(texts.contains(&"Not cleared for Nod down: Ann. They rest."), "{texts:?}");
    assert!(texts.contains(&"2 clues of The toolbox came 2 weeks ago already."), "{texts:?}");
    assert_eq!(look["had"]["drills"], json!([{ "drill": "nod-down", "days": 14 }]));
    assert_eq!(left(&look, "toolbox")[..3], [2, 4, 5]);
    // When its own day moves on, the plan does not count itself among what the group has had.
    plan["content"]["day"] = json!("2127-03-16");
    assert_eq!(planner.look(&plan).await["had"]["drills"], json!([{ "drill": "nod-down", "days": 21 }]));
    // The copy for the following week has clues that are in neither plan.
    let from = json!({ "from": "next_week", "id": plan["id"], "version": 2, "one_notch_on": false });
    let next = planner.post("/api/planner/plans", from).await;
    assert_eq!(next["content"]["draft"]["steps"][0]["what"]["only"], json!([2, 4]));
    assert_eq!(
        (&next["content"]["day"], &next["content"]["group"]),
        (&json!("2127-03-16"), &planner.group["id"])
    );
    // A new plan for the group has the group's time, on the day when it meets next.
    let new = json!({ "from": "empty", "title": "New", "group": planner.group["id"] });
    let new = planner.post("/api/planner/plans", new).await["content"].clone();
    assert_eq!((&new["draft"]["start"], &new["draft"]["minutes"]), (&json!("10:00"), &json!(45)));
    assert!(new["day"].is_string());
}

#[tokio::test]
async fn a_class_of_a_group_expects_its_people_and_what_it_showed_is_had() {
    let folder = tempfile::tempdir().unwrap();
    let planner = Planner::with_group(folder.path()).await;
    let plan = planner.plan_for(json!(in_days(0))).await;
    let url = format!("/api/planner/plans/{}/class", plan["id"].as_str().unwrap());
    let rehearsal = planner.post(&url, json!({ "version": 2, "rehearsal": true })).await;
    assert!(rehearsal["desk"].is_string());
    let links = planner.post(&url, json!({ "version": 2, "rehearsal": false })).await;
    let desk = planner.server.use_link(links["desk"].as_str().unwrap()).await;
    let mut desk = planner.server.connect("desk", &desk).await;
    desk.until(|screen| screen.desk.is_some()).await;
    let names: Vec<_> = desk.desk.as_ref().unwrap().rows.iter().map(|row| row.name.to_string()).collect();
    assert_eq!(names, ["Ann", "Ben"], "the group's own people, and no rehearsed ones");
    let entry = planner.server.app.store.unfinished_sessions().await.unwrap();
    let entry = entry.iter().find(|entry| !entry.rehearsal).unwrap();
    let lines = planner.server.app.store.read_after(entry.id, 0).await.unwrap();
    let who = |recorded: Recorded| match recorded.event {
        Event::Care { what: CareEvent::SeatTaken { person, .. }, .. } => Some(json!(person)),
        _ => None,
    };
    let seated: Vec<_> = lines.into_iter().filter_map(who).collect();
    assert_eq!(seated, planner.people.iter().map(|person| person["id"].clone()).collect::<Vec<_>>());
    for command in [DeskCommand::Open, DeskCommand::Start, DeskCommand::ShowClue] {
        assert_eq!(desk.tell_desk(command).await, None);
    }
    // A week later the clue that was shown may not be used yet, and the other one may.
    let mut later = plan.clone();
    later["content"]["day"] = json!(in_days(7));
    let look = planner.look(&later).await;
    assert_eq!(left(&look, "toolbox")[..2], [2, 3], "clue 1 was shown today, 3 was not");
    assert_eq!(desk.tell_desk(DeskCommand::End).await, None);
    assert_eq!(left(&planner.look(&later).await, "toolbox")[..2], [2, 3]);
    assert_eq!(left(&planner.look(&later).await, "toolbox")[..2], [2, 3], "the same from memory");
}

fn in_days(days: i32) -> String {
    jiff::ZonedDateTime::now().date().saturating_add(jiff::Span::new().days(days)).to_string()
}

#[tokio::test]
async fn a_plan_without_a_day_is_followed_by_fresh_clues_a_week_after_today() {
    let folder = tempfile::tempdir().unwrap();
    let planner = Planner::with_group(folder.path()).await;
    let plan = planner.plan_for(Value::Null).await;
    let url = format!("/api/planner/plans/{}/class", plan["id"].as_str().unwrap());
    let links = planner.post(&url, json!({ "version": 2, "rehearsal": false })).await;
    let desk = planner.server.use_link(links["desk"].as_str().unwrap()).await;
    let mut desk = planner.server.connect("desk", &desk).await;
    for command in [DeskCommand::Open, DeskCommand::Start, DeskCommand::ShowClue] {
        assert_eq!(desk.tell_desk(command).await, None);
    }
    let from = json!({ "from": "next_week", "id": plan["id"], "version": 2, "one_notch_on": false });
    let next = planner.post("/api/planner/plans", from).await["content"].clone();
    assert_eq!(next["day"], json!(in_days(7)));
    assert_eq!(
        next["draft"]["steps"][0]["what"]["only"],
        json!([3, 2]),
        "3 was not shown, and 2 comes for 1"
    );
}

#[tokio::test]
async fn no_class_begins_without_the_people_of_a_group_that_was_removed() {
    let folder = tempfile::tempdir().unwrap();
    let planner = Planner::with_group(folder.path()).await;
    let plan = planner.plan_for(Value::Null).await;
    let group = format!("/api/planner/groups/{}", planner.group["id"].as_str().unwrap());
    planner.server.delete(&group, &planner.pass, &json!({ "version": 1 })).await;
    let url = format!("/api/planner/plans/{}/class", plan["id"].as_str().unwrap());
    let refused =
        planner.server.post(&url, &planner.pass, &json!({ "version": 2, "rehearsal": false })).await;
    assert_eq!(refused.status, 422);
    assert_eq!(
        refused.json()["text"],
        json!("the group of this plan was removed; choose another one, or no group")
    );
}
