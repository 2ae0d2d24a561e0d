//! Ten classes of an invented group, planned with known truth: who came when and for how long, what they did, how far they
//! went, how hard it was, and what hurt. Pages and files give it back. Nothing here reads a ledger but the server.

use jiff::civil::Date as CivilDate;
use jiff::{Timestamp, ToSpan};
use samebreath_core::live::{
    Actor, Command, DeskCommand, HowFar, Presence, Recorded, SeatCommand, SeatId, Session, StepId,
};
use samebreath_core::people::person::{Person, PersonId};
use samebreath_core::people::rules::Felt;
use samebreath_core::plan::group::{Group, GroupId, Roll};
use samebreath_core::time::EpochMs;
use samebreath_core::time::day::Date;
use samebreath_core::versioned::Versioned;
use samebreath_store::ledger::{Append, NewEvent, SessionId};
use samebreath_store::sessions::SessionEntry;
use serde_json::{Value, json};
use uuid::Uuid;

use crate::common::TestServer;
use crate::core_tests::class::Class;
use crate::core_tests::{library, plan, rules};

const CLASSES: i64 = 10;
const NAMES: [&str; 6] = ["Odile", "Bertram", "Ifeoma", "Casimir", "Tobias", "Yuki"];
const MINUTE_MS: i64 = 60_000;
const MINUTES: i64 = 30;
const HISS: StepId = StepId(2);
const SIT: StepId = StepId(4);

/// Whether somebody came. The first two always did; each of the others missed every fifth class.
fn came(who: usize, week: i64) -> bool {
    who < 2 || (i64::try_from(who).unwrap() + week) % 5 != 4
}

/// Whether they had said so before.
fn sent_word(who: usize, week: i64) -> bool {
    !came(who, week) && week % 2 == 0
}

/// How many minutes of the class they were there: the third was often late, the fourth left early once.
fn minutes(who: usize, week: i64) -> i64 {
    match who {
        _ if !came(who, week) => 0,
        2 if week % 3 == 0 => MINUTES - 10,
        3 if week == 5 => 15,
        _ => MINUTES,
    }
}

/// Whether they said that they did the hiss; the fifth said so in every other class.
fn did_hiss(who: usize, week: i64) -> bool {
    came(who, week) && !hurts(who, week) && (who != 4 || week % 2 == 0)
}

/// How far the first went in it: a little further each month.
fn far(week: i64) -> HowFar {
    match week {
        0..4 => HowFar::FirstMark,
        4..8 => HowFar::Target,
        _ => HowFar::Beyond,
    }
}

/// The number that somebody said for effort: the first one less each week, the second the same each week.
fn effort(who: usize, week: i64) -> Option<u8> {
    match who {
        0 => u8::try_from(10 - week).ok(),
        1 => Some(5),
        _ => None,
    }
}

/// The neck of the fourth hurt once.
fn hurts(who: usize, week: i64) -> bool {
    (who, week) == (3, 2)
}

/// How often everybody sat tall: one repetition more every two weeks.
fn reps(week: i64) -> i64 {
    3 + week / 2
}

/// Whether they said that they sat tall.
fn sat_tall(who: usize, week: i64) -> bool {
    minutes(who, week) > 20 && who < 3
}

fn weeks() -> impl Iterator<Item = i64> {
    0..CLASSES
}

/// The day of a class: the last was a week ago.
fn date(week: i64) -> CivilDate {
    let today = Timestamp::now().in_tz("UTC").unwrap().date();
    today.checked_sub((7 * (CLASSES - week)).days()).unwrap()
}

fn day(week: i64) -> String {
    date(week).to_string()
}

/// The class of a week.
fn held(week: i64, roll: &Roll) -> Vec<Recorded> {
    let noon = date(week).at(12, 0, 0, 0).in_tz("UTC").unwrap();
    let starts = EpochMs(noon.timestamp().as_millisecond());
    let text = format!(
        "title = \"Tuesday\"\nminutes = 30\n[[step]]\ntalk = \"Welcome\"\nminutes = 2\n[[step]]\ndrill = \"long-hiss\"\n\
         [[step]]\neffort = \"How hard was it?\"\n[[step]]\ndrill = \"sit-tall\"\nreps = {}\n",
        reps(week)
    );
    let begins = Session::begin(plan(&text), rules(), Some(starts), true);
    let at = starts.plus(-10 * MINUTE_MS);
    let first = Recorded { seq: 1, at, by: Actor::Entry, cause: None, event: begins };
    let session = Session::from_first(&first).unwrap();
    let presence = Presence::default();
    let mut class = Class { session, ledger: vec![first], library: library(), presence, now: at }.staffed();
    let seats = || (0..NAMES.len()).map(|who| (who, SeatId(u32::try_from(who + 1).unwrap())));
    let word: Vec<PersonId> =
        seats().filter(|(who, _)| sent_word(*who, week)).map(|(who, _)| roll.people[who].id).collect();
    class.record(Actor::Entry, Session::expected(roll, &word).into_iter().collect());
    class.desk(DeskCommand::SayName { name: "Ines".try_into().unwrap() });
    class.desk(DeskCommand::Open);
    let arrive = |class: &mut Class, late: bool| {
        let here = |who: usize| came(who, week) && (minutes(who, week) == MINUTES - 10) == late;
        for (_, seat) in seats().filter(|(who, _)| here(*who)) {
            class.try_do(Actor::Entry, Command::Arrive { seat }).unwrap();
            class.hear(seat);
        }
    };
    let until = |class: &mut Class, minute: i64| {
        class.wait_ms(starts.plus(minute * MINUTE_MS).since(class.now));
        class.watch();
    };
    arrive(&mut class, false);
    until(&mut class, 0);
    class.desk(DeskCommand::Start);
    until(&mut class, 10);
    arrive(&mut class, true);
    until(&mut class, 11);
    class.desk(DeskCommand::Next);
    until(&mut class, 14);
    for (who, seat) in seats().filter(|(who, _)| came(*who, week)) {
        if did_hiss(who, week) {
            class.seat(seat, SeatCommand::Done { step: HISS });
        }
        if who == 0 {
            class.seat(seat, SeatCommand::HowFar { step: HISS, far: far(week) });
        }
        if hurts(who, week) {
            class.report(seat, 1, Some(Felt::Number(6)), None);
        }
    }
    until(&mut class, 15);
    for (_, seat) in seats().filter(|(who, _)| minutes(*who, week) == 15) {
        class.seat(seat, SeatCommand::Leave);
    }
    class.desk(DeskCommand::Next);
    for (who, seat) in seats().filter(|(who, _)| came(*who, week)) {
        if let Some(score) = effort(who, week) {
            class.seat(seat, SeatCommand::SayEffort { number: 1, score });
        }
    }
    until(&mut class, 17);
    class.desk(DeskCommand::Next);
    until(&mut class, 29);
    for (_, seat) in seats().filter(|(who, _)| sat_tall(*who, week)) {
        class.seat(seat, SeatCommand::Done { step: SIT });
    }
    until(&mut class, MINUTES);
    class.desk(DeskCommand::End);
    class.ledger
}

/// A server with the group and its ten classes.
struct Known {
    server: TestServer,
    cookie: String,
    group: Uuid,
    people: Vec<Uuid>,
    _folder: tempfile::TempDir,
}

impl Known {
    async fn open() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let server = TestServer::start(folder.path()).await;
        let cookie = server.planner().await;
        let mut people = Vec::new();
        for name in NAMES {
            let person = json!({ "name": name, "conditions": [], "decisions": [] });
            let made = server.post("/api/planner/people", &cookie, &person).await.json();
            people.push(made["id"].as_str().unwrap().parse().unwrap());
        }
        let weekday = date(0).weekday().to_monday_one_offset();
        let group = json!({
            "name": "Lantern Quay", "weekday": weekday, "start": "12:00", "minutes": MINUTES, "zone": "UTC",
            "first": day(0), "last": null, "others": [], "weeks_apart": 8, "people": people,
        });
        let group = server.post("/api/planner/groups", &cookie, &group).await.json();
        let group: Uuid = group["id"].as_str().unwrap().parse().unwrap();
        let known = Self { server, cookie, group, people, _folder: folder };
        known.keep_classes().await;
        known
    }

    async fn keep_classes(&self) {
        let store = &self.server.app.store;
        let group: Versioned<Group> = store.document(self.group).await.unwrap().unwrap();
        let people: Vec<Versioned<Person>> = store.documents().await.unwrap();
        let roll = Roll::of(group.content, &people);
        for week in weeks() {
            let ledger = held(week, &roll);
            let id = SessionId(Uuid::now_v7());
            let entry = SessionEntry {
                id,
                code: format!("{week:06}"),
                title: "Tuesday".to_owned(),
                rehearsal: false,
                created_at: ledger[0].at,
                group: Some(GroupId(self.group)),
                of: Some(Date::try_from(day(week)).unwrap()),
                ended_at: None,
                request: None,
            };
            store.add_session(&entry).await.unwrap();
            let lines = ledger.into_iter().map(|recorded| NewEvent { id: Uuid::now_v7(), recorded });
            assert!(matches!(store.append(id, 0, lines.collect()).await, Append::Committed));
        }
    }

    async fn get(&self, path: &str) -> Value {
        let answer = self.server.get(&format!("/api/planner/{path}"), &self.cookie).await;
        assert_eq!(answer.status, 200, "{path}: {}", answer.body);
        answer.json()
    }

    async fn progress(&self, who: usize) -> Value {
        self.get(&format!("people/{}/progress", self.people[who])).await["progress"].clone()
    }

    /// The lines of one of the group's tables.
    async fn table(&self, name: &str) -> Vec<Value> {
        let records = self.get(&format!("groups/{}/records/records.json", self.group)).await;
        records[name].as_array().unwrap().clone()
    }
}

fn count<T>(all: impl IntoIterator<Item = T>, is: impl Fn(&T) -> bool) -> usize {
    all.into_iter().filter(is).count()
}

#[tokio::test]
async fn who_came_and_for_how_long_is_what_it_was() {
    let known = Known::open().await;
    let table = known.get(&format!("groups/{}/attendance", known.group)).await;
    let days: Vec<Value> =
        table["classes"].as_array().unwrap().iter().map(|one| one["day"].clone()).collect();
    assert_eq!(days, weeks().map(|week| json!(day(week))).collect::<Vec<_>>());
    let rows = known.table("attendance").await;
    let mut attendances = 0;
    for (who, name) in NAMES.into_iter().enumerate() {
        let line = table["people"].as_array().unwrap().iter().find(|one| one["name"] == name).unwrap();
        let cells: Vec<Value> =
            line["cells"].as_array().unwrap().iter().map(|cell| cell["minutes"].clone()).collect();
        assert_eq!(cells, weeks().map(|week| json!(minutes(who, week))).collect::<Vec<_>>(), "{name}");
        let times = count(weeks(), |week| came(who, *week));
        assert_eq!((&line["came"], &line["of"]), (&json!(times), &json!(CLASSES)), "{name}");
        attendances += times;
        let theirs = rows.iter().filter(|row| row["name"] == name);
        let said: Vec<_> = theirs.map(|row| row["said_cannot_come"] == "yes").collect();
        assert_eq!(said, weeks().map(|week| sent_word(who, week)).collect::<Vec<_>>(), "{name}");
        // The bundle has an appointment for each class, and an encounter for each to which they came.
        let bundle = known.get(&format!("people/{}/fhir.json", known.people[who])).await;
        let of_type = |kind: &str| -> Vec<Value> {
            let all = bundle["entry"].as_array().unwrap().iter().map(|one| one["resource"].clone());
            all.filter(|one| one["resourceType"] == kind).collect()
        };
        let status = |week: i64| match (came(who, week), sent_word(who, week)) {
            (true, _) => "fulfilled",
            (false, true) => "cancelled",
            (false, false) => "noshow",
        };
        let found: Vec<Value> = of_type("Appointment").iter().map(|one| one["status"].clone()).collect();
        assert_eq!(found, weeks().map(|week| json!(status(week))).collect::<Vec<_>>(), "{name}");
        let lengths: Vec<Value> =
            of_type("Encounter").iter().map(|one| one["length"]["value"].clone()).collect();
        let there = weeks().filter(|week| came(who, *week)).map(|week| json!(minutes(who, week)));
        assert_eq!(lengths, there.collect::<Vec<_>>(), "{name}");
    }
    let period = format!("?from={}&to={}", day(0), day(CLASSES - 1));
    let sums = known.server.get(&format!("/api/sums{period}"), &known.cookie).await.json();
    let total = &sums["sums"]["total"];
    let all: i64 = (0..NAMES.len()).flat_map(|who| weeks().map(move |week| minutes(who, week))).sum();
    assert_eq!(
        (&total["held"], &total["attendances"], &total["minutes"], &total["people"]),
        (&json!(CLASSES), &json!(attendances), &json!(all), &json!(NAMES.len()))
    );
}

#[tokio::test]
async fn what_people_did_how_hard_it_was_and_what_hurt_is_what_it_was() {
    let known = Known::open().await;
    // Effort: one less each week is four less in four weeks; the same each week is no clear change.
    let first = known.progress(0).await;
    let days: Vec<Value> = weeks().map(|week| json!([day(week), 10.0 - week as f64])).collect();
    assert_eq!(first["effort"]["days"], json!(days));
    let slope = &first["effort"]["slope"];
    assert_eq!((&slope["per_four_weeks"], &slope["limits"]), (&json!(-4.0), &json!([-4.0, -4.0])), "{slope}");
    // The middle of 6, 5, 4, 3, 2 and 1.
    assert_eq!(first["effort"]["last"]["median"], 3.5);
    let second = known.progress(1).await;
    assert_eq!(
        (&second["effort"]["slope"]["per_four_weeks"], &second["effort"]["last"]["median"]),
        (&json!(0.0), &json!(5.0))
    );
    // Marks: beyond the target in the last two classes.
    let hiss = &first["drills"][0];
    assert_eq!(
        hiss["best"],
        json!({ "far": "beyond", "target_ms": 8_000, "day": day(CLASSES - 1), "days": 2 })
    );
    let fars: Vec<Value> = hiss["days"].as_array().unwrap().iter().map(|one| one["far"].clone()).collect();
    assert_eq!(fars, weeks().map(|week| json!(far(week))).collect::<Vec<_>>());
    // Doses and answers, from the table.
    let answers = known.table("answers").await;
    for week in weeks() {
        let of = |drill: &str| {
            let lines = answers.iter().filter(|row| row["day"] == day(week) && row["drill"] == drill);
            lines.cloned().collect::<Vec<_>>()
        };
        for row in of("sit-tall") {
            assert_eq!((&row["planned_reps"], &row["class_reps"]), (&json!(reps(week)), &json!(reps(week))));
        }
        let done = |drill: &str| {
            let mut names: Vec<Value> = of(drill)
                .iter()
                .filter(|row| row["answer"] == "done")
                .map(|row| row["name"].clone())
                .collect();
            names.sort_by_key(|name| NAMES.iter().position(|known| name == known));
            names
        };
        let truth = |did: fn(usize, i64) -> bool| {
            let names = NAMES.iter().enumerate().filter(|(who, _)| did(*who, week));
            names.map(|(_, name)| json!(name)).collect::<Vec<_>>()
        };
        assert_eq!(done("long-hiss"), truth(did_hiss), "week {week}");
        assert_eq!(done("sit-tall"), truth(sat_tall), "week {week}");
    }
    // What hurt: once, with its number and its day.
    let reports = known.table("reports").await;
    let [report] = reports.as_slice() else { panic!("{reports:?}") };
    assert_eq!(
        (&report["name"], &report["day"], &report["strength_0_to_10"]),
        (&json!("Casimir"), &json!(day(2)), &json!(6))
    );
    let fourth = known.progress(3).await;
    let reported: Vec<_> = fourth["classes"]
        .as_array()
        .unwrap()
        .iter()
        .map(|one| one["reports"].as_array().unwrap().len())
        .collect();
    assert_eq!(reported, weeks().map(|week| usize::from(hurts(3, week))).collect::<Vec<_>>());
}

#[tokio::test]
async fn a_plan_for_the_group_shows_what_it_did_with_a_drill_and_proposes_one_notch() {
    let known = Known::open().await;
    let step = |drill: &str| {
        json!({ "part": null, "title": null, "note": null,
            "what": { "kind": "drill", "drill": drill, "change": {} } })
    };
    let steps = ["long-hiss", "sit-tall", "whole-face"].map(step);
    let draft = json!({ "title": "Next", "minutes": 30, "start": null, "steps": steps, "home": [] });
    let look = async |day: Option<String>| {
        let planned = json!({ "draft": draft, "day": day, "group": known.group });
        let asked = json!({ "plan": null, "planned": planned });
        let answer = known.server.post("/api/planner/look", &known.cookie, &asked).await;
        assert_eq!(answer.status, 200, "{}", answer.body);
        answer.json()
    };
    let now = look(None).await;
    let [hiss, sit, face] = [0, 1, 2].map(|at: usize| &now["steps"][at]);
    // In the last class one of six did not come, and one said nothing of the hiss; the first went beyond the target.
    let last = CLASSES - 1;
    let last_class = &hiss["did"][0];
    assert_eq!(last_class["day"], day(last));
    let asked = count(0..NAMES.len(), |who| came(*who, last));
    let did = count(0..NAMES.len(), |who| did_hiss(*who, last));
    assert_eq!((asked, did), (5, 4), "the truth");
    assert_eq!((&last_class["asked"], &last_class["did"]), (&json!(asked), &json!(did)));
    assert_eq!(
        (&last_class["marked"], &last_class["reached"], &last_class["effort"]),
        (&json!(1), &json!(1), &json!(3.0))
    );
    assert_eq!(hiss["proposal"]["because"], "went_well");
    assert_eq!(hiss["proposal"]["change"]["hold"]["target_ms"], 9_000);
    // Only half of them said that they sat tall, which speaks for nothing; the plan has fewer anyway.
    assert_eq!((&sit["did"][0]["planned"]["reps"], &sit["proposal"]), (&json!(reps(last)), &Value::Null));
    assert_eq!(face["did"], json!([]));
    // A plan for an earlier day knows nothing of what came after it.
    let then = look(Some(day(3))).await;
    let days: Vec<Value> =
        then["steps"][0]["did"].as_array().unwrap().iter().map(|one| one["day"].clone()).collect();
    assert_eq!(days, [json!(day(2)), json!(day(1)), json!(day(0))]);
    assert_eq!(then["steps"][0]["proposal"]["because"], "reported");
}

#[tokio::test]
async fn a_desk_of_the_group_knows_how_long_its_talks_usually_are() {
    let known = Known::open().await;
    let table = known.get(&format!("groups/{}/attendance", known.group)).await;
    let usual_of = async |week: usize| {
        let session = table["classes"][week]["session"].as_str().unwrap();
        let path = format!("/api/planner/classes/{session}/desk");
        let opened = known.server.post(&path, &known.cookie, &json!({})).await;
        known.server.get("/api/desk/{stay}/sheet", &opened.cookie.unwrap()).await.json()["usual"].clone()
    };
    // Before the third class was over, nothing was usual.
    assert_eq!((usual_of(2).await, usual_of(3).await["classes"].clone()), (Value::Null, json!(3)));
    let usual = usual_of(9).await;
    assert_eq!((&usual["classes"], &usual["kinds"][0]["kind"]), (&json!(6), &json!("talk")));
    // Eleven minutes in each class for a welcome of two: no talk is taken to be more than twice as long.
    assert_eq!(usual["kinds"][0]["percent"], 200);
    let had_ms = usual["kinds"][0]["had_ms"].as_i64().unwrap();
    assert_eq!((had_ms + MINUTE_MS / 2) / MINUTE_MS, 66);
}
