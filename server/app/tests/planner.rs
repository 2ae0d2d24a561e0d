//! The planner's interface over real sockets and a real database.

use crate::common::TestServer;
use samebreath_core::plan::draft::Planned;
use serde_json::{Value, json};

async fn begin_plan(server: &TestServer, pass: &str, from: Value) -> Value {
    let answer = server.post("/api/planner/plans", pass, &from).await;
    assert_eq!(answer.status, 200, "{}", answer.body);
    answer.json()
}

fn url(plan: &Value, rest: &str) -> String {
    format!("/api/planner/plans/{}{rest}", plan["id"].as_str().unwrap())
}

const FILE: &str = "title = \"Ours\"\nminutes = 60\nstart = \"10:00\"\n\n[[step]]\ntalk = \"Hello\"\nminutes = 5\n\n[[step]]\ndrill = \"strong-ah\"\nreps = 8\n";

#[tokio::test]
async fn nobody_plans_without_the_planners_pass() {
    let folder = tempfile::tempdir().unwrap();
    let server = TestServer::start(folder.path()).await;
    let desk = server.open_desk().await.cookie;
    let seat = server.join("Ann").await;
    for cookie in ["", &desk, &seat] {
        assert_eq!(server.get("/api/planner/library", cookie).await.status, 401);
        assert_eq!(server.get("/api/planner/plans", cookie).await.status, 401);
        assert_eq!(server.get("/api/planner/groups", cookie).await.status, 401);
        let new = json!({ "from": "empty", "title": "x", "group": null });
        assert_eq!(server.post("/api/planner/plans", cookie, &new).await.status, 401);
    }
    let pass = server.planner().await;
    let book = server.get("/api/planner/library", &pass).await.json();
    assert_eq!(book["drills"].as_array().unwrap().len(), 51);
    assert!(book["item_sets"].as_array().unwrap().iter().any(|set| set["id"] == "faces"));
    assert!(book["clue_sets"].as_array().unwrap().len() >= 17);
    let set = &book["clue_sets"][0];
    assert_eq!(set["words"].as_array().unwrap().len(), set["clues"].as_u64().unwrap() as usize);
    assert_ne!(set["words"][0]["answer"], "", "whoever plans reads the clues");
}

#[tokio::test]
async fn a_class_is_found_again_until_it_has_ended() {
    let folder = tempfile::tempdir().unwrap();
    let server = TestServer::start(folder.path()).await;
    let pass = server.planner().await;
    let mine = async || {
        let classes = server.get("/api/planner/classes", &pass).await.json();
        let titled = |class: &&Value| class["title"] == "Ours";
        classes.as_array().unwrap().iter().filter(titled).cloned().collect::<Vec<_>>()
    };
    assert_eq!(mine().await, Vec::<Value>::new());
    let plan = begin_plan(&server, &pass, json!({ "from": "file", "text": FILE })).await;
    let body = json!({ "version": 1, "rehearsal": false, "request": uuid::Uuid::new_v4() });
    let made = server.post(&url(&plan, "/class"), &pass, &body).await.json();
    let [class] = &mine().await[..] else { panic!("there is one class") };
    assert_eq!(class["code"], made["code"]);
    // The links were lost; others open the same class.
    let again = format!("/api/planner/classes/{}/links", class["id"].as_str().unwrap());
    let links = server.post(&again, &pass, &json!({})).await.json();
    assert_eq!(links["code"], made["code"]);
    assert_ne!(links["desk"], made["desk"]);
    let nobody = server.post(&again, "", &json!({})).await;
    assert_eq!(nobody.status, 401);
    let unknown = format!("/api/planner/classes/{}/links", uuid::Uuid::new_v4());
    assert_eq!(server.post(&unknown, &pass, &json!({})).await.status, 404);
}

#[tokio::test]
async fn a_second_editor_overwrites_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let server = TestServer::start(folder.path()).await;
    let (one, two) = (server.planner().await, server.planner().await);
    let plan = begin_plan(&server, &one, json!({ "from": "file", "text": FILE })).await;
    let save = async |pass: &str, after: u64, title: &str| {
        let mut content = plan["content"].clone();
        content["draft"]["title"] = json!(title);
        content["day"] = json!("2027-03-02");
        let body = json!({ "after": after, "content": content });
        let answer = server.put(&url(&plan, ""), pass, &body).await;
        assert_eq!(answer.status, 200, "{}", answer.body);
        answer.json()
    };
    let first = save(&one, 1, "One's").await;
    assert_eq!((&first["saved"], &first["now"]["version"]), (&json!(true), &json!(2)));
    let second = save(&two, 1, "Two's").await;
    assert_eq!(second["saved"], json!(false), "it changed a version that has been replaced");
    assert_eq!(second["now"]["content"]["draft"]["title"], json!("One's"), "the answer has what is stored");
    assert_eq!(server.get(&url(&plan, ""), &one).await.json()["content"]["draft"]["title"], json!("One's"));
    let third = save(&two, 2, "Two's").await;
    assert_eq!(third["saved"], json!(true), "over the newest version it is saved");
    // The plan is on disk: another process can read it.
    let id = plan["id"].as_str().unwrap().parse().unwrap();
    server.stop().await;
    let store: std::sync::Arc<dyn samebreath_store::Store> =
        std::sync::Arc::new(samebreath_store::Sqlite::open(folder.path()).await.unwrap());
    let kept = store.document::<Planned>(id).await.unwrap().unwrap();
    assert_eq!(kept.content.draft.title.as_str(), "Two's");
}

#[tokio::test]
async fn a_plan_goes_out_as_a_file_comes_back_and_moves_on_a_week() {
    let folder = tempfile::tempdir().unwrap();
    let server = TestServer::start(folder.path()).await;
    let pass = server.planner().await;
    let plan = begin_plan(&server, &pass, json!({ "from": "file", "text": FILE })).await;
    let file = server.get(&url(&plan, "/plan.toml"), &pass).await;
    assert_eq!(file.body, FILE, "the same bytes");
    let wrong = json!({ "from": "file", "text": FILE.replace("strong-ah", "strong-ahh") });
    let refused = server.post("/api/planner/plans", &pass, &wrong).await;
    assert_eq!(refused.status, 422);
    assert_eq!(
        refused.json()["text"],
        json!("the file:10: there is no drill called `strong-ahh`; did you mean `strong-ah`?")
    );
    let mut content = plan["content"].clone();
    content["day"] = json!("2027-02-23");
    let body = json!({ "after": 1, "content": content });
    server.put(&url(&plan, ""), &pass, &body).await;
    let next_week = |version: u64| json!({ "from": "next_week", "id": plan["id"], "version": version, "one_notch_on": true });
    let stale = server.post("/api/planner/plans", &pass, &next_week(1)).await;
    assert_eq!(
        (stale.status, &stale.json()["code"]),
        (409, &json!("behind")),
        "the page shows an older version"
    );
    let next = begin_plan(&server, &pass, next_week(2)).await;
    assert_eq!(next["content"]["day"], json!("2027-03-02"), "seven days later, in the next month");
    assert_eq!(
        next["content"]["draft"]["steps"][1]["what"]["change"]["hold"],
        json!({ "kind": "fixed", "ms": 11_000 })
    );
    let list = server.get("/api/planner/plans", &pass).await.json();
    assert_eq!(list.as_array().unwrap().len(), 2);
    assert_eq!(list[0]["id"], next["id"], "the last saved one first");
}

#[tokio::test]
async fn a_draft_is_added_up_advised_on_and_begun() {
    let folder = tempfile::tempdir().unwrap();
    let server = TestServer::start(folder.path()).await;
    let pass = server.planner().await;
    let plan = begin_plan(&server, &pass, json!({ "from": "empty", "title": "New", "group": null })).await;
    let planned = |draft: &Value| json!({ "draft": draft, "day": null, "group": null });
    let look = async |draft: &Value| {
        let body = json!({ "plan": plan["id"], "planned": planned(draft) });
        server.post("/api/planner/look", &pass, &body).await.json()
    };
    let empty = look(&plan["content"]["draft"]).await;
    assert_eq!(empty["error"]["text"], json!("this plan needs at least one [[step]]"));
    let class = async |version: u64| {
        let body = json!({ "version": version, "rehearsal": false });
        server.post(&url(&plan, "/class"), &pass, &body).await
    };
    let refused = class(1).await;
    assert_eq!(refused.status, 422, "an empty plan is stored, but no class begins from it");
    let mut draft = plan["content"]["draft"].clone();
    let step = |what: Value| json!({ "part": null, "title": null, "note": null, "what": what });
    draft["steps"] = json!([
        step(json!({ "kind": "talk", "title": "Hello", "minutes": 18 })),
        step(json!({ "kind": "drill", "drill": "strong-ah", "change": {} })),
    ]);
    let whole = look(&draft).await;
    assert_eq!(whole["steps"][1]["starts_ms"], json!(18 * 60_000));
    assert_eq!(
        whole["clock_ms"],
        json!(18 * 60_000 + 157_000),
        "the drill's printed 150 s, plus 7 s to get ready: 15 words at 140 a minute"
    );
    assert_eq!(whole["advice"][0]["kind"], json!("under_time"));
    draft["steps"][1]["what"]["drill"] = json!("strong-ahh");
    let wrong = look(&draft).await;
    assert_eq!(wrong["error"]["step"], json!(1));
    draft["steps"][1]["what"]["drill"] = json!("strong-ah");
    server.put(&url(&plan, ""), &pass, &json!({ "after": 1, "content": planned(&draft) })).await;
    let preview = server.post("/api/planner/preview", &pass, &draft["steps"][1]["what"]).await.json();
    assert_eq!(preview["timeline"]["total_ms"], json!(150_000));
    assert_eq!(class(1).await.status, 409, "no class begins from a version that the page does not show");
    let links = class(2).await.json();
    let desk = server.use_link(links["desk"].as_str().unwrap()).await;
    let sheet = server.get("/api/desk/{stay}/sheet", &desk).await.json();
    assert_eq!(sheet["steps"].as_array().unwrap().len(), 2);
    assert_eq!(sheet["title"], json!("New"));
}
