//! What a class was, over real requests and sockets: at its desk when it is over, and in the table of its group.

use crate::common::quay::{Quay, day};
use samebreath_core::live::{DeskCommand, ReportId, Said, SeatCommand, SeatId, StepId, Where};
use samebreath_core::people::person::Person;
use samebreath_core::people::rules::Felt;
use samebreath_core::versioned::Versioned;
use serde_json::{Value, json};
use uuid::Uuid;

#[tokio::test]
async fn the_desk_has_the_record_of_its_class_and_the_group_has_the_table() {
    let quay = Quay::open().await;
    let server = &quay.house.server;
    let mut desk = quay.desk().await;
    desk.tell_desk(DeskCommand::Open).await;
    let link = quay.link(&quay.ada, "tablet").await;
    let seat = quay.come(&quay.at_home(&link).await).await.cookie.unwrap();
    let mut ada = server.connect("seat", &seat).await;
    desk.tell_desk(DeskCommand::SayName { name: "Ines".try_into().unwrap() }).await;
    desk.tell_desk(DeskCommand::Start).await;
    ada.tell_seat(SeatCommand::Done { step: StepId(1) }).await;
    let slip = ReportId(Uuid::from_u128(10));
    let said = Said { strength: Some(Felt::Number(8)), ..Said::default() };
    ada.tell_seat(SeatCommand::Report { report: slip, said }).await;
    ada.tell_seat(SeatCommand::TakeBack { report: slip }).await;
    let words = "Ben bumped into me".try_into().ok();
    let said = Said { place: Some(Where::Neck), words, ..Said::default() };
    ada.tell_seat(SeatCommand::Report { report: ReportId(Uuid::from_u128(9)), said }).await;
    desk.tell_desk(DeskCommand::End).await;

    let get = async |path: &str, who: &str| server.get(path, who).await;
    let after = get("/api/desk/{stay}/after", &desk.cookie).await.json();
    let record = &after["record"];
    let people = record["people"].as_array().unwrap();
    let of = |name: &str| people.iter().find(|one| one["name"] == name).unwrap();
    assert_eq!((&of("Ada")["attended"], &of("Ben")["attended"]), (&json!("screen"), &json!("no")));
    assert_eq!(of("Ada")["person"], json!(quay.ada));
    assert_eq!(of("Ada")["steps"][0]["answer"], "done");
    assert_eq!((&record["steps"][0]["asked"], &record["steps"][0]["did"]), (&json!(1), &json!(1)));
    assert_eq!(record["led_by"], json!(["Ines"]));
    let about: Vec<_> =
        after["concerns"].as_array().unwrap().iter().map(|one| one["about"].clone()).collect();
    assert_eq!(about, ["report", "missed"]);

    // Whoever reads such records finds what is left to do, and the plan goes on to the next class of the group.
    assert_eq!(after["colleagues"], json!(["Ines"]));
    let next = &after["next"];
    assert_eq!((&next["day"], &next["made"]), (&json!(day(7)), &Value::Null));
    let plan = json!({ "from": "next_week", "id": next["plan"], "version": 2, "one_notch_on": false });
    let copied = server.post("/api/planner/plans", &quay.ines, &plan).await.json();
    assert_eq!(copied["content"]["day"], json!(day(7)));
    let next = get("/api/desk/{stay}/after", &desk.cookie).await.json()["next"].clone();
    assert_eq!(next["made"], copied["id"]);

    // A correction holds in the table too, whoever looks.
    let reason = "by telephone, without a seat".try_into().unwrap();
    let ben = SeatId(u32::try_from(of("Ben")["seat"].as_u64().unwrap()).unwrap());
    assert_eq!(desk.tell_desk(DeskCommand::SetAttendance { seat: ben, minutes: 40, reason }).await, None);
    let path = format!("/api/planner/groups/{}/attendance", quay.group["id"].as_str().unwrap());
    let table = get(&path, &quay.ines).await.json();
    assert_eq!((&table["classes"][0]["came"], &table["classes"][0]["day"]), (&json!(2), &json!(day(0))));
    let line = |name: &str| {
        let all = table["people"].as_array().unwrap();
        all.iter().find(|one| one["name"] == name).unwrap()["cells"][0].clone()
    };
    assert_eq!(line("Ben"), json!({ "there": "whole", "minutes": 40, "corrected": true }));
    assert_eq!(line("Ada")["there"], "whole");

    // W-29: the same for another program is as its schema says, and a field that the schema does not know is refused.
    let file = async |name: &str| {
        let path = format!("/api/planner/groups/{}/records/{name}", quay.group["id"].as_str().unwrap());
        get(&path, &quay.ines).await.json()
    };
    let (mut records, schema) = (file("records.json").await, file("records.schema.json").await);
    let schema = jsonschema::validator_for(&schema).unwrap();
    assert!(schema.is_valid(&records), "{:?}", schema.iter_errors(&records).next());
    let ben = records["attendance"].as_array().unwrap().iter().find(|row| row["name"] == "Ben").unwrap();
    assert_eq!(
        (&ben["minutes"], &ben["put_right_because"]),
        (&json!(40), &json!("by telephone, without a seat"))
    );
    records["reports"][0]["unknown"] = json!(1);
    assert!(!schema.is_valid(&records));

    // In the bundle of the group, what Ada typed of Ben is in nobody's record, and what she took back is no finding.
    let bundle = async || {
        let path = format!("/api/planner/groups/{}/fhir.json", quay.group["id"].as_str().unwrap());
        get(&path, &quay.ines).await.json()
    };
    let found = bundle().await;
    assert!(!found.to_string().contains("bumped") && found.to_string().contains("speak of somebody else"));
    let resources = || found["entry"].as_array().unwrap().iter().map(|one| &one["resource"]);
    let reports = resources().filter(|one| one["code"]["text"] == "Discomfort");
    let status: Vec<_> = reports.map(|one| (one["status"].clone(), one["valueInteger"].clone())).collect();
    assert_eq!(status, [(json!("entered-in-error"), json!(8)), (json!("final"), Value::Null)]);
    // Who is gone is nobody's patient.
    assert!(found.to_string().contains(&quay.ben));
    let ben: Versioned<Person> = server.app.store.document(quay.ben.parse().unwrap()).await.unwrap().unwrap();
    assert!(server.app.store.remove_document::<Person>(ben.id, ben.version).await.unwrap());
    assert!(!bundle().await.to_string().contains(&quay.ben));

    // Who has nothing to do with the group learns nothing, and whoever looked is in the audit.
    let (helper, _) = quay.house.colleague(&quay.ines, "Anselm", "helper", Value::Null).await;
    assert_eq!(get(&path, &helper).await.status, 403);
    assert_eq!(get(&path, "").await.status, 401);
    let acts = server.app.store.audit_after(0).await.unwrap();
    let looked: Vec<_> = acts.iter().filter(|(_, entry)| entry.act.contains("/attendance")).collect();
    assert!(looked.len() >= 2, "{looked:?}");
}
