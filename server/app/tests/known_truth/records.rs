//! Tables, weeks, files, bundles and sums.

use serde_json::{Value, json};

use super::{
    CLASSES, Known, NAMES, came, count, day, did_hiss, far, hurts, minutes, reps, sat_tall, sent_word, weeks,
};

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
