//! What a host types about accounts and the audit, beside a real server and without one.

use std::io::{BufRead, BufReader};
use std::process::{Child, Command, Stdio};

use crate::common::program::run;
use serde_json::{Value, json};
use uuid::Uuid;

/// A server, and the links that it printed.
fn serve(args: &[&str], data: &str) -> (Child, Value) {
    let mut server = Command::new(env!("CARGO_BIN_EXE_samebreath"))
        .args(args)
        .args(["--listen", "127.0.0.1:0", "--json", "--data", data])
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    let mut first = String::new();
    BufReader::new(server.stdout.take().unwrap()).read_line(&mut first).unwrap();
    (server, serde_json::from_str(&first).unwrap())
}

fn token(link: &str) -> String {
    link.trim().split("#a.").nth(1).unwrap_or_else(|| panic!("{link}")).to_owned()
}

async fn post(links: &Value, path: &str, body: &Value) -> (u16, String) {
    let url = format!("http://{}{path}", links["listens_on"].as_str().unwrap());
    let client = reqwest::Client::builder().no_proxy().build().unwrap();
    let answer = client.post(url).json(body).send().await.unwrap();
    let cookie = answer.headers().get("set-cookie").map(|cookie| cookie.to_str().unwrap().to_owned());
    (answer.status().as_u16(), cookie.unwrap_or_default())
}

async fn is_in(links: &Value, cookie: &str) -> bool {
    let url = format!("http://{}/api/staff/me", links["listens_on"].as_str().unwrap());
    let client = reqwest::Client::builder().no_proxy().build().unwrap();
    let pair = cookie.split(';').next().unwrap();
    client.get(url).header("cookie", pair).send().await.unwrap().status() == 200
}

/// W-01, W-03 and W-12 as commands.
#[tokio::test]
async fn a_host_lets_staff_in_again_and_checks_who_did_what() {
    let folder = tempfile::tempdir().unwrap();
    let data = folder.path().join("data").to_str().unwrap().to_owned();
    let (well, said) = run(&["account", "--data", &data, "first"]);
    assert!(!well && said.contains("there is no database in"), "{said}");
    let (mut server, links) = serve(&["serve"], &data);
    // The link that was printed is replaced by one that the host asks for.
    let (well, said) = run(&["account", "--data", &data, "first"]);
    assert!(well, "{said}");
    let first = |token: String| {
        json!({ "token": token, "name": "Ines", "sign_in": "Ines", "clinician": null,
            "password": "lamp otter sill mango", "request": Uuid::now_v7() })
    };
    let old = first(token(links["staff"]["first"].as_str().unwrap()));
    assert_eq!(post(&links, "/api/staff/first", &old).await.0, 404);
    let (status, cookie) = post(&links, "/api/staff/first", &first(token(&said))).await;
    assert_eq!(status, 200);
    let (well, said) = run(&["account", "--data", &data, "first"]);
    assert!(!well && said.contains("there is an account already"), "{said}");
    let (well, said) = run(&["account", "--data", &data, "reset", "inez"]);
    assert!(!well && said.contains("the sign-in names are: Ines"), "{said}");
    let (well, said) =
        run(&["account", "--data", &data, "--public-url", "https://class.example", "reset", "INES"]);
    assert!(well && said.starts_with("https://class.example/sign-in#a."), "{said}");
    assert!(is_in(&links, &cookie).await, "until the link is used");
    let choice =
        json!({ "token": token(&said), "password": "quiet harbour seven pens", "request": Uuid::now_v7() });
    assert_eq!(post(&links, "/api/staff/password-by-link", &choice).await.0, 200);
    assert!(!is_in(&links, &cookie).await, "signed out everywhere else");
    let (well, said) = run(&["audit", "--data", &data, "verify"]);
    assert!(well && said.contains("3 acts, none changed or left out; the last is "), "{said}");
    let (well, said) = run(&["audit", "--data", &data, "list"]);
    let lines: Vec<_> = said.lines().collect();
    assert!(well && lines.len() == 3, "{said}");
    assert!(lines[2].contains("\tInes\tPOST /api/staff/password-by-link\t-\t200\t127.0.0.1"), "{said}");
    server.kill().unwrap();
    server.wait().unwrap();
    let (well, said) = run(&["account", "--data", &data, "reset", "ines"]);
    assert!(well && said.starts_with("http://127.0.0.1:8787/sign-in#a."), "without a server too: {said}");
    // Where staff have accounts, they sign in for a rehearsal too.
    let plan = concat!(env!("CARGO_MANIFEST_DIR"), "/../plans/gentle-half-hour.toml");
    let (mut server, links) = serve(&["rehearse", plan], &data);
    assert!(links["staff"]["sign_in"].as_str().is_some_and(|link| link.ends_with("/sign-in")), "{links}");
    server.kill().unwrap();
    server.wait().unwrap();
}
