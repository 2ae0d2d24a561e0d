//! Who can come in, and what each role may see and do.

use crate::common::TestServer;
use samebreath_core::live::DeskCommand;
use serde_json::json;
use uuid::Uuid;

#[tokio::test]
async fn a_handshake_needs_its_own_origin_and_a_pass() {
    let folder = tempfile::tempdir().unwrap();
    let server = TestServer::start(folder.path()).await;
    let _desk = server.open_desk().await;
    let cookie = server.join("Ann").await;
    let own = format!("http://{}", server.address);
    for foreign in [
        None,
        Some("null"),
        Some("http://evil.example"),
        Some("http://127.0.0.1"),
        Some("https://127.0.0.1:1"),
    ] {
        assert_eq!(server.handshake("seat", &cookie, foreign).await.err(), Some(403), "{foreign:?}");
    }
    assert_eq!(server.handshake("seat", "", Some(&own)).await.err(), Some(401));
    let (name, _) = cookie.split_once('=').unwrap();
    let guessed = format!("{name}=GUESSED");
    assert_eq!(server.handshake("seat", &guessed, Some(&own)).await.err(), Some(401));
    let as_desk = cookie.replace(".1=", ".facilitator=");
    assert_ne!(as_desk, cookie);
    assert_eq!(
        server.handshake("desk", &as_desk, Some(&own)).await.err(),
        Some(401),
        "a seat's pass does not open a desk"
    );
    assert!(server.handshake("seat", &cookie, Some(&own)).await.is_ok());
}

#[tokio::test]
async fn a_desk_link_opens_once_and_a_personal_link_leads_to_the_same_seat() {
    let folder = tempfile::tempdir().unwrap();
    let server = TestServer::start(folder.path()).await;
    let cookie = server.use_link(&server.links.desk).await;
    let token = server.links.desk.split("#p.").nth(1).unwrap();
    assert_eq!(server.post("/api/pass", "", &json!({ "token": token })).await.status, 404);
    let mut desk = server.connect("desk", &cookie).await;
    desk.tell_desk(DeskCommand::Open).await;
    let invited = server
        .post(
            "/api/desk/{stay}/invite",
            &cookie,
            &json!({ "name": { "name": "Ada", "request": Uuid::now_v7() } }),
        )
        .await
        .json();
    let link = invited["path"].as_str().unwrap().to_owned();
    let first = server.connect("seat", &server.use_link(&link).await).await;
    let second = server.connect("seat", &server.use_link(&link).await).await;
    let seat = |text: &String| text.contains("\"seat\":1");
    assert!(first.seen.iter().any(seat) && second.seen.iter().any(seat));
    desk.until(|s| s.desk.as_ref().is_some_and(|d| d.rows.len() == 1)).await;
    assert_eq!(
        server
            .post(
                "/api/desk/{stay}/invite",
                "",
                &json!({ "name": { "name": "Ada", "request": Uuid::now_v7() } })
            )
            .await
            .status,
        401
    );
}

#[tokio::test]
async fn cookies_and_headers_are_strict() {
    let folder = tempfile::tempdir().unwrap();
    let server = TestServer::start(folder.path()).await;
    let _desk = server.open_desk().await;
    let answer = server.post("/api/join", "", &json!({ "code": server.links.code, "name": "Ann" })).await;
    let cookie = answer.set_cookie.unwrap();
    for part in ["HttpOnly", "SameSite=Lax", "Path=/"] {
        assert!(cookie.contains(part), "{cookie}");
    }
    assert!(!cookie.contains("Domain"));
    for path in ["/", "/class", "/desk", "/wall", "/api/me/{stay}", "/nothing"] {
        let answer = server.get(path, "").await;
        let header =
            |name: &str| answer.headers.get(name).map(|v| v.to_str().unwrap().to_owned()).unwrap_or_default();
        let policy = header("content-security-policy");
        assert!(policy.contains("default-src 'none'") && !policy.contains("unsafe"), "{path}: {policy}");
        assert_eq!(header("cache-control"), "no-store", "{path}");
        assert_eq!(header("referrer-policy"), "no-referrer", "{path}");
        assert_eq!(header("x-content-type-options"), "nosniff", "{path}");
    }
}

#[tokio::test]
async fn wrong_joins_say_what_is_wrong() {
    let folder = tempfile::tempdir().unwrap();
    let server = TestServer::start(folder.path()).await;
    let code = server.links.code.clone();
    let check = async |body: serde_json::Value, status: u16, words: &str| {
        let answer = server.post("/api/join", "", &body).await;
        assert_eq!(answer.status, status, "{}", answer.body);
        assert!(answer.body.contains(words), "{}", answer.body);
    };
    check(json!({ "code": code, "name": "Ann" }), 409, "the class is not open").await;
    check(json!({ "code": "7KPM", "name": "Ann" }), 404, "this code has 4 characters").await;
    check(json!({ "code": "7KPM-2XQD", "name": "Ann" }), 404, "no class has this code").await;
    check(json!({ "code": code, "name": "  " }), 422, "the text is empty").await;
    check(json!({ "code": code, "name": "x".repeat(41) }), 422, "has 41 characters; at most 40").await;
    check(json!({ "code": code }), 422, "missing field `name`").await;
    check(json!({ "code": code, "name": "Ann", "seat": 3 }), 422, "unknown field `seat`").await;
    let wrong = json!({ "code": code, "name": "Ann", "request": 7 });
    check(wrong, 422, "request: invalid type").await;
    let _desk = server.open_desk().await;
    let typed = code.to_lowercase().replace('-', " ");
    check(json!({ "code": typed, "name": "Ann" }), 200, ".1\"").await;
}

#[tokio::test]
async fn guessing_is_slowed_and_a_right_code_still_works() {
    let folder = tempfile::tempdir().unwrap();
    let server = TestServer::start(folder.path()).await;
    let _desk = server.open_desk().await;
    let mut last = 404;
    for _ in 0..21 {
        last = server.post("/api/join", "", &json!({ "code": "0000-0000", "name": "Eve" })).await.status;
    }
    assert_eq!(last, 429);
    server.join("Ann").await;
}

#[tokio::test]
async fn requests_of_other_websites_change_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let server = TestServer::start(folder.path()).await;
    let _desk = server.open_desk().await;
    let body = json!({ "code": server.links.code, "name": "Ann" });
    let client = reqwest::Client::builder().no_proxy().build().unwrap();
    for (name, value) in [("origin", "http://evil.example"), ("sec-fetch-site", "cross-site")] {
        let request = client.post(server.url("/api/join")).header(name, value).json(&body);
        assert_eq!(request.send().await.unwrap().status().as_u16(), 403);
    }
    let plain =
        client.post(server.url("/api/join")).header("content-type", "text/plain").body(body.to_string());
    assert_eq!(plain.send().await.unwrap().status().as_u16(), 422, "only JSON is read");
}

#[tokio::test]
async fn each_role_gets_its_own_and_nothing_else() {
    let folder = tempfile::tempdir().unwrap();
    let server = TestServer::start(folder.path()).await;
    let mut desk = server.open_desk().await;
    let ann_cookie = server.join("Ann").await;
    let mut ann = server.connect("seat", &ann_cookie).await;
    let mut ben = server.seat("Ben").await;
    let mut wall = server.connect("wall", &server.use_link(&server.links.wall).await).await;
    assert_eq!(ann.tell_desk(DeskCommand::Start).await.as_deref(), Some("not_yours"));
    desk.tell_desk(DeskCommand::Start).await;
    let place = "SECRETPLACE";
    let answers =
        json!({ "do": "check_in", "answers": { "feeling": "well", "easier": false, "place": place } });
    ben.tell("seat", Uuid::now_v7(), answers).await;
    let report = json!({ "do": "report", "report": Uuid::now_v7(),
        "said": { "where": "neck", "urgent": "faint", "words": "SECRETWORDS" } });
    ben.tell("seat", Uuid::now_v7(), report).await;
    desk.until(|s| s.seen.last().is_some_and(|text| text.contains("SECRETWORDS") && text.contains(place)))
        .await;
    // One more stage for all screens, after everything that the report caused.
    desk.tell_desk(DeskCommand::GoTo { step: samebreath_core::live::StepId(4) }).await;
    for screen in [&mut ann, &mut wall] {
        screen.until(|s| s.stage.as_ref().is_some_and(|stage| stage.number == 4)).await;
        let secrets = ["SECRETPLACE", "SECRETWORDS", "Ben", "\"kind\":\"desk\"", "PRIVATENOTE"];
        for text in &screen.seen {
            assert!(secrets.iter().all(|secret| !text.contains(secret)), "{text}");
        }
    }
    assert_eq!(server.get("/api/desk/{stay}/sheet", &ann_cookie).await.status, 403);
    let as_desk = ann_cookie.replace(".1=", ".facilitator=");
    assert_eq!(server.get("/api/desk/{stay}/sheet", &as_desk).await.status, 401);
    let early = server.get("/api/content/{stay}/2/0", &ann_cookie).await;
    assert_eq!(early.status, 404, "the stage does not name this step yet");
    let now = server.get("/api/content/{stay}/4/0", &ann_cookie).await;
    assert_eq!(now.status, 200);
    wall.send(json!({ "kind": "seat", "id": Uuid::now_v7(), "command": { "do": "go_on" } })).await;
    assert_eq!(wall.until_closed().await, 4003, "a wall gives no commands");
}

#[tokio::test]
async fn what_is_no_message_ends_the_socket() {
    let folder = tempfile::tempdir().unwrap();
    let server = TestServer::start(folder.path()).await;
    let _desk = server.open_desk().await;
    let mut ann = server.seat("Ann").await;
    ann.send(json!({ "kind": "fly" })).await;
    assert_eq!(ann.until_closed().await, 4002);
    let mut dot = server.seat("Dot").await;
    let old = json!({ "do": "report", "report": Uuid::now_v7(), "part": "neck" });
    let refused = dot.tell("seat", Uuid::now_v7(), old).await;
    assert_eq!(refused.as_deref(), Some("unreadable"), "a command of another version is answered");
    let mut ben = server.seat("Ben").await;
    ben.send(json!("x".repeat(20_000))).await;
    assert_eq!(ben.until_closed().await, 1009, "the message is larger than allowed");
}

#[tokio::test]
async fn health_says_nothing_but_health() {
    let folder = tempfile::tempdir().unwrap();
    let server = TestServer::start(folder.path()).await;
    assert_eq!(server.get("/healthz", "").await.body, "alive");
    assert_eq!(server.get("/readyz", "").await.body, "ready");
    assert_eq!(server.get("/metrics", "").await.status, 404, "metrics have their own listener");
    server.shutdown.cancel();
}

#[tokio::test]
async fn pages_are_compressed_and_what_is_private_is_not() {
    let folder = tempfile::tempdir().unwrap();
    let server = TestServer::start(folder.path()).await;
    let encoding = async |path: &str, cookie: &str| {
        let path = path.replace("{stay}", &crate::common::stay_of(cookie).unwrap_or_default());
        let request = reqwest::Client::builder().no_proxy().build().unwrap().get(server.url(&path));
        let answer = request.header("accept-encoding", "br").header("cookie", cookie).send().await.unwrap();
        assert_eq!(answer.status(), 200, "{path}");
        answer.headers().get("content-encoding").map(|value| value.to_str().unwrap().to_owned())
    };
    assert_eq!(encoding("/class", "").await.as_deref(), Some("br"));
    // Scripts were packed when the program was built; whoever does not read that gets them as they are.
    let page = server.get("/class", "").await.body;
    let script = page.split("src=\"").nth(1).and_then(|rest| rest.split('"').next()).unwrap();
    let fetched = async |accepts: &'static str| {
        let request = reqwest::Client::builder().no_proxy().build().unwrap().get(server.url(script));
        let answer = request.header("accept-encoding", accepts).send().await.unwrap();
        let header = |name| answer.headers().get(name).map(|value| value.to_str().unwrap().to_owned());
        let (coding, varies) = (header("content-encoding"), header("vary"));
        (coding, varies.is_some_and(|by| by.contains("accept-encoding")), answer.bytes().await.unwrap())
    };
    let (coding, varies, packed) = fetched("gzip, deflate, br").await;
    assert_eq!((coding.as_deref(), varies), (Some("br"), true));
    let (coding, _, plain) = fetched("br;q=0").await;
    assert_eq!(coding, None);
    assert!(plain.len() > 2 * packed.len(), "{} against {}", plain.len(), packed.len());
    assert!(std::str::from_utf8(&plain).is_ok_and(|text| text.contains("import")), "it is the script");
    let (coding, varies, _) = fetched("gzip").await;
    assert_eq!((coding.as_deref(), varies), (Some("gzip"), true));
    let desk = server.use_link(&server.links.desk).await;
    assert_eq!(encoding("/api/desk/{stay}/sheet", &desk).await, None);
}

#[tokio::test]
async fn a_request_that_is_no_handshake_is_told_what_it_must_be() {
    let folder = tempfile::tempdir().unwrap();
    let server = TestServer::start(folder.path()).await;
    let desk = server.open_desk().await;
    let client = reqwest::Client::builder().no_proxy().build().unwrap();
    let origin = format!("http://{}", server.address);
    let base = client
        .get(server.url(&format!("/ws/{}", crate::common::stay_of(&desk.cookie).unwrap())))
        .header("cookie", &desk.cookie)
        .header("origin", &origin);
    // RFC 6455, sections 4.2.2 and 4.4: an unknown version is answered with 426 and the version that the server
    // speaks.
    let handshake = base
        .try_clone()
        .unwrap()
        .header("connection", "Upgrade")
        .header("upgrade", "websocket")
        .header("sec-websocket-key", "dGhlIHNhbXBsZSBub25jZQ==")
        .header("sec-websocket-version", "12");
    for (request, why) in [
        (base.try_clone().unwrap(), "subprotocol"),
        (base.header("sec-websocket-protocol", "samebreath.v2"), "onnection"),
        (handshake.header("sec-websocket-protocol", "other, samebreath.v2"), "ersion"),
    ] {
        let answer = request.send().await.unwrap();
        assert_eq!(answer.status(), 426);
        assert_eq!(answer.headers()["sec-websocket-version"], "13");
        let text = answer.text().await.unwrap();
        assert!(text.contains(why), "{text}");
    }
}
