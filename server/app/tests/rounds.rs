//! Rounds of the word game that are written in the planner, over real sockets and a real database.

use crate::common::TestServer;
use serde_json::{Value, json};
use uuid::Uuid;

fn clue(words: &str, answer: &str) -> Value {
    json!({
        "clue": words, "answer": answer, "accept": [], "other": "", "more": "", "starts": "", "because": "",
        "hints": [], "level": null, "source": ""
    })
}

fn url(round: &Value) -> String {
    format!("/api/planner/rounds/{}", round["id"].as_str().unwrap())
}

/// The library's set that was made of the round, if there is one.
async fn set_of(server: &TestServer, pass: &str, round: &Value) -> Option<Value> {
    let book = server.get("/api/planner/library", pass).await.json();
    let sets = book["clue_sets"].as_array().unwrap();
    sets.iter().find(|set| set["round"] == round["id"]).cloned()
}

async fn begin(server: &TestServer, pass: &str) -> Value {
    let new = json!({ "from": "empty", "theme": "By the harbour", "language": "en" });
    let answer = server.post("/api/planner/rounds", pass, &new).await;
    assert_eq!(answer.status, 200, "{}", answer.body);
    answer.json()
}

/// Saves the round with these clues over version `after`.
async fn save(server: &TestServer, pass: &str, round: &Value, after: u64, clues: Value) -> Value {
    let mut content = round["content"].clone();
    content["clues"] = clues;
    let answer = server.put(&url(round), pass, &json!({ "after": after, "content": content })).await;
    assert_eq!(answer.status, 200, "{}", answer.body);
    answer.json()
}

#[tokio::test]
async fn a_written_round_is_played_in_a_class_once_it_is_finished_and_outlives_the_server() {
    let folder = tempfile::tempdir().unwrap();
    let server = TestServer::start(folder.path()).await;
    let pass = server.planner().await;
    let round = begin(&server, &pass).await;
    assert_eq!(set_of(&server, &pass, &round).await, None, "a round without a clue cannot be chosen");
    save(
        &server,
        &pass,
        &round,
        1,
        json!([clue("Ships see it at night.", "lighthouse"), clue("It floats.", "")]),
    )
    .await;
    assert_eq!(set_of(&server, &pass, &round).await, None);

    // A plan that already has it says what is missing, and its class is refused.
    let set = format!("own-{}", round["id"].as_str().unwrap());
    let file = format!("title = \"Ours\"\nminutes = 60\n\n[[step]]\nclues = \"{set}\"\nminutes = 10\n");
    let from = json!({ "from": "file", "text": file });
    let refused = server.post("/api/planner/plans", &pass, &from).await;
    assert_eq!(refused.status, 422);
    assert!(
        refused.body.contains("the round `By the harbour` is not finished: clue 2 has no answer"),
        "{}",
        refused.body
    );

    let clues = json!([clue("Ships see it at night.", "lighthouse"), clue("It floats and rings.", "buoy")]);
    save(&server, &pass, &round, 2, clues).await;
    let found = set_of(&server, &pass, &round).await.unwrap();
    assert_eq!((&found["id"], &found["clues"]), (&json!(set), &json!(2)));
    let plan = server.post("/api/planner/plans", &pass, &from).await.json();
    let body = json!({ "version": 1, "rehearsal": false, "request": Uuid::new_v4() });
    let class = format!("/api/planner/plans/{}/class", plan["id"].as_str().unwrap());
    assert_eq!(server.post(&class, &pass, &body).await.status, 200);
    server.stop().await;

    // After a restart it is in the library again; its plan is still whole.
    let server = TestServer::start(folder.path()).await;
    assert_eq!(set_of(&server, &pass, &round).await, Some(found));
    // Once it is removed, the plan says so, and whoever removed it can bring it back.
    let look = json!({ "plan": null, "planned": plan["content"] });
    assert_eq!(server.post("/api/planner/look", &pass, &look).await.json()["error"], Value::Null);
    let removed = server.delete(&url(&round), &pass, &json!({ "version": 3 })).await;
    assert_eq!(removed.status, 200, "{}", removed.body);
    let error = server.post("/api/planner/look", &pass, &look).await.json()["error"].clone();
    assert!(error.to_string().contains("it may have been removed"), "{error}");
    let copy = json!({ "from": "copy", "round": removed.json()["content"] });
    assert_eq!(server.post("/api/planner/rounds", &pass, &copy).await.status, 200);
}

#[tokio::test]
async fn a_set_of_the_library_is_copied_in_the_language_that_was_asked_for() {
    let folder = tempfile::tempdir().unwrap();
    let server = TestServer::start(folder.path()).await;
    let pass = server.planner().await;
    let copy = async |set: &str, language: &str| {
        let new = json!({ "from": "set", "set": set, "language": language });
        server.post("/api/planner/rounds", &pass, &new).await
    };
    let english = copy("toolbox", "en").await.json();
    let spanish = copy("toolbox", "es").await.json();
    assert_eq!(english["content"]["clues"][0]["answer"], "hammer");
    assert_eq!(english["content"]["clues"][0]["starts"], "ham");
    assert_eq!(spanish["content"]["clues"][0]["answer"], "martillo");
    assert_eq!(spanish["content"]["language"], "es");
    let cards = server.get("/api/planner/rounds", &pass).await.json();
    assert_eq!(cards.as_array().unwrap().len(), 2);
    assert!(cards.as_array().unwrap().iter().all(|card| card["finished"] == json!(true)), "{cards}");
    let unknown = copy("tolbox", "en").await;
    assert_eq!(unknown.status, 422);
    assert!(unknown.body.contains("did you mean `toolbox`?"), "{}", unknown.body);
}

#[tokio::test]
async fn a_request_whose_answer_was_lost_makes_one_document_of_each_kind() {
    let folder = tempfile::tempdir().unwrap();
    let server = TestServer::start(folder.path()).await;
    let pass = server.planner().await;
    let round = json!({ "from": "empty", "theme": "By the harbour", "language": "en" });
    let plan = json!({ "from": "empty", "title": "Tuesday", "group": null });
    for (kind, new) in [("rounds", round), ("plans", plan)] {
        let list = format!("/api/planner/{kind}");
        let ask = format!("{list}?request={}", Uuid::now_v7());
        let [first, again] =
            [server.post(&ask, &pass, &new).await.json(), server.post(&ask, &pass, &new).await.json()];
        assert_eq!(first, again);
        assert_eq!(server.get(&list, &pass).await.json().as_array().unwrap().len(), 1, "{kind}");
        // Asked again after it was changed, it answers with what is there now.
        let change = json!({ "after": 1, "content": first["content"] });
        let url = format!("{list}/{}", first["id"].as_str().unwrap());
        assert_eq!(server.put(&url, &pass, &change).await.status, 200);
        assert_eq!(server.post(&ask, &pass, &new).await.json()["version"], 2);
        let nonsense = server.post(&format!("{list}?request=soon"), &pass, &new).await;
        assert!((400..500).contains(&nonsense.status), "{}", nonsense.body);
    }
}

#[tokio::test]
async fn answers_are_tried_against_what_is_on_the_page() {
    let folder = tempfile::tempdir().unwrap();
    let server = TestServer::start(folder.path()).await;
    let pass = server.planner().await;
    let mut round = begin(&server, &pass).await["content"].clone();
    round["clues"] = json!([clue("Ships see it at night.", "lighthouse"), clue("It floats.", "")]);
    let ask = json!({ "round": round, "said": ["the lighthouses", "buoy"] });
    let look = server.post("/api/planner/rounds/look", &pass, &ask).await.json();
    assert_eq!(look["heard"], json!(["right", null]));
    assert_eq!(look["hints"], json!([["10 letters", "It starts with L"], []]));
    assert_eq!(look["unfinished"], json!([{ "clue": 2, "what": { "kind": "no_answer" } }]));
}

#[tokio::test]
async fn nobody_reads_or_writes_a_round_without_the_planners_pass_and_nonsense_is_refused_with_its_place() {
    let folder = tempfile::tempdir().unwrap();
    let server = TestServer::start(folder.path()).await;
    let pass = server.planner().await;
    let round = begin(&server, &pass).await;
    let desk = server.open_desk().await.cookie;
    let seat = server.join("Ann").await;
    let content = round["content"].clone();
    for cookie in ["", &desk, &seat] {
        assert_eq!(server.get("/api/planner/rounds", cookie).await.status, 401);
        assert_eq!(server.get(&url(&round), cookie).await.status, 401);
        assert_eq!(
            server.put(&url(&round), cookie, &json!({ "after": 1, "content": content })).await.status,
            401
        );
        let look = json!({ "round": content, "said": [] });
        assert_eq!(server.post("/api/planner/rounds/look", cookie, &look).await.status, 401);
    }
    let wrong = async |clues: Value, why: &str| {
        let mut content = content.clone();
        content["clues"] = clues;
        let answer = server.put(&url(&round), &pass, &json!({ "after": 1, "content": content })).await;
        assert_eq!(answer.status, 422, "{}", answer.body);
        assert!(answer.body.contains(why), "{}", answer.body);
    };
    wrong(
        json!([clue("x", &"a".repeat(61))]),
        "clue 1: the answer: the text has 61 characters; at most 60 are allowed",
    )
    .await;
    wrong(json!([clue("x\u{202e}", "y")]), "clue 1: the clue: the text has the invisible character U+202E")
        .await;
    wrong(json!(vec![clue("x", "y"); 101]), "the round has 101 clues; at most 100 are allowed").await;
    wrong(json!([{ "clue": "x" }]), "missing field").await;
    assert_eq!(server.get(&url(&round), &pass).await.json()["version"], 1);
}
