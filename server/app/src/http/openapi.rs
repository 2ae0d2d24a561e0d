//! The interface, described for other programs (OpenAPI 3.1). They may call what signs in and whatever is handed out as a file
//! or a table. The rest is named too, and who may call it; it is the pages' own and changes with them.

use std::sync::Arc;

use axum::extract::State;
use axum::routing::get;
use axum::{Json, Router};
use serde_json::{Map, Value, json};

use crate::access::staff::cookie_name;
use crate::app::App;
use crate::export::records::FILES;
use crate::http::ask::Shared;
use crate::http::doors::{DOORS, Door};

pub(crate) fn routes() -> Router<Arc<App>> {
    Router::new().route("/api/openapi.json", get(description))
}

/// What may be read: its path, what it is, and as what it comes.
#[rustfmt::skip]
const READ: &[(&str, &str, &[&str])] = &[
    ("/healthz", "Whether the server runs", &["text/plain"]),
    ("/readyz", "Whether the server takes requests and can write", &["text/plain"]),
    ("/calendar/{token}", "A person's or a colleague's calendar (RFC 5545), by a link that was made for it", &["text/calendar"]),
    ("/api/sums", "Sums of a period, in which nobody is found", &["application/json"]),
    ("/api/sums.csv", "The same as a table", &["text/csv"]),
    ("/api/planner/plans/{id}/plan.toml", "A plan as a file", &["application/toml"]),
    ("/api/planner/groups", "The groups", &["application/json"]),
    ("/api/planner/people", "The people", &["application/json"]),
    ("/api/planner/groups/{id}/class.ics", "The classes of a group as a calendar file (RFC 5545)", &["text/calendar"]),
    ("/api/planner/groups/{id}/attendance", "Who came to the last classes of a group", &["application/json"]),
    ("/api/planner/groups/{id}/records/{file}", "What the classes of a group were: tables, and all of them as JSON with its schema",
        &["text/csv", "application/json"]),
    ("/api/planner/groups/{id}/fhir.json", "The same as a bundle of FHIR R4", &["application/fhir+json"]),
    ("/api/planner/people/{id}/progress", "A person over their classes", &["application/json"]),
    ("/api/planner/people/{id}/copy.zip", "A person's own copy of all that is kept of them", &["application/zip"]),
    ("/api/planner/people/{id}/fhir.json", "A person's records as a bundle of FHIR R4", &["application/fhir+json"]),
];

/// What other programs may rely on.
const FOR_PROGRAMS: &str = "For other programs";
/// What they may not.
const OF_PAGES: &str = "Of the pages, and changing with them";

async fn description(State(app): Shared) -> Json<Value> {
    Json(of_site(&cookie_name(&app.site)))
}

fn of_site(cookie: &str) -> Value {
    let mut paths: Map<String, Value> = Map::new();
    for (method, path, door) in DOORS {
        let described = READ.iter().find(|(known, ..)| (*method, *path) == ("GET", *known));
        let operation = match (*path, described) {
            ("/api/staff/sign-in", _) => sign_in(),
            (_, Some((_, what, kinds))) => operation(path, *door, what, kinds),
            (_, None) => of_pages(path, *door),
        };
        let methods = paths.entry((*path).to_owned()).or_insert_with(|| json!({}));
        methods[method.to_lowercase()] = operation;
    }
    json!({
        "openapi": "3.1.0",
        "info": {
            "title": "Samebreath",
            "version": env!("CARGO_PKG_VERSION"),
            "description": "What other programs may call. Sign in with an account of its own, which may do no more than it must. \
                Whatever is read of people is in the audit.",
        },
        "paths": paths,
        "components": {
            "securitySchemes": {
                "account": { "type": "apiKey", "in": "cookie", "name": cookie },
                "place": {
                    "type": "apiKey",
                    "in": "cookie",
                    "name": "pass",
                    "description": "The cookie of a place in a class or of a person's own page; each has a name of its own.",
                },
            },
            "schemas": {
                "Problem": {
                    "type": "object",
                    "required": ["code", "text"],
                    "properties": {
                        "code": { "type": "string", "description": "What was wrong, for programs." },
                        "text": { "type": "string", "description": "What was wrong and what would be right, for people." },
                    },
                },
            },
        },
    })
}

fn operation(path: &str, door: Door, what: &str, kinds: &[&str]) -> Value {
    let content: Map<String, Value> = kinds.iter().map(|kind| ((*kind).to_owned(), json!({}))).collect();
    let answer = json!({ "description": what, "content": content });
    json!({
        "summary": what,
        "tags": [FOR_PROGRAMS],
        "parameters": parameters(path),
        "security": security(path, door),
        "responses": responses(path, door, answer),
    })
}

/// What only the pages call.
fn of_pages(path: &str, door: Door) -> Value {
    json!({
        "tags": [OF_PAGES],
        "parameters": parameters(path),
        "security": security(path, door),
        "responses": responses(path, door, json!({ "description": "What the page asked for." })),
    })
}

/// What is open to whoever has a cookie for the place in its path.
fn has_pass(path: &str) -> bool {
    path.contains("{stay}") || path.contains("/own/{link}")
}

fn security(path: &str, door: Door) -> Value {
    match door {
        Door::Open if has_pass(path) => json!([{ "place": [] }]),
        Door::Open => json!([]),
        Door::May(_) | Door::Grave(_) => json!([{ "account": [] }]),
    }
}

fn responses(path: &str, door: Door, answer: Value) -> Map<String, Value> {
    let mut responses = Map::from_iter([("200".to_owned(), answer)]);
    let mut refused = |status: &str, why: &str| responses.insert(status.to_owned(), problem(why));
    if path.contains('{') {
        refused("404", "There is nothing of this name.");
    }
    if !parameters(path).is_empty() {
        refused("400", "A part of the address is not what it must be.");
    }
    if door == Door::Open && has_pass(path) {
        refused("401", "This browser has no pass for the place.");
    }
    if door != Door::Open {
        refused("401", "Nobody is signed in.");
        refused(
            "403",
            "This account may not do it; with the code `prove_again`, it must first prove again who it is.",
        );
    }
    responses
}

fn parameters(path: &str) -> Vec<Value> {
    let names = path.split('/').filter_map(|part| part.strip_prefix('{')?.strip_suffix('}'));
    let in_path = names.map(|name| {
        let schema = match name {
            "id" => json!({ "type": "string", "format": "uuid" }),
            "file" => json!({ "enum": FILES }),
            _ => json!({ "type": "string" }),
        };
        json!({ "name": name, "in": "path", "required": true, "schema": schema })
    });
    let query: &[(&str, &str, Value)] = if path.ends_with("/fhir.json") {
        &[("names", "Whether people's names go along.", json!({ "type": "boolean", "default": false }))]
    } else if path.starts_with("/api/sums") {
        &[
            ("from", "The first day; without one, a quarter of a year before the last.", day()),
            ("to", "The last day; without one, today.", day()),
            ("below", "Counts of people below this are hidden.", json!({ "type": "integer" })),
        ]
    } else {
        &[]
    };
    let in_query = query.iter().map(|(name, what, schema)| {
        json!({ "name": name, "in": "query", "required": false, "description": what, "schema": schema })
    });
    in_path.chain(in_query).collect()
}

fn day() -> Value {
    json!({ "type": "string", "format": "date" })
}

fn problem(why: &str) -> Value {
    let schema = json!({ "$ref": "#/components/schemas/Problem" });
    json!({ "description": why, "content": { "application/json": { "schema": schema } } })
}

fn sign_in() -> Value {
    let text = json!({ "type": "string" });
    let body = json!({
        "type": "object",
        "required": ["name", "password"],
        "properties": { "name": text, "password": text, "code": { "type": ["string", "null"] } },
    });
    json!({
        "tags": [FOR_PROGRAMS],
        "summary": "Signs in; the answer sets the cookie. The origin of the request must be this server.",
        "security": [],
        "requestBody": { "required": true, "content": { "application/json": { "schema": body } } },
        "responses": {
            "200": { "description": "Signed in, or that the code of the second factor is needed too", "content": { "application/json": {} } },
            "401": problem("The name, the password or the code is not right."),
            "429": problem("There were too many tries."),
        },
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// W-48: every route is in it. Whatever is handed out as a file is described, and what is described can be asked for.
    #[test]
    fn every_route_is_in_it_and_every_file_is_described() {
        let whole = of_site("staff");
        for (method, path, _) in DOORS {
            assert!(whole["paths"][path][method.to_lowercase()].is_object(), "{method} {path}");
        }
        for (path, ..) in READ {
            assert!(DOORS.iter().any(|(method, known, _)| (*method, *known) == ("GET", *path)), "{path}");
        }
        let is_file = |path: &str| {
            [".csv", ".zip", ".json", ".ics", ".toml", "{file}"].iter().any(|end| path.ends_with(end))
        };
        // The first is this description, the second a desk's own.
        let others = ["/api/openapi.json", "/api/desk/{stay}/incidents.csv"];
        for (_, path, _) in DOORS.iter().filter(|(_, path, _)| is_file(path) && !others.contains(path)) {
            assert!(READ.iter().any(|(known, ..)| known == path), "{path}");
        }
    }
}
