//! One person over their classes, over real requests.

use samebreath_core::live::{DeskCommand, ReportId, Said, SeatCommand, StepId, Where};
use serde_json::{Value, json};
use uuid::Uuid;

use crate::common::quay::{Quay, day};

/// What must be in nothing about, or for, anybody else.
const BENS_WORDS: &str = "kingfisher";

#[tokio::test]
async fn a_persons_weeks_are_theirs_alone() {
    let quay = Quay::open().await;
    let server = &quay.house.server;
    let mut desk = quay.desk().await;
    desk.tell_desk(DeskCommand::Open).await;
    let (mut seats, mut homes) = (Vec::new(), Vec::new());
    for person in [&quay.ada, &quay.ben] {
        let home = quay.at_home(&quay.link(person, "tablet").await).await;
        let cookie = quay.come(&home).await.cookie.unwrap();
        seats.push(server.connect("seat", &cookie).await);
        homes.push(home);
    }
    let (cookie, page) = homes.swap_remove(0);
    let [mut ada, mut ben] = <[_; 2]>::try_from(seats).ok().unwrap();
    desk.tell_desk(DeskCommand::Start).await;
    ada.tell_seat(SeatCommand::Done { step: StepId(1) }).await;
    let words = Some(BENS_WORDS.try_into().unwrap());
    let said = Said { place: Some(Where::Neck), words, ..Said::default() };
    ben.tell_seat(SeatCommand::Report { report: ReportId(Uuid::from_u128(1)), said }).await;
    desk.tell_desk(DeskCommand::End).await;

    let weeks = async |person: &str, who: &str| {
        server.get(&format!("/api/planner/people/{person}/progress"), who).await
    };
    let hers = weeks(&quay.ada, &quay.ines).await.json();
    let class = &hers["progress"]["classes"][0];
    assert_eq!((&class["day"], &class["asked"], &class["done"]), (&json!(day(0)), &json!(1), &json!(1)));
    assert_eq!(hers["progress"]["drills"][0]["drill"], "sit-tall");
    assert!(!hers.to_string().contains("Ben") && !hers.to_string().contains(BENS_WORDS), "{hers}");
    let his = weeks(&quay.ben, &quay.ines).await.json();
    assert_eq!(his["progress"]["classes"][0]["reports"][0]["said"]["words"], BENS_WORDS);

    // A helper learns nothing, nor whoever leads other groups, and whoever looked is in the audit.
    let (helper, _) = quay.house.colleague(&quay.ines, "Anselm", "helper", Value::Null).await;
    assert_eq!(weeks(&quay.ada, &helper).await.status, 403);
    let (odile, _) = quay.house.colleague(&quay.ines, "Odile", "facilitator", Value::Null).await;
    assert_eq!(weeks(&quay.ada, &odile).await.status, 200, "the group is everybody's so far");
    let path = format!("/api/planner/groups/{}", quay.group["id"].as_str().unwrap());
    let mut group = quay.group["content"].clone();
    group["entrusted"] = json!([server.get("/api/staff/me", &quay.ines).await.json()["id"]]);
    let entrusted = server.put(&path, &quay.ines, &json!({ "after": 1, "content": group })).await;
    assert_eq!(entrusted.status, 200, "{}", entrusted.body);
    assert_eq!(weeks(&quay.ada, &odile).await.status, 404);
    let acts = server.app.store.audit_after(0).await.unwrap();
    let looked = acts.iter().filter(|(_, entry)| {
        entry.act == "GET /api/planner/people/{id}/progress"
            && entry.subject.is_some_and(|id| id.to_string() == quay.ada)
    });
    assert_eq!(looked.count(), 4);

    // W-36: of others a participant's screen has nothing, and of themselves no norm, rank or streak.
    ada.until(|screen| screen.stage.as_ref().is_some_and(|stage| stage.after.is_some())).await;
    let told = ada.seen.join("\n");
    assert!(told.contains("\"after\":{"), "the test reads what she was told when it was over");
    let own = server.get(&page, &cookie).await;
    assert_eq!(own.status, 200, "{}", own.body);
    let told = format!("{told}{}", own.body);
    for word in ["Ben", BENS_WORDS, "rank", "streak", "norm\"", "percentile", "average"] {
        assert!(!told.contains(word), "{word} in {told}");
    }
}
