//! A plan that is published for people to do at home: what staff see before, what each person gets, what comes back, and that it
//! goes with whoever it was for.

use serde_json::{Value, json};
use uuid::Uuid;

use crate::common::quay::{Quay, day};
use samebreath::session::erase::erase;
use samebreath_core::live::DeskCommand;
use samebreath_core::people::person::PersonId;
use samebreath_core::practice::HomeClass;

/// A plan of the Quay with three drills, of which one is a swallow.
async fn plan(quay: &Quay) -> String {
    let server = &quay.house.server;
    let new = json!({ "from": "empty", "title": "Evening hour", "group": quay.group["id"], "day": day(7) });
    let plan = server.post("/api/planner/plans", &quay.ines, &new).await.json();
    let mut content = plan["content"].clone();
    let step = |what: Value| json!({ "part": null, "title": null, "note": "a private note", "what": what });
    let drill = |id: &str| step(json!({ "kind": "drill", "drill": id, "change": {} }));
    content["draft"]["steps"] = json!([
        step(json!({ "kind": "talk", "title": "Hello", "minutes": 2 })),
        drill("sit-tall"),
        drill("effortful-swallow"),
        drill("long-hiss"),
    ]);
    let url = format!("/api/planner/plans/{}", plan["id"].as_str().unwrap());
    let saved = server.put(&url, &quay.ines, &json!({ "after": 1, "content": content })).await;
    assert_eq!(saved.status, 200, "{}", saved.body);
    url
}

fn asked(person: Value, request: Uuid) -> Value {
    json!({ "version": 2, "person": person, "intro": "Sit where you can hold on.", "days_a_week": 3,
        "until": day(7), "request": request })
}

#[tokio::test]
async fn a_plan_is_published_done_at_home_seen_and_taken_back() {
    let quay = Quay::open().await;
    let server = &quay.house.server;
    let mut desk = quay.desk().await;
    desk.tell_desk(DeskCommand::Open).await;
    let link = quay.link(&quay.ada, "tablet").await;
    let home = quay.at_home(&link).await;
    quay.come(&home).await;
    desk.tell_desk(DeskCommand::Start).await;
    desk.tell_desk(DeskCommand::End).await;
    let url = plan(&quay).await;
    let cleo = json!({ "name": "Cleo", "conditions": [], "decisions": [] });
    let cleo = server.post("/api/planner/people", &quay.ines, &cleo).await.json();
    let mut group = quay.group["content"].clone();
    group["people"].as_array_mut().unwrap().push(cleo["id"].clone());
    let path = format!("/api/planner/groups/{}", quay.group["id"].as_str().unwrap());
    let saved = server.put(&path, &quay.ines, &json!({ "after": 1, "content": group })).await;
    assert_eq!(saved.status, 200, "{}", saved.body);

    // What each of them would have of it is there to be read before.
    let look = json!({ "version": 2, "person": null, "days_a_week": 3 });
    let look = server.post(&format!("{url}/home-class/look"), &quay.ines, &look).await.json();
    assert_eq!((&look["until"], &look["last"]), (&json!(day(6)), &json!(day(21))));
    let ada = &look["people"][0];
    assert_eq!(
        (&ada["name"], &ada["drills"], &ada["left_out"]),
        (&json!("Ada"), &json!(2), &json!(["Strong swallow"]))
    );

    // Cleo, who is new, gets it after her first class.
    let known: Vec<_> = look["people"].as_array().unwrap().iter().map(|one| one["known"].clone()).collect();
    assert_eq!(known, [json!(true), json!(true), json!(false)]);

    // The same request sent again publishes nothing twice.
    let publish = async |body: &Value| server.post(&format!("{url}/home-class"), &quay.ines, body).await;
    let once = asked(Value::Null, Uuid::now_v7());
    for _ in 0..2 {
        assert_eq!(publish(&once).await.status, 200);
    }
    assert_eq!(publish(&asked(json!(quay.ben), Uuid::now_v7())).await.status, 200);
    let of_group = format!("/api/planner/groups/{}/home-classes", quay.group["id"].as_str().unwrap());
    let cards = server.get(&of_group, &quay.ines).await.json();
    let whom: Vec<_> = cards.as_array().unwrap().iter().map(|card| card["whom"].clone()).collect();
    assert_eq!(whom.len(), 2, "{cards}");
    assert!(whom.contains(&Value::Null) && whom.contains(&json!("Ben")));

    // Each error says what was wrong.
    let wrong = async |change: &dyn Fn(&mut Value)| {
        let mut body = asked(Value::Null, Uuid::now_v7());
        change(&mut body);
        let answer = publish(&body).await;
        (answer.status, answer.json()["text"].as_str().unwrap_or_default().to_owned())
    };
    let (status, problem) = wrong(&|body| body["until"] = json!(day(22))).await;
    assert_eq!((status, problem.contains(&day(21))), (422, true), "{problem}");
    assert_eq!(wrong(&|body| body["days_a_week"] = json!(0)).await.0, 422);
    assert_eq!(wrong(&|body| body["person"] = json!(Uuid::nil())).await.0, 422);
    assert_eq!(wrong(&|body| body["version"] = json!(1)).await.0, 409);

    // Ada has the one for everybody, without what is not cleared for her and without anything that is for staff.
    let theirs = async || server.get(&format!("{}/sheets", home.1), &home.0).await.json();
    let found = theirs().await;
    let [own] = found["classes"].as_array().unwrap().as_slice() else { panic!("{found}") };
    let steps: Vec<_> =
        own["sheet"]["steps"].as_array().unwrap().iter().map(|step| step["sheet"]["drill"].clone()).collect();
    assert_eq!(steps, [json!("sit-tall"), json!("long-hiss")]);
    assert_eq!(own["sheet"]["total_ms"], ada["total_ms"]);
    assert_eq!(own["sheet"]["intro"], "Sit where you can hold on.");
    let text = own.to_string();
    assert!(!text.contains("Strong swallow") && !text.contains("private"), "{} characters", text.len());

    // What she did of it comes back to the class that she was in last, and is seen with what was asked.
    let log = json!({ "class": own["class"], "log": {
        "id": Uuid::now_v7(), "drill": "sit-tall", "form": "full",
        "asked": { "reps": 5, "times_a_day": 1, "days_a_week": 3 }, "done": 5, "ease": "hard", "hurt": false,
        "noted": "screen", "day": day(0), "offset_minutes": 0,
        "run": { "class": own["id"], "title": "Evening hour", "run": Uuid::now_v7(), "drills": 2 } } });
    let sent = server.post(&format!("{}/practice", home.1), &home.0, &log).await;
    assert_eq!(sent.status, 200, "{}", sent.body);
    let progress =
        async || server.get(&format!("/api/planner/people/{}/progress", quay.ada), &quay.ines).await.json();
    let class = progress().await["at_home"][0]["classes"][0].clone();
    assert_eq!((&class["title"], &class["days_asked"]), (&json!("Evening hour"), &json!(3)));
    assert_eq!(
        (&class["times"], &class["drills"], &class["drills_asked"]),
        (&json!(1), &json!(1), &json!(2))
    );
    assert_eq!(class["ease"], json!([0, 0, 1]));

    // What hurt says so, at home too, until somebody has seen to it.
    let hurt = async || {
        let found = theirs().await;
        let steps = found["classes"][0]["sheet"]["steps"].as_array().unwrap().clone();
        [steps[0]["sheet"]["hurt"].clone(), steps[1]["sheet"]["hurt"].clone()]
    };
    assert_eq!(hurt().await, [Value::Null, Value::Null]);
    let mut sore = log.clone();
    (sore["log"]["id"], sore["log"]["hurt"]) = (json!(Uuid::now_v7()), json!(true));
    assert_eq!(server.post(&format!("{}/practice", home.1), &home.0, &sore).await.status, 200);
    assert_eq!(hurt().await, [json!(day(0)), Value::Null]);
    let outcome = "Looked at it with her".try_into().unwrap();
    assert_eq!(desk.tell_desk(DeskCommand::CloseFollowUp { id: 1, outcome }).await, None);
    assert_eq!(hurt().await, [Value::Null, Value::Null]);

    // A withdrawn class is gone from her page, and what she did of it stays.
    let card = cards.as_array().unwrap().iter().find(|card| card["whom"].is_null()).unwrap();
    let one = format!("/api/planner/home-classes/{}", card["id"].as_str().unwrap());
    assert_eq!(server.delete(&one, &quay.ines, &json!({ "version": 1 })).await.status, 200);
    assert_eq!(theirs().await["classes"], json!([]));
    let class = progress().await["at_home"][0]["classes"][0].clone();
    assert_eq!((&class["days_asked"], &class["times"]), (&json!(0), &json!(1)));
    assert_eq!(class["hurt"], json!([day(0)]));

    // Who may not read health notes learns nothing, and changes nothing.
    let (helper, _) = quay.house.colleague(&quay.ines, "Anselm", "helper", Value::Null).await;
    assert_eq!(server.get(&of_group, &helper).await.status, 403);
    assert_eq!(server.post(&format!("{url}/home-class"), &helper, &once).await.status, 403);

    // What was published for Ben alone goes with him.
    let ben = PersonId(quay.ben.parse().unwrap());
    erase(&*server.app.store, ben, server.app.clock.now()).await.unwrap();
    let kept = server.app.store.documents::<HomeClass>().await.unwrap();
    assert_eq!(kept.len(), 0, "{kept:?}");
}
