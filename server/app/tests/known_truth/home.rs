//! What people do at home after the last of the ten classes, by their own word.

use serde_json::{Value, json};
use uuid::Uuid;

use super::{AtHome, Known, day};

/// Six breaths of six, on the day after the last class.
fn log(of: u128) -> Value {
    json!({
        "id": Uuid::from_u128(of), "drill": "long-hiss", "form": "full",
        "asked": { "reps": 6, "times_a_day": 2, "days_a_week": 5 }, "done": 6, "ease": "easy",
        "hurt": false, "noted": "screen", "day": day(9), "offset_minutes": 60,
    })
}

fn with(mut log: Value, field: &str, value: impl Into<Value>) -> Value {
    log[field] = value.into();
    log
}

impl AtHome {
    /// Says what they did, as somebody whose sheet is from this class; the status, and the code where it was refused.
    async fn did(&self, known: &Known, class: &Value, log: Value) -> (u16, Value) {
        let body = json!({ "class": class, "log": log });
        let answer = known.server.post(&format!("{}/practice", self.page), &self.cookie, &body).await;
        (answer.status, if answer.status == 200 { Value::Null } else { answer.json()["code"].clone() })
    }
}

async fn last_class(known: &Known, at: &AtHome) -> Value {
    let own = known.server.get(&format!("{}/sheets", at.page), &at.cookie).await.json();
    own["sheets"][0]["class"].clone()
}

/// What the page with somebody's weeks says of the first drill after the last class.
async fn drill(known: &Known, who: usize) -> Value {
    known.get(&format!("people/{}/progress", known.people[who])).await["at_home"][0]["drills"][0].clone()
}

#[tokio::test]
async fn what_was_done_at_home_counts_once_and_for_the_person_whose_link_it_is() {
    let known = Known::open().await;
    let (ann, ben) = (known.at_home(known.people[0]).await, known.at_home(known.people[1]).await);
    let class = last_class(&known, &ann).await;
    for _ in 0..2 {
        assert_eq!(ann.did(&known, &class, log(1)).await.0, 200);
    }
    assert_eq!(ann.did(&known, &class, with(log(1), "done", 60)).await, (409, json!("differs")));
    assert_eq!(ann.did(&known, &class, with(log(2), "done", Value::Null)).await.0, 200);
    // Another device may have made the same id for somebody else.
    assert_eq!(ben.did(&known, &class, with(log(1), "done", 3)).await.0, 200);
    let of = drill(&known, 0).await;
    assert_eq!((&of["drill"], &of["days"], &of["times"]), (&json!("long-hiss"), &json!(1), &json!(2)));
    assert_eq!((&of["reps"], &of["uncounted"], &of["differs"]), (&json!(6), &json!(1), &json!(1)));
    assert_eq!(
        (&of["reps_each"], &of["times_a_day"], &of["ease"]),
        (&json!(6), &json!(2), &json!([2, 0, 0]))
    );
    assert_eq!(drill(&known, 1).await["reps"], 3);
    assert_eq!(drill(&known, 2).await["times"], 0);
    // A class that is no longer kept: the newest one takes it.
    assert_eq!(ann.did(&known, &json!(Uuid::nil()), log(3)).await.0, 200);
    assert_eq!(drill(&known, 0).await["times"], 3);
    // Nobody of a class can see what the others did.
    let sheets = known.server.get(&format!("{}/sheets", ben.page), &ben.cookie).await.body;
    assert!(!sheets.contains("practised") && !sheets.contains("\"done\""), "{sheets}");
    known.server.stop().await;
}

#[tokio::test]
async fn a_day_that_cannot_be_right_is_asked_about_but_what_hurt_is_taken() {
    let known = Known::open().await;
    let ann = known.at_home(known.people[0]).await;
    let class = last_class(&known, &ann).await;
    let other = (422, json!("other_day"));
    assert_eq!(ann.did(&known, &class, with(log(1), "day", "1999-12-31")).await, other);
    assert_eq!(ann.did(&known, &class, with(log(1), "day", "2999-12-31")).await, other);
    assert_eq!(
        ann.did(
            &known,
            &class,
            with(log(1), "asked", json!({ "reps": 0, "times_a_day": 1, "days_a_week": 1 }))
        )
        .await
        .0,
        409
    );
    assert_eq!(drill(&known, 0).await["times"], 0);
    let follow_ups = async || {
        let today = known.get("today").await;
        let left = today["left"].as_array().unwrap().clone();
        left.into_iter().filter(|one| one["what"] == "follow_up").collect::<Vec<_>>()
    };
    let before = follow_ups().await.len();
    for _ in 0..2 {
        assert_eq!(
            ann.did(&known, &class, with(with(log(4), "hurt", true), "day", "1999-12-31")).await.0,
            200
        );
    }
    let now = follow_ups().await;
    assert_eq!(now.len(), before + 1, "{now:?}");
    let hurt = now.iter().find(|one| one["to_do"].as_str().unwrap().contains("hurt at home")).unwrap();
    assert_eq!(hurt["name"], "Odile");
    assert_eq!(drill(&known, 0).await["hurt"], json!(["1999-12-31"]));
    known.server.stop().await;
}

#[tokio::test]
async fn a_link_that_was_ended_says_so_to_the_device_that_had_it() {
    let known = Known::open().await;
    let ann = known.at_home(known.people[0]).await;
    let class = last_class(&known, &ann).await;
    let url = format!("/api/planner/people/{}/links/{}", known.people[0], ann.link);
    assert_eq!(known.server.delete(&url, &known.cookie, &json!({})).await.status, 200);
    assert_eq!(ann.did(&known, &class, log(1)).await, (410, json!("link_ended")));
    let sheets = format!("{}/sheets", ann.page);
    assert_eq!(known.server.get(&sheets, &ann.cookie).await.status, 410);
    assert_eq!(known.server.get(&sheets, "").await.status, 401, "a device that never had it");
    assert_eq!(drill(&known, 0).await["times"], 0);
    // A pass may be gone although the link is not, as after a backup was put back: that ends nothing.
    let ben = known.at_home(known.people[1]).await;
    let unknown = ben.cookie.split_once('=').map(|(name, _)| format!("{name}=unknown")).unwrap();
    assert_eq!(known.server.get(&format!("{}/sheets", ben.page), &unknown).await.status, 401);
    known.server.stop().await;
}
