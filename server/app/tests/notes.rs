//! Notes after a class, over real requests: drafts, what is signed, and what is added to it (W-23).

use samebreath_core::live::{DeskCommand, SeatCommand, SeatId, StepId};
use samebreath_store::ledger::SessionId;
use samebreath_store::notes::NotesVerdict;
use serde_json::{Value, json};
use sha2::{Digest, Sha256};
use uuid::Uuid;

use crate::common::quay::Quay;
use crate::common::{Screen, stay_of};

/// A class of which Ada did the drill, and to which Ben did not come.
struct Held {
    quay: Quay,
    desk: Screen,
    class: String,
}

impl Held {
    async fn open() -> Self {
        let quay = Quay::open().await;
        let mut desk = quay.desk().await;
        desk.tell_desk(DeskCommand::Open).await;
        let link = quay.link(&quay.ada, "tablet").await;
        let seat = quay.come(&quay.at_home(&link).await).await.cookie.unwrap();
        let mut ada = quay.house.server.connect("seat", &seat).await;
        desk.tell_desk(DeskCommand::Start).await;
        ada.tell_seat(SeatCommand::Done { step: StepId(1) }).await;
        let class = stay_of(&desk.cookie).unwrap().split('.').next().unwrap().to_owned();
        Self { quay, desk, class }
    }

    async fn over() -> Self {
        let mut held = Self::open().await;
        held.desk.tell_desk(DeskCommand::End).await;
        held
    }

    async fn notes(&self, who: &str) -> Value {
        let path = format!("/api/planner/classes/{}/notes", self.class);
        let answer = self.quay.house.server.get(&path, who).await;
        assert_eq!(answer.status, 200, "{}", answer.body);
        answer.json()
    }

    /// Ada's note.
    async fn ada(&self, who: &str) -> Value {
        of(&self.notes(who).await, "Ada").clone()
    }

    fn of_ada(&self) -> String {
        format!("/api/planner/people/{}/notes/{}", self.quay.ada, self.class)
    }
}

fn of<'a>(notes: &'a Value, name: &str) -> &'a Value {
    &notes["people"].as_array().unwrap().iter().find(|one| one["name"] == name).unwrap()["sheet"]
}

fn signing(sheet: &Value, words: &Value) -> Value {
    json!({ "request": Uuid::now_v7(), "seen": sheet["seen"], "after": sheet["version"], "words": words })
}

#[tokio::test]
async fn a_draft_is_kept_and_nobody_overwrites_anothers_unseen() {
    let held = Held::over().await;
    let (server, ines) = (&held.quay.house.server, &held.quay.ines);
    let sheet = held.ada(ines).await;
    assert_eq!(
        sheet["words"],
        json!({ "subjective": null, "objective": null, "assessment": null, "plan": null })
    );
    assert!(sheet["facts"][0]["text"].as_str().is_some_and(|text| text.starts_with("In class for")));
    let save = async |after: u64, plan: &str| {
        let body = json!({ "after": after, "words": { "plan": plan } });
        server.put(&held.of_ada(), ines, &body).await.json()
    };
    assert_eq!(save(0, "one").await["version"], 1);
    let again = save(0, "one").await;
    assert_eq!((&again["saved"], &again["version"]), (&json!(true), &json!(1)), "its answer was lost");
    let behind = save(0, "two").await;
    assert_eq!((&behind["saved"], &behind["words"]["plan"]), (&json!(false), &json!("one")));
    assert_eq!(save(1, "two").await["version"], 2);
    assert_eq!(held.ada(ines).await["words"]["plan"], "two");
    let nobody = format!("/api/planner/people/{}/notes/{}", Uuid::now_v7(), held.class);
    let body = json!({ "after": 0, "words": {} });
    assert_eq!(server.put(&nobody, ines, &body).await.status, 404);
}

#[tokio::test]
async fn a_class_that_has_not_ended_has_no_notes() {
    let held = Held::open().await;
    let path = format!("/api/planner/classes/{}/notes", held.class);
    let early = held.quay.house.server.get(&path, &held.quay.ines).await;
    assert_eq!((early.status, early.json()["text"].as_str().unwrap().contains("end it")), (422, true));
}

#[tokio::test]
async fn what_was_seen_is_signed_once_by_a_clinician_and_only_added_to() {
    let mut held = Held::over().await;
    let ines = held.quay.ines.clone();
    let house = &held.quay.house;
    let slp = json!({ "title": "Speech-language pathologist", "licence": "L 2" });
    let (plain, _) = house.colleague(&ines, "Odile", "facilitator", Value::Null).await;
    let (yuki, _) = house.colleague(&ines, "Yuki", "facilitator", slp).await;
    let words = json!({ "assessment": "Louder than last week.\nLess effort.", "plan": "As before." });
    let (path, sheet) = (held.of_ada(), held.ada(&ines).await);
    let post = async |who: &str, body: &Value| house.server.post(&path, who, body).await;

    let refused = post(&plain, &signing(&sheet, &words)).await;
    assert_eq!((refused.status, refused.json()["code"].clone()), (403, json!("not_clinician")));
    let empty = post(&ines, &signing(&sheet, &json!({ "plan": "x" }))).await;
    assert!(empty.json()["text"].as_str().unwrap().contains("`assessment` is empty"), "{}", empty.body);
    // Somebody puts the attendance right while the note is written.
    let reason = "was there from the start".try_into().unwrap();
    let seat = SeatId(1);
    held.desk.tell_desk(DeskCommand::SetAttendance { seat, minutes: 40, reason }).await;
    let changed = post(&ines, &signing(&sheet, &words)).await;
    assert!(changed.json()["text"].as_str().unwrap().contains("has changed"), "{}", changed.body);
    let draft = json!({ "after": 0, "words": { "assessment": "Yuki’s words" } });
    assert_eq!(house.server.put(&path, &yuki, &draft).await.status, 200);
    let seen = held.ada(&ines).await["seen"].clone();
    let over_hers = json!({ "request": Uuid::now_v7(), "seen": seen, "after": 0, "words": words });
    let behind = post(&ines, &over_hers).await;
    assert_eq!(behind.json()["code"], "behind", "a colleague wrote something else that was not seen");
    let draft = json!({ "after": 1, "words": words });
    assert_eq!(house.server.put(&path, &ines, &draft).await.status, 200);

    house.sql("update signed_in set proved_at_ms = proved_at_ms - 15 * 60000").await;
    let body = signing(&held.ada(&ines).await, &words);
    assert_eq!(post(&ines, &body).await.json()["code"], "prove_again", "W-07");
    house.sql("update signed_in set proved_at_ms = proved_at_ms + 15 * 60000").await;
    let signed = post(&ines, &body).await;
    assert_eq!(signed.status, 200, "{}", signed.body);
    let signed = signed.json();
    assert_eq!(post(&ines, &body).await.json(), signed, "its answer was lost");
    let second = post(&yuki, &signing(&held.ada(&yuki).await, &words)).await;
    assert!(second.json()["text"].as_str().unwrap().contains("signed already"), "{}", second.body);
    let late = house.server.put(&path, &yuki, &json!({ "after": 1, "words": words })).await;
    assert_eq!(late.status, 422, "a draft of what is signed");

    let to = format!("/api/planner/notes/{}/added", signed["id"].as_str().unwrap());
    let add =
        |corrects: bool, text: &str| json!({ "request": Uuid::now_v7(), "corrects": corrects, "text": text });
    let correction = add(true, "Not louder.");
    for body in [&add(false, "Her wife called."), &correction, &correction] {
        assert_eq!(house.server.post(&to, &yuki, body).await.status, 200);
    }
    assert_eq!(house.server.post(&to, &plain, &add(false, "x")).await.status, 403);

    // What was signed is what is shown, and its hash can be computed by anybody.
    let class = SessionId(held.class.parse().unwrap());
    let kept = house.server.app.store.notes_of_class(class).await.unwrap();
    let after = held.ada(&ines).await;
    assert_eq!(
        (kept.len(), after["facts_differ"].clone(), after["version"].clone()),
        (3, json!(false), json!(0))
    );
    let body: Value = serde_json::from_str(&kept[0].body).unwrap();
    assert_eq!(after["signed"]["note"], body);
    let digest: String =
        Sha256::digest(kept[0].body.as_bytes()).iter().map(|byte| format!("{byte:02x}")).collect();
    assert_eq!((&after["signed"]["sha256"], &after["signed"]["late"]), (&json!(digest), &json!(false)));
    assert_eq!(body["signer"]["clinician"], json!({ "title": "SLP", "licence": "L 1" }));
    assert_eq!(body["content"]["words"]["assessment"], words["assessment"]);
    let added = after["added"].as_array().unwrap();
    let kinds = added.iter().map(|one| (&one["note"]["content"]["kind"], &one["note"]["signer"]["name"]));
    let yuki_name = json!("Yuki");
    assert_eq!(
        kinds.collect::<Vec<_>>(),
        [(&json!("addition"), &yuki_name), (&json!("correction"), &yuki_name)]
    );

    // What the record says later does not change what was signed.
    let reason = "left early after all".try_into().unwrap();
    held.desk.tell_desk(DeskCommand::SetAttendance { seat, minutes: 20, reason }).await;
    let differs = held.ada(&ines).await;
    assert_eq!((&differs["facts_differ"], &differs["signed"]), (&json!(true), &after["signed"]));
    assert_ne!(differs["facts"], after["facts"]);

    // Whoever is no clinician learns that a note is signed, and not what it says.
    let theirs = held.notes(&plain).await;
    assert_eq!(theirs["may_sign"], false);
    assert_eq!(
        (&of(&theirs, "Ada")["signed"]["note"], &of(&theirs, "Ada")["words"]["plan"]),
        (&Value::Null, &Value::Null)
    );
    let verdict = house.server.app.store.verify_notes().await.unwrap();
    assert!(matches!(verdict, NotesVerdict::Whole { notes: 3, emptied: 0, .. }), "{verdict:?}");
    let acts = house.server.app.store.audit_after(0).await.unwrap();
    let act =
        |of: &str, outcome: u16| acts.iter().filter(|(_, e)| e.act == of && e.outcome == outcome).count();
    assert_eq!(act("POST /api/planner/people/{id}/notes/{class}", 200), 2);
    assert!(act("GET /api/planner/classes/{id}/notes", 200) > 3);
}

#[tokio::test]
async fn today_has_the_notes_of_a_group_that_wants_them_until_all_are_signed() {
    let held = Held::over().await;
    let (server, ines) = (&held.quay.house.server, &held.quay.ines);
    let (plain, _) = held.quay.house.colleague(ines, "Odile", "facilitator", Value::Null).await;
    let left = async |who: &str| {
        let today = server.get("/api/planner/today", who).await.json();
        let notes = today["left"].as_array().unwrap().iter().filter(|one| one["what"] == "notes");
        notes.cloned().collect::<Vec<_>>()
    };
    assert_eq!(left(ines).await, Vec::<Value>::new(), "nobody asked for notes");
    let group = &held.quay.group;
    let path = format!("/api/planner/groups/{}", group["id"].as_str().unwrap());
    let mut content = group["content"].clone();
    content["notes"] = json!(true);
    let saved = server.put(&path, ines, &json!({ "after": 1, "content": content })).await;
    assert_eq!(saved.status, 200, "{}", saved.body);
    let found = left(ines).await;
    assert_eq!((found.len(), &found[0]["people"]), (1, &json!(1)), "Ben did not come");
    assert_eq!(left(&plain).await, Vec::<Value>::new(), "who cannot sign is not asked");
    let words = json!({ "assessment": "As last week." });
    let body = signing(&held.ada(ines).await, &words);
    assert_eq!(server.post(&held.of_ada(), ines, &body).await.status, 200);
    assert_eq!(left(ines).await, Vec::<Value>::new());
}

#[tokio::test]
async fn the_note_about_the_class_is_nobodys_and_needs_no_assessment() {
    let held = Held::over().await;
    let (server, ines) = (&held.quay.house.server, &held.quay.ines);
    let sheet = held.notes(ines).await["of_class"].clone();
    let path = format!("/api/planner/classes/{}/note", held.class);
    let signed = server.post(&path, ines, &signing(&sheet, &json!({ "plan": "Shorter holds." }))).await;
    assert_eq!(signed.status, 200, "{}", signed.body);
    let note = signed.json()["note"].clone();
    assert_eq!((&note["about"]["person"], &note["about"]["name"]), (&Value::Null, &Value::Null));
    assert!(!note["content"]["facts"].to_string().contains("Ada"));
    assert_eq!(held.ada(ines).await["signed"], Value::Null);
}
