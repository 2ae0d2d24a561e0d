//! What is kept of a person goes with them: contacts to the desk, their own forms into every class, their language to
//! their own page; and only clinicians change what concerns health.

use samebreath_core::live::{CareEvent, DeskCommand, Event};
use serde_json::{Value, json};

use crate::common::quay::{Quay, token};

async fn ada(quay: &Quay) -> Value {
    quay.house.server.get(&format!("/api/planner/people/{}", quay.ada), &quay.ines).await.json()
}

/// Saves Ada with a change, as somebody.
async fn save(quay: &Quay, who: &str, change: Value) -> crate::common::Answer {
    let mut kept = ada(quay).await;
    for (key, value) in change.as_object().unwrap() {
        kept["content"][key] = value.clone();
    }
    let body = json!({ "after": kept["version"], "content": kept["content"] });
    quay.house.server.put(&format!("/api/planner/people/{}", quay.ada), who, &body).await
}

#[tokio::test]
async fn contacts_and_own_forms_are_with_a_person_in_class() {
    let quay = Quay::open().await;
    let contacts = json!({
        "phone": "555 0100", "mail": "ada@example.org", "place": "Mill Lane 3, second floor", "partner": "Pia",
        "partner_phone": "555 0101",
    });
    let form = json!({ "of": { "family": "neck" }, "way": "seated", "note": "dizzy" });
    let saved = save(&quay, &quay.ines, json!({ "contacts": contacts, "forms": [form] })).await;
    assert_eq!(saved.status, 200, "{}", saved.body);
    let mut desk = quay.desk().await;
    let class = quay.house.server.app.store.unfinished_sessions().await.unwrap();
    let class = class.into_iter().find(|entry| entry.group.is_some()).unwrap();
    let ledger = quay.house.server.app.store.read_after(class.id, 0).await.unwrap();
    let set = ledger.iter().filter(|line| {
        matches!(&line.event, Event::Care { what: CareEvent::FormSet { form }, .. } if form.note.is_some())
    });
    assert_eq!(set.count(), 1, "her form holds without anybody setting it");
    assert!(!serde_json::to_string(&ledger).unwrap().contains("555 0100"), "contacts are not in the ledger");
    desk.tell_desk(DeskCommand::Open).await;
    let card = quay.house.server.get("/api/desk/{stay}/person/1", &desk.cookie).await;
    assert_eq!((card.status, &card.json()["contacts"]), (200, &contacts), "{}", card.body);
    assert_eq!(
        quay.house.server.get("/api/desk/{stay}/person/2", &desk.cookie).await.json()["contacts"]["phone"],
        json!(null),
        "Ben's are empty"
    );
}

#[tokio::test]
async fn a_number_is_no_mail_address_and_forms_are_for_clinicians() {
    let quay = Quay::open().await;
    let contacts = |mail: &str| {
        json!({ "contacts": { "phone": null, "mail": mail, "place": null, "partner": null,
        "partner_phone": null } })
    };
    for wrong in ["555 0100", "ada@", "@example.org", "a@b@c", "a b@example.org"] {
        let refused = save(&quay, &quay.ines, contacts(wrong)).await;
        assert_eq!(refused.status, 422, "{wrong}");
        assert!(refused.body.contains("ada@example.org"), "{}", refused.body);
    }
    let odile = quay.house.colleague(&quay.ines, "Odile", "facilitator", json!(null)).await.0;
    assert_eq!(
        save(&quay, &odile, contacts("ada@example.org")).await.status,
        200,
        "contacts are no decision"
    );
    let form = json!({ "of": { "family": "neck" }, "way": { "own_hold": 5000 }, "note": null });
    assert_eq!(save(&quay, &odile, json!({ "forms": [form] })).await.status, 403);
    assert_eq!(
        save(&quay, &quay.ines, json!({ "forms": [form, form] })).await.status,
        422,
        "twice for one thing"
    );
    let endless = json!({ "of": { "family": "neck" }, "way": { "own_hold": 9_000_000 }, "note": null });
    assert_eq!(save(&quay, &quay.ines, json!({ "forms": [endless] })).await.status, 422);
    assert_eq!(save(&quay, &quay.ines, json!({ "forms": [form] })).await.status, 200);
}

#[tokio::test]
async fn the_language_of_their_page_is_told_only_after_they_said_who_they_are() {
    let quay = Quay::open().await;
    assert_eq!(save(&quay, &quay.ines, json!({ "language": "es" })).await.status, 200);
    let made = quay.link(&quay.ada, "paper").await;
    let look = quay.house.server.post("/api/own/look", "", &json!({ "token": token(&made) })).await;
    assert_eq!(look.json(), json!({ "name": "Ada" }));
    assert_eq!(quay.yes(&made, false).await.json()["language"], json!("es"));
}
