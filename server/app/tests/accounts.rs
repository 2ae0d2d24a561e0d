//! Accounts of staff over real requests: the first one, passwords, codes and links, who is signed in where, and what
//! each role may do.

use std::path::Path;

use crate::common::TestServer;
use crate::common::staff::{House, OTHER, PASSWORD};
use samebreath::session::links;
use serde_json::json;
use totp_rs::{Builder, Secret};
use uuid::Uuid;

/// W-01, R-38: nothing works until the set-up link was used; it works once, for an hour, and never when there is an
/// account.
#[tokio::test]
async fn the_first_account_is_made_by_the_link_that_the_host_sees() {
    let house = House::open().await;
    let nobody = house.sign_in("ines", PASSWORD, None).await;
    assert_eq!((nobody.status, nobody.json()["code"].clone()), (401, json!("wrong_sign_in")));
    assert_eq!(house.first("AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA", Uuid::now_v7()).await.status, 404);
    let old = house.first_token().await.unwrap();
    house.sql("update account_link set expires_at_ms = expires_at_ms - 3600000").await;
    assert_eq!(house.first(&old, Uuid::now_v7()).await.status, 404, "an hour later");
    let token = house.first_token().await.unwrap();
    let what = house.server.post("/api/staff/link", "", &json!({ "token": token })).await;
    assert_eq!(what.json(), json!({ "is": "first" }), "to look at a link does not use it up");
    let weak = json!({
        "token": token, "name": "Ines", "sign_in": "ines", "clinician": null, "password": "too short",
        "request": Uuid::now_v7(),
    });
    let weak = house.server.post("/api/staff/first", "", &weak).await;
    assert_eq!(weak.status, 422);
    assert!(weak.body.contains("has 9 characters; choose one with at least 15"), "{}", weak.body);
    let request = Uuid::now_v7();
    let made = house.first(&token, request).await;
    assert_eq!(made.status, 200, "{}", made.body);
    assert_eq!(made.json()["codes"].as_array().unwrap().len(), 10);
    assert_eq!(house.first(&token, request).await.status, 200, "the same request, whose answer was lost");
    assert_eq!(house.first(&token, Uuid::now_v7()).await.status, 404, "used");
    assert_eq!(house.first_token().await, None, "there is an account");
    let me = house.server.get("/api/staff/me", &made.cookie.unwrap()).await.json();
    assert_eq!(me["account"]["role"], "coordinator");
    assert_eq!(me["codes_left"], 10);
    assert_eq!(house.sign_in("  INES ", PASSWORD, None).await.status, 200, "case and accents do not matter");
}

/// W-03: a recovery code works once; it ends everything that was open, sockets included.
#[tokio::test]
async fn a_recovery_code_lets_its_owner_in_once_and_everybody_else_out() {
    let house = House::open().await;
    let made = house.first(&house.first_token().await.unwrap(), Uuid::now_v7()).await;
    let codes = made.json()["codes"].clone();
    let ines = made.cookie.unwrap();
    let mut desk = house.desk_of(&ines).await;
    let recover = async |code: &str, password: &str| {
        let body = json!({ "name": "ines", "code": code, "password": password });
        house.server.post("/api/staff/recover", "", &body).await
    };
    assert_eq!(recover("AAAA-AAAA-AAAA-AAAA", OTHER).await.status, 401);
    let code = codes[3].as_str().unwrap();
    assert_eq!(recover(code, "short").await.status, 422, "a refused password uses no code up");
    let typed = code.to_lowercase().replace('-', " ");
    let back = recover(&typed, OTHER).await;
    assert_eq!(back.status, 200, "{}", back.body);
    desk.is_shut().await;
    assert_eq!(recover(code, OTHER).await.status, 401, "it works once");
    assert!(!house.is_in(&ines).await, "signed out everywhere else");
    let back = back.cookie.unwrap();
    assert_eq!(house.server.get("/api/staff/me", &back).await.json()["codes_left"], 9);
    assert_eq!(house.sign_in("ines", PASSWORD, None).await.status, 401);
    assert_eq!(house.sign_in("ines", OTHER, None).await.status, 200);
}

/// W-03: a colleague's or the host's link ends all that was open, with the second factor.
#[tokio::test]
async fn a_link_lets_its_owner_choose_a_password_and_ends_what_was_open() {
    let house = House::open().await;
    let ines = house.ines().await;
    let (odile, card) = house.colleague(&ines, "Odile", "facilitator", json!(null)).await;
    let mut desk = house.desk_of(&odile).await;
    let link = format!("/api/accounts/{}/link", card["id"].as_str().unwrap());
    assert_eq!(house.server.post(&link, &odile, &json!({})).await.status, 403, "a coordinator's act");
    let (first, token) = (house.token(&link, &ines).await, house.token(&link, &ines).await);
    let what = house.server.post("/api/staff/link", "", &json!({ "token": token })).await;
    assert_eq!(what.json(), json!({ "is": "password", "name": "Odile", "sign_in": "Odile" }));
    let choose = async |token: &str, password: &str, request: Uuid| {
        let body = json!({ "token": token, "password": password, "request": request });
        house.server.post("/api/staff/password-by-link", "", &body).await
    };
    assert_eq!(choose(&first, PASSWORD, Uuid::now_v7()).await.status, 404, "a newer link took its place");
    assert_eq!(choose(&token, "odileodileodile", Uuid::now_v7()).await.status, 422);
    assert!(house.is_in(&odile).await, "nothing has happened yet");
    let request = Uuid::now_v7();
    assert_eq!(choose(&token, PASSWORD, request).await.status, 200);
    desk.is_shut().await;
    assert_eq!(
        choose(&token, PASSWORD, request).await.status,
        200,
        "the same request, whose answer was lost"
    );
    assert_eq!(choose(&token, PASSWORD, Uuid::now_v7()).await.status, 404, "used");
    assert!(!house.is_in(&odile).await);
}

/// R-10, W-07: whoever signs out takes the desk along; an idle sign-in ends without it.
#[tokio::test]
async fn an_idle_sign_in_cuts_no_class_and_a_sign_out_does() {
    let house = House::open().await;
    let ines = house.ines().await;
    let mut desk = house.desk_of(&ines).await;
    house.sql("update signed_in set seen_at_ms = seen_at_ms - 12 * 3600000").await;
    assert!(!house.is_in(&ines).await, "unused for twelve hours");
    desk.tell_desk(samebreath_core::live::DeskCommand::Open).await;
    house.sql("update signed_in set seen_at_ms = seen_at_ms + 12 * 3600000").await;
    assert!(house.is_in(&ines).await);
    house.sql("update signed_in set expires_at_ms = 1").await;
    assert!(!house.is_in(&ines).await, "signed in too long ago");
    let again = house.sign_in("ines", PASSWORD, None).await.cookie.unwrap();
    let mut second = house.desk_of(&again).await;
    let out = house.server.post("/api/staff/sign-out", &again, &json!({})).await;
    assert_eq!(out.status, 200);
    assert_eq!(out.headers["clear-site-data"], "\"storage\"");
    second.is_shut().await;
    assert!(!house.is_in(&again).await);
}

/// W-07: what is grave asks again after a quarter of an hour.
#[tokio::test]
async fn what_is_grave_asks_for_the_password_again() {
    let house = House::open().await;
    let ines = house.ines().await;
    let account = |name: &str| {
        let account = json!({ "name": name, "sign_in": name, "role": "helper", "clinician": null });
        json!({ "account": account, "request": Uuid::now_v7() })
    };
    house.sql("update signed_in set proved_at_ms = proved_at_ms - 15 * 60000").await;
    let asked = house.server.post("/api/accounts", &ines, &account("Anselm")).await;
    assert_eq!((asked.status, asked.json()["code"].clone()), (403, json!("prove_again")));
    assert_eq!(house.server.get("/api/accounts", &ines).await.status, 200, "to look is not grave");
    let prove = async |password: &str| {
        house.server.post("/api/staff/again", &ines, &json!({ "password": password })).await.status
    };
    assert_eq!(prove(OTHER).await, 401);
    assert_eq!(house.server.post("/api/accounts", &ines, &account("Anselm")).await.status, 403);
    assert_eq!(prove(PASSWORD).await, 200);
    assert_eq!(house.server.post("/api/accounts", &ines, &account("Anselm")).await.status, 200);
}

/// R-40, W-03: a code of the second factor counts once, and a shorter password is enough beside it.
#[tokio::test]
async fn a_second_factor_is_asked_for_and_its_codes_count_once() {
    let house = House::open().await;
    let ines = house.ines().await;
    let new = house.server.post("/api/staff/second", &ines, &json!({})).await.json();
    let secret = new["secret"].as_str().unwrap().to_owned();
    let at = |steps: i64| {
        let seconds = u64::try_from(house.now().0 / 1000 + 30 * steps).unwrap();
        let secret = Secret::try_from_base32(&secret).unwrap();
        Builder::new()
            .with_secret(secret)
            .with_account_name("x")
            .build()
            .unwrap()
            .generate(seconds)
            .to_string()
    };
    let on = async |code: &str| {
        let body = json!({ "secret": secret, "code": code });
        house.server.put("/api/staff/second", &ines, &body).await.status
    };
    assert_eq!(on("000000").await, 422, "it counts only once a code was right");
    assert_eq!(house.sign_in("ines", PASSWORD, None).await.json(), json!("in"));
    let used = at(0);
    assert_eq!(on(&used).await, 200);
    assert_eq!(house.sign_in("ines", PASSWORD, None).await.json(), json!("needs_code"));
    assert!(house.sign_in("ines", PASSWORD, None).await.cookie.is_none());
    assert_eq!(house.sign_in("ines", OTHER, Some(&at(1))).await.status, 401, "the password too");
    assert_eq!(house.sign_in("ines", PASSWORD, Some(&used)).await.status, 401, "used when it was turned on");
    let next = at(1);
    assert_eq!(house.sign_in("ines", PASSWORD, Some(&next)).await.json(), json!("in"));
    assert_eq!(house.sign_in("ines", PASSWORD, Some(&next)).await.status, 401, "it counts once");
    // From here on the tries of one minute would be too many.
    let House { server, folder } = house;
    server.stop().await;
    let house = House { server: TestServer::start_in_earnest(folder.path()).await, folder };
    let change = async |from: &str, to: &str| {
        house.server.post("/api/staff/password", &ines, &json!({ "from": from, "to": to })).await
    };
    assert_eq!(change(PASSWORD, "kq7-Rm").await.status, 422);
    assert_eq!(change(PASSWORD, "password1").await.status, 422, "easy to guess");
    assert_eq!(change(PASSWORD, "kq7-Rm2p").await.status, 200, "8 characters beside a second factor");
    let off = house.server.delete("/api/staff/second", &ines, &json!({ "password": "kq7-Rm2p" })).await;
    assert_eq!(off.status, 422, "too short to be alone");
    assert_eq!(change("kq7-Rm2p", OTHER).await.status, 200);
    let off = house.server.delete("/api/staff/second", &ines, &json!({ "password": OTHER })).await;
    assert_eq!(off.status, 200, "{}", off.body);
}

/// W-04: one coordinator can always sign in.
#[tokio::test]
async fn the_last_coordinator_stays_one() {
    let house = House::open().await;
    let ines = house.ines().await;
    let cards = house.server.get("/api/accounts", &ines).await.json();
    let (id, version) = (cards[0]["id"].as_str().unwrap(), cards[0]["version"].as_u64().unwrap());
    let mut account = cards[0]["account"].clone();
    account["role"] = json!("facilitator");
    let url = format!("/api/accounts/{id}");
    let demoted = house.server.put(&url, &ines, &json!({ "after": version, "account": account })).await;
    assert_eq!(demoted.status, 422);
    assert!(demoted.body.contains("the only coordinator who can sign in"), "{}", demoted.body);
    assert_eq!(house.server.delete(&url, &ines, &json!({})).await.status, 422);
    // One who was invited and has not chosen a password does not count.
    let new = json!({ "name": "Odile", "sign_in": "odile", "role": "coordinator", "clinician": null });
    let new = json!({ "account": new, "request": Uuid::now_v7() });
    assert_eq!(house.server.post("/api/accounts", &ines, &new).await.status, 200);
    assert_eq!(house.server.delete(&url, &ines, &json!({})).await.status, 422);
    let (odile, _) = house.colleague(&ines, "Anselm", "coordinator", json!(null)).await;
    assert_eq!(house.server.delete(&url, &odile, &json!({})).await.status, 200);
    assert!(!house.is_in(&ines).await, "an ended account is signed out");
    assert_eq!(house.sign_in("ines", PASSWORD, None).await.status, 401);
}

/// whoever guesses is slowed down, and the owner still gets in from elsewhere.
#[tokio::test]
async fn many_wrong_tries_lock_nobody_out() {
    let house = House::open().await;
    house.ines().await;
    let body = |password: &str| json!({ "name": "ines", "password": password, "code": null });
    let from = async |address: &str, password: &str| {
        house.server.post_from(address, "/api/staff/sign-in", &body(password)).await
    };
    let mut statuses = Vec::new();
    for _ in 0..12 {
        statuses.push(from("203.0.113.9", OTHER).await);
    }
    assert!(statuses.starts_with(&[401; 10]) && statuses.contains(&429), "{statuses:?}");
    assert_eq!(from("203.0.113.9", PASSWORD).await, 429, "guesses are not even compared any more");
    assert_eq!(from("203.0.113.10", PASSWORD).await, 200, "the owner, from another address");
}

/// The account with which things are tried out opens nothing on a server that is meant in earnest.
#[tokio::test]
async fn a_trial_ends_with_the_trial() {
    let folder = tempfile::tempdir().unwrap();
    let server = TestServer::start(folder.path()).await;
    let trial = server.planner().await;
    let me = server.get("/api/staff/me", &trial).await.json();
    // Nothing in a trial makes a password, so nothing of it opens anything afterwards.
    assert_eq!(server.post("/api/staff/codes", &trial, &json!({})).await.status, 403);
    let link = format!("/api/accounts/{}/link", me["id"].as_str().unwrap());
    assert_eq!(server.post(&link, &trial, &json!({})).await.status, 422);
    let link = links::trial_link(&*server.app.store, "", server.app.clock.now()).await.unwrap();
    server.stop().await;
    let server = TestServer::start_in_earnest(folder.path()).await;
    assert_eq!(server.get("/api/staff/me", &trial).await.status, 401);
    let token = link.split("#a.").nth(1).unwrap();
    let open = json!({ "token": token });
    assert_eq!(server.post("/api/staff/open", "", &open).await.status, 404);
    let again = House { server, folder };
    assert!(again.first_token().await.is_some(), "and it is no account that could be the first");
    again.ines().await;
}

/// Whoever signs in where somebody else was signed in long ago does not get their desk.
#[tokio::test]
async fn the_next_person_at_a_computer_finds_no_desk_of_the_last_one() {
    let house = House::open().await;
    let ines = house.ines().await;
    let (_, card) = house.colleague(&ines, "Anselm", "helper", json!(null)).await;
    assert_eq!(card["account"]["role"], "helper");
    let mut desk = house.desk_of(&ines).await;
    house.sql("update signed_in set seen_at_ms = seen_at_ms - 13 * 3600000").await;
    let body = json!({ "name": "anselm", "password": OTHER, "code": null });
    let next = house.server.post("/api/staff/sign-in", &ines, &body).await;
    assert_eq!(next.status, 200, "{}", next.body);
    desk.is_shut().await;
    // To sign out works as late as that, too.
    let again = house.sign_in("ines", PASSWORD, None).await.cookie.unwrap();
    let mut desk = house.desk_of(&again).await;
    house.sql("update signed_in set seen_at_ms = seen_at_ms - 13 * 3600000").await;
    assert_eq!(house.server.post("/api/staff/sign-out", &again, &json!({})).await.status, 200);
    desk.is_shut().await;
}

/// W-12: who read and changed what about people is written down, and never what it was.
#[tokio::test]
async fn reads_of_a_persons_record_are_in_the_audit() {
    let house = House::open().await;
    let ines = house.ines().await;
    let me = house.server.get("/api/staff/me", &ines).await.json();
    house.sign_in("ines", OTHER, None).await;
    let person = json!({ "name": "Canary", "conditions": ["neck"], "decisions": [] });
    let person = house.server.post("/api/planner/people", &ines, &person).await.json();
    let url = format!("/api/planner/people/{}", person["id"].as_str().unwrap());
    house.server.get(&url, &ines).await;
    house.server.get("/api/planner/week", &ines).await;
    house.server.get(&url, "").await;
    let rows = house.server.app.store.audit_after(0).await.unwrap();
    let act = |entry: &samebreath_store::audit::AuditEntry| {
        let who = entry.actor.map(|id| json!(id.0));
        let whom = entry.subject.map(|id| json!(id));
        (entry.act.clone(), who, whom, entry.outcome)
    };
    let acts: Vec<_> = rows.iter().map(|(_, entry)| act(entry)).collect();
    let (ines, ada) = (Some(me["id"].clone()), Some(person["id"].clone()));
    let read = "GET /api/planner/people/{id}";
    assert_eq!(
        acts,
        [
            ("POST /api/staff/first".to_owned(), ines.clone(), None, 200),
            ("POST /api/staff/sign-in".to_owned(), None, None, 401),
            ("POST /api/planner/people".to_owned(), ines.clone(), None, 200),
            (read.to_owned(), ines, ada.clone(), 200),
            (read.to_owned(), None, ada, 401),
        ]
    );
    assert!(!format!("{rows:?}").contains("Canary"));
    let verdict = house.server.app.store.verify_audit().await.unwrap();
    assert!(matches!(verdict, samebreath_store::audit::Verdict::Whole { rows: 5, .. }));
}

/// No password, token or code is kept in the clear, and passwords have a costly hash (R-13, R-16, W-10).
#[tokio::test]
async fn the_database_holds_no_secret_that_opens_anything() {
    let house = House::open().await;
    let token = house.first_token().await.unwrap();
    let made = house.first(&token, Uuid::now_v7()).await;
    let (codes, cookie) = (made.json(), made.cookie.unwrap());
    let value = cookie.split_once('=').unwrap().1.to_owned();
    let codes = codes["codes"].as_array().unwrap().iter();
    let codes = codes.map(|code| code.as_str().unwrap().replace('-', ""));
    let secrets: Vec<String> = codes.chain([token, value, PASSWORD.to_owned()]).collect();
    let House { server, folder } = house;
    server.stop().await;
    let bytes = everything(folder.path());
    assert!(bytes.windows(29).any(|part| part == b"$argon2id$v=19$m=65536,t=3,p="), "the hash is there");
    for secret in secrets {
        assert!(!bytes.windows(secret.len()).any(|part| part == secret.as_bytes()), "{secret}");
    }
}

fn everything(folder: &Path) -> Vec<u8> {
    let files = std::fs::read_dir(folder).unwrap().map(|file| file.unwrap().path());
    files.filter(|file| file.is_file()).flat_map(|file| std::fs::read(file).unwrap()).collect()
}
