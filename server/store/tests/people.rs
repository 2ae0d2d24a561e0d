//! Data of a version in which a person was a part of a group's document.

use std::path::Path;

use samebreath_core::people::person::{Contacts, Person};
use samebreath_core::plan::group::{Group, Roll};
use samebreath_core::versioned::Versioned;
use samebreath_store::{Sqlite, Store};
use sqlx::migrate::Migrator;

/// The last schema before people had ids.
const BEFORE: i64 = 5;

#[tokio::test]
async fn a_name_in_a_group_becomes_a_person_with_everything_that_was_decided() {
    let folder = tempfile::tempdir().unwrap();
    let file = format!("sqlite:{}?mode=rwc", folder.path().join("samebreath.db").display());
    let pool = sqlx::SqlitePool::connect(&file).await.unwrap();
    Migrator::new(Path::new("../migrations")).await.unwrap().run_to(BEFORE, &pool).await.unwrap();
    let people = r#"[
        {"name": "Ann \"A.\"", "conditions": ["neck", "heart"], "decisions": [
            {"what": {"kind": "at_most", "ceiling": {"family": "neck", "reps_a_week": 30}}, "by": "Ines", "on": "2027-01-12"}
        ]},
        {"name": "Ben", "conditions": [], "decisions": []}
    ]"#;
    let group = |name: &str, people: &str| {
        format!(
            r#"{{"form": 1, "name": "{name}", "weekday": 2, "start": "10:00", "minutes": 60, "weeks_apart": 8, "people": {people}}}"#
        )
    };
    let groups = [
        ("018f0000-0000-7000-8000-000000000001", "group", group("Lantern Quay", people)),
        ("018f0000-0000-7000-8000-000000000002", "group", group("Nobody yet", "[]")),
        // Another kind of document is left alone.
        ("018f0000-0000-7000-8000-000000000003", "other", r#"{"people": [{"name": "Cy"}]}"#.to_owned()),
    ];
    for (id, kind, content) in groups {
        sqlx::query("insert into document values ($1, $2, 4, $3, 77)")
            .bind(id)
            .bind(kind)
            .bind(content)
            .execute(&pool)
            .await
            .unwrap();
    }
    pool.close().await;

    let store = Sqlite::open(folder.path()).await.unwrap();
    let store: &dyn Store = &store;
    let people: Vec<Versioned<Person>> = store.documents().await.unwrap();
    assert_eq!(people.len(), 2);
    assert_ne!(people[0].id, people[1].id);
    assert!(people.iter().all(|person| person.id.get_version_num() == 4 && person.version == 1));
    let groups: Vec<Versioned<Group>> = store.documents().await.unwrap();
    assert!(groups.iter().all(|group| group.version == 5));
    let quay = groups.into_iter().find(|group| group.content.name.as_str() == "Lantern Quay").unwrap();
    let roll = Roll::of(quay.content, &people);
    let [ann, ben] = &roll.people[..] else { panic!("{roll:?}") };
    assert_eq!((ann.person.name.as_str(), ben.person.name.as_str()), ("Ann \"A.\"", "Ben"));
    let expected = r#"{"name":"Ann \"A.\"","conditions":["neck","heart"],"decisions":[{"what":{"kind":"at_most","ceiling":{"family":"neck","reps_a_week":30}},"by":"Ines","on":"2027-01-12"}]}"#;
    let expected: Person = serde_json::from_str(expected).unwrap();
    assert_eq!(ann.person, expected, "what later versions keep besides is empty");
    assert_eq!((ann.person.contacts.clone(), &ann.person.forms[..]), (Contacts::default(), &[][..]));
}
