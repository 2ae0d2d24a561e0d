//! Ten classes of an invented group, planned with known truth: who came when and for how long, what they did, how far they
//! went, how hard it was, and what hurt. Pages and files give it back. Nothing here reads a ledger but the server.

mod home;
mod next;
mod records;

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
use crate::common::quay::token;
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
         [[step]]\neffort = \"How hard was it?\"\n[[step]]\ndrill = \"sit-tall\"\nreps = {}\n\
         [[home]]\ndrill = \"long-hiss\"\ntimes_a_day = 2\ndays_a_week = 5\n[[home]]\ndrill = \"effortful-swallow\"\n",
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

/// A person's own page.
struct AtHome {
    page: String,
    link: String,
    cookie: String,
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

    /// Somebody at their own page, by a new link.
    async fn at_home(&self, person: Uuid) -> AtHome {
        let new = json!({ "medium": "tablet", "request": Uuid::now_v7() });
        let made = self.server.post(&format!("/api/planner/people/{person}/links"), &self.cookie, &new).await;
        let body = json!({ "token": token(&made.json()), "shared": false, "request": Uuid::now_v7() });
        let opened = self.server.post("/api/own/open", "", &body).await;
        let link = opened.json()["place"]["link"].as_str().unwrap().to_owned();
        AtHome { page: format!("/api/own/{link}"), link, cookie: opened.cookie.unwrap() }
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
