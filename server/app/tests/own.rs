//! A person's own page by their lasting link, over real requests and sockets.

use samebreath_core::live::{self, DeskCommand, SeatCommand, Whose};
use serde_json::json;
use uuid::Uuid;

use crate::common::quay::{Quay, day, token};
use crate::common::{Answer, Screen, stay_of};

/// W-09: who has only the link, and has not said who they are, learns a first name and nothing else.
#[tokio::test]
async fn a_link_tells_a_first_name_until_somebody_says_that_it_is_them() {
    let quay = Quay::open().await;
    let server = &quay.house.server;
    let made = quay.link(&quay.ada, "paper").await;
    let look = |token: &str| json!({ "token": token });
    let seen = server.post("/api/own/look", "", &look(token(&made))).await;
    assert_eq!((seen.status, seen.json(), &seen.cookie), (200, json!({ "name": "Ada" }), &None));
    let page = format!("/api/own/{}", made["card"]["id"].as_str().unwrap());
    assert_eq!(server.get(&page, "").await.status, 401, "the id in an address opens nothing");
    assert_eq!(server.post("/api/own/look", "", &look("nothing")).await.status, 404);
    let home = quay.at_home(&made).await;
    assert_eq!(home.1, page);
    let shown = server.get(&page, &home.0).await.json();
    assert_eq!(
        (&shown["name"], &shown["shared"], &shown["open"]),
        (&json!("Ada"), &json!(false), &json!(false))
    );
    assert_eq!(shown["classes"][0]["name"], "Lantern Quay");
    assert_eq!(shown["classes"].as_array().unwrap().len(), 6);
    // The same device again is the same device; another one is counted.
    let again = server
        .post(
            "/api/own/open",
            &home.0,
            &json!({ "token": token(&made), "shared": false, "request": Uuid::now_v7() }),
        )
        .await;
    assert_eq!((again.status, again.cookie), (200, None));
    quay.at_home(&made).await;
    let cards = server.get(&Quay::links(&quay.ada), &quay.ines).await.json();
    assert_eq!((&cards[0]["medium"], &cards[0]["devices"]), (&json!("paper"), &json!(2)));
    assert!(cards[0]["used_at"].is_number());
    assert!(!cards.to_string().contains(token(&made)), "nobody can read a link again");
}

/// W-08: each medium has a link of its own, and ending one ends what it opened and nothing else.
#[tokio::test]
async fn ending_one_link_in_the_middle_of_a_class_leaves_the_others() {
    let quay = Quay::open().await;
    let server = &quay.house.server;
    let [paper, tablet] = [quay.link(&quay.ada, "paper").await, quay.link(&quay.ada, "tablet").await];
    let [by_paper, by_tablet] = [quay.at_home(&paper).await, quay.at_home(&tablet).await];
    let early = quay.come(&by_paper).await;
    assert_eq!((early.status, early.json()["code"].clone()), (409, json!("not_open")), "no class is on");
    let mut desk = quay.desk().await;
    assert_eq!(quay.come(&by_paper).await.json()["code"], "not_open", "nobody is let in yet");
    desk.tell_desk(DeskCommand::Open).await;
    assert_eq!(server.get(&by_paper.1, &by_paper.0).await.json()["open"], json!(true));
    let came = quay.come(&by_paper).await;
    assert_eq!(came.json()["place"], "in");
    let seat = came.cookie.unwrap();
    let mut one = server.connect("seat", &seat).await;
    let mut other = server.connect("seat", &quay.come(&by_tablet).await.cookie.unwrap()).await;
    assert_eq!(stay_of(&one.cookie), stay_of(&other.cookie), "one person has one seat");
    let opened = server.get("/api/me/{stay}", &seat).await.json();
    assert_eq!(opened["own"], json!({ "link": paper["card"]["id"], "shared": false }));
    quay.end(&quay.ada, &paper).await;
    one.is_shut().await;
    assert_eq!(server.get("/api/me/{stay}", &seat).await.status, 401);
    assert_eq!(server.get(&by_paper.1, &by_paper.0).await.status, 410, "it was open here");
    assert_eq!(quay.yes(&paper, false).await.status, 404, "this link no longer works");
    assert_eq!(other.tell_seat(SeatCommand::Stop { reason: None, whose: Whose::Own }).await, None);
    // Who has been in a class is not just removed: their name would stay in it. Others go with their links.
    let remove = async |id: &str| {
        server.delete(&format!("/api/planner/people/{id}"), &quay.ines, &json!({ "version": 1 })).await
    };
    let url = format!("/api/planner/groups/{}", quay.group["id"].as_str().unwrap());
    let mut group = quay.group["content"].clone();
    group["people"] = json!([quay.ben]);
    server.put(&url, &quay.ines, &json!({ "after": 1, "content": group })).await;
    assert!(remove(&quay.ada).await.json()["text"].as_str().unwrap().contains("erase"));
    let eve = json!({ "name": "Eve", "conditions": [], "decisions": [] });
    let eve = server.post("/api/planner/people", &quay.ines, &eve).await.json()["id"].clone();
    let eve = eve.as_str().unwrap();
    let made = quay.link(eve, "paper").await;
    let home = quay.at_home(&made).await;
    assert_eq!(remove(eve).await.status, 200);
    assert_eq!(server.get(&home.1, &home.0).await.status, 410);
    assert_eq!(quay.yes(&made, false).await.status, 404);
}

/// A forwarded link shows itself: the desk sees that somebody came on a device that is new to a link in use.
#[tokio::test]
async fn a_link_that_is_opened_on_one_more_device_is_marked_at_the_desk() {
    let quay = Quay::open().await;
    let [ada, ben] = [quay.link(&quay.ada, "mail").await, quay.link(&quay.ben, "mail").await];
    let mut desk = quay.desk().await;
    desk.tell_desk(DeskCommand::Open).await;
    let home = quay.at_home(&ada).await;
    assert_eq!(quay.come(&home).await.status, 200);
    assert_eq!(quay.come(&quay.at_home(&ben).await).await.status, 200);
    desk.until(|desk| desk.rows().iter().filter(|row| row.screen != live::Screen::NotYet).count() == 2).await;
    let marked =
        |desk: &Screen, name: &str| desk.rows().iter().any(|row| row.name.as_str() == name && row.new_device);
    assert!(!marked(&desk, "Ada") && !marked(&desk, "Ben"), "the first device of a link is theirs");
    let forwarded = quay.at_home(&ada).await;
    assert_eq!(quay.come(&forwarded).await.status, 200);
    desk.until(|desk| marked(desk, "Ada")).await;
    assert!(!marked(&desk, "Ben"));
}

/// W-11, what the server has of it: done with a shared tablet, nothing of the person is left or still works.
#[tokio::test]
async fn i_am_done_leaves_nothing_on_a_shared_tablet() {
    let quay = Quay::open().await;
    let server = &quay.house.server;
    let made = quay.link(&quay.ada, "tablet").await;
    let mut desk = quay.desk().await;
    desk.tell_desk(DeskCommand::Open).await;
    let opened = quay.yes(&made, true).await;
    let lasts = |answer: &Answer| answer.set_cookie.as_ref().unwrap().to_lowercase().contains("max-age");
    assert!(!lasts(&opened), "{:?}", opened.set_cookie);
    let page = format!("/api/own/{}", made["card"]["id"].as_str().unwrap());
    let cookie = opened.cookie.unwrap();
    let came = quay.come(&(cookie.clone(), page.clone())).await;
    assert!(!lasts(&came), "{:?}", came.set_cookie);
    let seat = came.cookie.unwrap();
    let mut screen = server.connect("seat", &seat).await;
    let both = format!("{cookie}; {seat}");
    let done = server.post(&format!("{page}/done"), &both, &json!({})).await;
    assert_eq!(done.status, 200);
    let removed = done
        .headers
        .get_all("set-cookie")
        .iter()
        .filter(|value| value.to_str().unwrap().contains("Max-Age=0"));
    assert_eq!(removed.count(), 2, "{:?}", done.headers);
    screen.is_shut().await;
    for (path, cookie) in [(page.as_str(), &cookie), ("/api/me/{stay}", &seat)] {
        assert_eq!(server.get(path, cookie).await.status, 401, "{path}");
    }
    // The link itself works on. Whoever says only then that others use the device leaves no other pass behind.
    let alone = quay.at_home(&made).await;
    let seat = quay.come(&alone).await.cookie.unwrap();
    let body = json!({ "token": token(&made), "shared": true, "request": Uuid::now_v7() });
    let both = format!("{}; {seat}", alone.0);
    assert_eq!(server.post("/api/own/open", &both, &body).await.json()["place"]["shared"], json!(true));
    assert_eq!(server.get("/api/me/{stay}", &seat).await.status, 401);
    assert_eq!(server.get(&alone.1, &alone.0).await.status, 401);
}

#[tokio::test]
async fn who_cannot_come_is_known_beforehand_and_at_the_desk() {
    let quay = Quay::open().await;
    let server = &quay.house.server;
    let home = quay.at_home(&quay.link(&quay.ada, "paper").await).await;
    let word = async |of: &str, comes: bool| {
        let body = json!({ "group": quay.group["id"], "of": of, "comes": comes });
        server.post(&format!("{}/word", home.1), &home.0, &body).await.status
    };
    assert_eq!(word(&day(0), false).await, 200);
    assert_eq!(word(&day(1), false).await, 422, "there is no class on that day");
    let page = server.get(&home.1, &home.0).await.json();
    assert_eq!((&page["classes"][0]["comes"], &page["classes"][1]["comes"]), (&json!(false), &json!(true)));
    let today = server.get("/api/planner/today", &quay.ines).await.json();
    assert_eq!(today["class"]["absent"], json!(["Ada"]));
    let mut desk = quay.desk().await;
    let cannot = |desk: &Screen| desk.rows().iter().filter(|row| row.cannot_come).count();
    desk.until(|desk| cannot(desk) == 1).await;
    assert_eq!(word(&day(0), true).await, 200);
    desk.until(|desk| cannot(desk) == 0).await;
    assert_eq!(server.get("/api/planner/today", &quay.ines).await.json()["class"]["absent"], json!([]));
}

/// W-17: a calendar that is fetched again and again says when the classes are, and nothing about anybody.
#[tokio::test]
async fn a_calendar_follows_the_classes_without_a_name_in_it() {
    let quay = Quay::open().await;
    let server = &quay.house.server;
    let made = quay.link(&quay.ada, "calendar").await;
    let path = made["path"].as_str().unwrap();
    let feed = server.get(path, "").await;
    assert_eq!(feed.status, 200);
    let header = |answer: &Answer, name: &str| answer.headers.get(name).unwrap().to_str().unwrap().to_owned();
    assert_eq!(header(&feed, "content-type"), "text/calendar; charset=utf-8");
    assert_eq!(header(&feed, "x-content-type-options"), "nosniff");
    assert!(feed.body.contains("RRULE:FREQ=WEEKLY") && feed.body.contains("SUMMARY:Class"), "{}", feed.body);
    for name in ["Ada", "Ben", "Lantern", "own#"] {
        assert!(!feed.body.contains(name), "{name} in {}", feed.body);
    }
    let tag = header(&feed, "etag");
    let again = server.get_if_changed(path, &tag).await;
    assert_eq!((again.status, again.body.as_str()), (304, ""));
    let ben = quay.link(&quay.ben, "calendar").await;
    let other = server.get(ben["path"].as_str().unwrap(), "").await.body;
    let uid = |text: &str| text.lines().find(|line| line.starts_with("UID:")).unwrap().to_owned();
    assert_ne!(uid(&feed.body), uid(&other), "nobody sees from it who is in one group");
    // A change is seen; another token, and a link to a page, are nothing here.
    let mut group = quay.group["content"].clone();
    group["others"] = json!([{ "of": day(0), "cancelled": "Ines is ill", "day": null, "start": null, "minutes": null, "led_by": null }]);
    let url = format!("/api/planner/groups/{}", quay.group["id"].as_str().unwrap());
    server.put(&url, &quay.ines, &json!({ "after": 1, "content": group })).await;
    let changed = server.get_if_changed(path, &tag).await;
    assert_eq!(changed.status, 200);
    assert!(changed.body.contains("EXDATE") && changed.body.contains("SEQUENCE:1"), "{}", changed.body);
    let paper = quay.link(&quay.ada, "paper").await;
    assert_eq!(server.get(&format!("/calendar/{}.ics", token(&paper)), "").await.status, 404);
    assert_eq!(
        server
            .post("/api/own/look", "", &json!({ "token": path["/calendar/".len()..path.len() - 4] }))
            .await
            .status,
        404
    );
    quay.end(&quay.ada, &made).await;
    assert_eq!(server.get(path, "").await.status, 404);
    // Staff see what their groups are called.
    let new = json!({ "medium": "calendar", "request": Uuid::now_v7() });
    let own = server.post("/api/staff/calendar", &quay.ines, &new).await.json();
    let theirs = server.get(own["path"].as_str().unwrap(), "").await.body;
    assert!(theirs.contains("SUMMARY:Lantern Quay") && !theirs.contains("Ada"), "{theirs}");
    let page = json!({ "medium": "paper", "request": Uuid::now_v7() });
    assert_eq!(server.post("/api/staff/calendar", &quay.ines, &page).await.status, 422);
}

/// W-12: what desks read about people is written down too, once in an hour, under whoever opened the desk.
#[tokio::test]
async fn what_a_desk_reads_of_somebody_is_in_the_audit() {
    let quay = Quay::open().await;
    let server = &quay.house.server;
    let desk = quay.desk().await;
    let me = server.get("/api/staff/me", &quay.ines).await.json()["id"].clone();
    for path in ["person/1", "person/1", "person/2", "clearing", "after", "incidents.csv"] {
        let answer = server.get(&format!("/api/desk/{{stay}}/{path}"), &desk.cookie).await;
        assert_eq!(answer.status, 200, "{path}: {}", answer.body);
    }
    let rows = server.app.store.audit_after(0).await.unwrap();
    let read: Vec<_> = rows
        .iter()
        .filter_map(|(_, entry)| {
            let act = entry.act.strip_prefix("GET /api/desk/{stay}/")?;
            assert_eq!(json!(entry.actor.unwrap().0), me);
            Some((act.to_owned(), entry.subject.unwrap().to_string()))
        })
        .collect();
    let class =
        stay_of(&desk.cookie).unwrap().split('.').next().unwrap().parse::<Uuid>().unwrap().to_string();
    let of = |act: &str, whom: &str| (act.to_owned(), whom.to_owned());
    assert_eq!(
        read,
        [
            of("person/{seat}", &quay.ada),
            of("person/{seat}", &quay.ben),
            of("clearing", &class),
            of("after", &class),
            of("incidents.csv", &class),
        ]
    );
}
