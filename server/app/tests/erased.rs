//! W-26: who is erased is in no byte of the data, the classes stay what they were, and a backup that is put back is cleared
//! before anybody is served.

use std::path::Path;

use samebreath::session::erase;
use samebreath_core::live::{DeskCommand, Recorded, Said, SeatCommand, SeatId, Session};
use samebreath_core::live::{ReportId, Whose};
use samebreath_store::{Sqlite, Store, Upkeep, backup};
use serde_json::{Value, json};
use uuid::Uuid;

use crate::common::quay::Quay;
use crate::common::stay_of;

/// Words that nothing else has in it.
const NAME: &str = "Zuleika";
const WORDS: [&str; 6] = ["quincunx", "ballroom", "marzipan", "lighthouse", "tarpaulin", "kingfisher"];

/// The files in a folder that have one of the words in them.
fn found(folder: &Path) -> Vec<String> {
    let mut found = Vec::new();
    for file in std::fs::read_dir(folder).unwrap() {
        let path = file.unwrap().path();
        let bytes = std::fs::read(&path).unwrap();
        for word in WORDS.iter().chain(&[NAME]) {
            if bytes.windows(word.len()).any(|part| part == word.as_bytes()) {
                found.push(format!("{word} in {}", path.file_name().unwrap().display()));
            }
        }
    }
    found
}

/// What a class came to, but for names and words.
fn shape(ledger: &[Recorded]) -> String {
    let session = Session::replay(ledger).unwrap();
    let seats: Vec<_> = session
        .seats()
        .iter()
        .map(|(id, seat)| {
            (id.0, seat.is_here(), seat.answers.len(), seat.precautions.len(), seat.messages.len())
        })
        .collect();
    let reports: Vec<_> =
        session.reports().iter().map(|r| (r.id, r.seat, r.state, r.said.strength)).collect();
    format!("{} {seats:?} {reports:?} {:?}", session.seq(), session.moves())
}

#[tokio::test]
async fn who_is_erased_is_in_no_byte_and_stays_erased_in_an_older_backup() {
    let quay = Quay::open().await;
    let (server, folder) = (&quay.house.server, quay.house.folder.path().to_owned());
    let url = format!("/api/planner/people/{}", quay.ada);
    let named = json!({ "name": NAME, "conditions": ["neck"], "decisions": [] });
    assert_eq!(server.put(&url, &quay.ines, &json!({ "after": 1, "content": named })).await.status, 200);
    let made = quay.link(&quay.ada, "paper").await;
    let home = quay.at_home(&made).await;
    let mut desk = quay.desk().await;
    desk.tell_desk(DeskCommand::Open).await;
    let seat = quay.come(&home).await.cookie.unwrap();
    let mut hers = server.connect("seat", &seat).await;
    let check_in = json!({ "do": "check_in", "answers": {
        "feeling": "well", "seated": true, "mouth_empty": true, "water": true, "company": "alone", "news": false,
        "easier": false, "place": WORDS[0], "contact": WORDS[1], "partner": null,
    } });
    assert_eq!(hers.tell("seat", Uuid::now_v7(), check_in).await, None);
    let said = Said { words: Some(WORDS[2].try_into().unwrap()), ..Said::default() };
    let report = SeatCommand::Report { report: ReportId(Uuid::now_v7()), said };
    assert_eq!(hers.tell_seat(report).await, None);
    let text = WORDS[3].try_into().unwrap();
    desk.tell_desk(DeskCommand::Message { seat: SeatId(1), text }).await;
    let note = DeskCommand::AddFollowUp {
        seat: SeatId(1),
        what: WORDS[4].try_into().unwrap(),
        owner: "Ines".try_into().unwrap(),
        due: "2027-03-09".to_owned().try_into().unwrap(),
    };
    assert_eq!(desk.tell_desk(note).await, None);
    let about_other = DeskCommand::Message { seat: SeatId(2), text: "sit with Ann".try_into().unwrap() };
    desk.tell_desk(about_other).await;
    assert_eq!(hers.tell_seat(SeatCommand::Stop { reason: None, whose: Whose::Own }).await, None);

    let erasure = format!("{url}/erasure");
    let name = json!({ "name": NAME });
    let early = server.post(&erasure, &quay.ines, &name).await;
    assert_eq!(early.status, 422, "the class has not ended");
    assert_eq!(desk.tell_desk(DeskCommand::End).await, None);
    let class_id = stay_of(&desk.cookie).unwrap().split('.').next().unwrap().to_owned();
    let notes = server.get(&format!("/api/planner/classes/{class_id}/notes"), &quay.ines).await.json();
    let note = format!("{url}/notes/{class_id}");
    let words = json!({ "assessment": WORDS[5] });
    let draft = json!({ "after": 0, "words": words });
    assert_eq!(server.put(&note, &quay.ines, &draft).await.status, 200);
    let hers_of = notes["people"].as_array().unwrap().iter().find(|one| one["name"] == NAME).unwrap();
    let sign =
        json!({ "request": Uuid::now_v7(), "seen": hers_of["sheet"]["seen"], "after": 1, "words": words });
    let signed = server.post(&note, &quay.ines, &sign).await;
    assert_eq!(signed.status, 200, "{}", signed.body);
    let added = json!({ "request": Uuid::now_v7(), "corrects": true, "text": WORDS[5] });
    let to = format!("/api/planner/notes/{}/added", signed.json()["id"].as_str().unwrap());
    assert_eq!(server.post(&to, &quay.ines, &added).await.status, 200);
    let sheet = server.get(&erasure, &quay.ines).await.json();
    assert_eq!(sheet["notes"], 1);
    let counts =
        ["classes", "reports", "follow_ups", "links", "mentions"].map(|key| sheet[key].as_u64().unwrap());
    assert_eq!((counts, &sheet["not_over"]), ([1, 1, 1, 1, 0], &json!(false)), "{sheet}");
    assert_eq!(server.post(&erasure, &quay.ines, &name).await.status, 422, "it is open on a screen");
    drop((desk, hers));

    let hold = format!("{url}/hold");
    assert_eq!(server.put(&hold, &quay.ines, &json!({ "reason": "a claim" })).await.status, 200);
    let held = until_closed(&quay, &erasure, &name).await;
    assert!(held["text"].as_str().unwrap().contains("held"), "{held}");
    assert_eq!(
        server.delete(&url, &quay.ines, &json!({ "version": 2 })).await.status,
        422,
        "nor is it removed"
    );
    assert_eq!(server.delete(&hold, &quay.ines, &json!({})).await.status, 200);
    assert_eq!(
        server.post(&erasure, &quay.ines, &json!({ "name": "Ada" })).await.status,
        422,
        "another name"
    );

    let sessions = server.app.store.unfinished_sessions().await.unwrap();
    let class =
        server.app.store.sessions().await.unwrap().into_iter().find(|one| !sessions.contains(one)).unwrap();
    let before = server.app.store.read_after(class.id, 0).await.unwrap();
    assert!(!found(&folder).is_empty(), "the test finds what is there");
    let copies = tempfile::tempdir().unwrap();
    let old = copies.path().join("old.db");
    backup::backup(&folder, &old).await.unwrap();

    let done = server.post(&erasure, &quay.ines, &name).await;
    assert_eq!(done.status, 200, "{}", done.body);
    assert_eq!(done.json()["classes"], json!(1));
    let again = server.post(&erasure, &quay.ines, &name).await;
    assert_eq!(
        (again.status, again.json()["day"].clone()),
        (200, done.json()["day"].clone()),
        "its answer was lost"
    );
    assert_eq!(found(&folder), Vec::<String>::new());
    let new = copies.path().join("new");
    std::fs::create_dir(&new).unwrap();
    backup::backup(&folder, &new.join("new.db")).await.unwrap();
    assert_eq!(found(&new), Vec::<String>::new());
    let after = server.app.store.read_after(class.id, 0).await.unwrap();
    assert_eq!(shape(&after), shape(&before));
    assert_eq!(Session::replay(&after).unwrap().seats()[&SeatId(1)].name.as_str(), "Person 1");
    assert_eq!(server.get(&url, &quay.ines).await.status, 404);
    // A page that was left open writes and signs nothing about them any more.
    assert_eq!(server.put(&note, &quay.ines, &draft).await.status, 404);
    assert_eq!(server.post(&note, &quay.ines, &sign).await.status, 404);
    let gone = server.get(&format!("/api/planner/classes/{class_id}/notes"), &quay.ines).await.json();
    assert!(gone["people"].to_string().contains("\"erased\":true"), "{gone}");
    let group = format!("/api/planner/groups/{}", quay.group["id"].as_str().unwrap());
    let people = server.get(&group, &quay.ines).await.json()["content"]["people"].clone();
    assert_eq!(people, json!([quay.ben]));
    assert_eq!(quay.yes(&made, false).await.status, 404);
    assert_eq!(server.get("/api/me/{stay}", &seat).await.status, 401, "{:?}", stay_of(&seat));

    // An older backup has them; the list of who was erased goes along, and clears it before anybody is served.
    let Quay { house, .. } = quay;
    house.server.stop().await;
    backup::restore(&old, &folder, "now").await.unwrap();
    for aside in std::fs::read_dir(&folder).unwrap().map(|file| file.unwrap().path()) {
        if aside.file_name().unwrap().to_string_lossy().starts_with("replaced-") {
            std::fs::remove_file(aside).unwrap();
        }
    }
    assert!(!found(&folder).is_empty(), "they are back");
    // A ledger that cannot be read keeps nobody from being served; once it can, the next start goes on.
    let store = Sqlite::open(&folder).await.unwrap();
    let kept: &(dyn Store + 'static) = &store;
    change(&folder, "update event set body = replace(body, '{\"v\":1', '{\"v\":9') where seq = 2").await;
    erase::erase_listed(kept, samebreath_core::time::EpochMs(1)).await.unwrap();
    assert_eq!(kept.to_erase().await.unwrap().len(), 1);
    change(&folder, "update event set body = replace(body, '{\"v\":9', '{\"v\":1') where seq = 2").await;
    erase::erase_listed(kept, samebreath_core::time::EpochMs(1)).await.unwrap();
    assert_eq!(kept.to_erase().await.unwrap(), []);
    store.close().await;
    assert_eq!(found(&folder), Vec::<String>::new());
}

/// Changes what the database in a folder says.
async fn change(folder: &Path, text: &'static str) {
    let pool =
        sqlx::SqlitePool::connect(&format!("sqlite:{}/samebreath.db", folder.display())).await.unwrap();
    sqlx::query(text).execute(&pool).await.unwrap();
    pool.close().await;
}

/// Asks until the sockets that were dropped are gone.
async fn until_closed(quay: &Quay, erasure: &str, name: &Value) -> Value {
    loop {
        let answer = quay.house.server.post(erasure, &quay.ines, name).await.json();
        if !answer["text"].as_str().is_some_and(|text| text.contains("open on some screen")) {
            return answer;
        }
        tokio::task::yield_now().await;
    }
}
