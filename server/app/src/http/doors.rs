//! Who may ask for what: one table of all routes. A route that is not in it answers nobody.

use axum::extract::{FromRequestParts, MatchedPath, Request, State};
use axum::http::StatusCode;
use axum::http::request::Parts;
use axum::http::{HeaderMap, Method};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use samebreath_core::staff::may::{Act, Whose};

use crate::access::caller::Caller;
use crate::access::staff::{self, Staff};
use crate::app::App;
use crate::failure::Failure;
use crate::http::ask::{Reply, Shared};
use crate::http::audit::{self, Acting, Over};

/// Who may ask for a route.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Door {
    /// Anybody. The handler checks what the request brings along: a code, a link, a password, a pass.
    Open,
    /// Whoever is signed in and may do this, at least with something of their own. The handler checks whose it is.
    May(Act),
    /// As before, and they must have proved a moment ago who they are.
    Grave(Act),
}

use Act::{
    Enrol, Erase, Help, MakeGroup, Plan, ReadLibrary, RunAccounts, Schedule, SeeWeek, ShareLinks, WriteRounds,
};
use Door::{Grave, May, Open};

/// Every route with its method and its door.
pub const DOORS: &[(&str, &str, Door)] = &[
    ("GET", "/healthz", Open),
    ("GET", "/readyz", Open),
    ("GET", "/api/openapi.json", Open),
    // Coming in, and what has a pass for a stay.
    ("POST", "/api/entry", Open),
    ("POST", "/api/join", Open),
    ("POST", "/api/pass", Open),
    ("GET", "/api/me", Open),
    ("GET", "/api/me/{stay}", Open),
    ("GET", "/api/content/{stay}/{step}/{rev}", Open),
    ("POST", "/api/commands/{stay}", Open),
    ("GET", "/ws/{stay}", Open),
    ("GET", "/api/desk/{stay}/sheet", Open),
    ("GET", "/api/desk/{stay}/person/{seat}", Open),
    ("GET", "/api/desk/{stay}/clearing", Open),
    ("POST", "/api/desk/{stay}/invite", Open),
    ("POST", "/api/desk/{stay}/handover", Open),
    ("GET", "/api/desk/{stay}/after", Open),
    ("GET", "/api/desk/{stay}/incidents.csv", Open),
    // A person's own page, by their link.
    ("POST", "/api/own/look", Open),
    ("POST", "/api/own/open", Open),
    ("GET", "/api/own/{link}", Open),
    ("GET", "/api/own/{link}/sheets", Open),
    ("POST", "/api/own/{link}/class", Open),
    ("POST", "/api/own/{link}/word", Open),
    ("POST", "/api/own/{link}/practice", Open),
    ("POST", "/api/own/{link}/done", Open),
    ("GET", "/calendar/{token}", Open),
    // Signing in.
    ("POST", "/api/staff/link", Open),
    ("POST", "/api/staff/first", Open),
    ("POST", "/api/staff/password-by-link", Open),
    ("POST", "/api/staff/open", Open),
    ("POST", "/api/staff/sign-in", Open),
    ("POST", "/api/staff/recover", Open),
    ("POST", "/api/staff/passkey-sign-in", Open),
    ("POST", "/api/staff/passkey-sign-in/answer", Open),
    ("GET", "/api/staff/ways", Open),
    ("POST", "/api/staff/provider", Open),
    ("POST", "/api/staff/provider/answer", Open),
    // Also for whoever has not used this browser for long.
    ("POST", "/api/staff/sign-out", Open),
    // One's own account.
    ("GET", "/api/staff/me", May(SeeWeek)),
    ("POST", "/api/staff/again", May(SeeWeek)),
    ("POST", "/api/staff/sign-out-others", May(SeeWeek)),
    ("POST", "/api/staff/sign-out/{id}", May(SeeWeek)),
    ("POST", "/api/staff/password", May(SeeWeek)),
    ("POST", "/api/staff/codes", Grave(SeeWeek)),
    ("POST", "/api/staff/second", Grave(SeeWeek)),
    ("PUT", "/api/staff/second", Grave(SeeWeek)),
    ("DELETE", "/api/staff/second", Grave(SeeWeek)),
    ("GET", "/api/staff/passkeys", May(SeeWeek)),
    ("POST", "/api/staff/passkeys", Grave(SeeWeek)),
    ("POST", "/api/staff/passkeys/made", Grave(SeeWeek)),
    ("DELETE", "/api/staff/passkeys/{key}", Grave(SeeWeek)),
    ("POST", "/api/staff/identity", Grave(SeeWeek)),
    ("DELETE", "/api/staff/identity", Grave(SeeWeek)),
    ("GET", "/api/staff/calendar", May(SeeWeek)),
    ("POST", "/api/staff/calendar", Grave(SeeWeek)),
    ("DELETE", "/api/staff/calendar/{link}", May(SeeWeek)),
    // Everybody's accounts.
    ("GET", "/api/colleagues", May(Schedule)),
    ("GET", "/api/accounts", May(RunAccounts)),
    ("POST", "/api/accounts", Grave(RunAccounts)),
    ("PUT", "/api/accounts/{id}", Grave(RunAccounts)),
    ("POST", "/api/accounts/{id}/link", Grave(RunAccounts)),
    ("DELETE", "/api/accounts/{id}", Grave(RunAccounts)),
    // How long things are kept.
    ("GET", "/api/retention", May(Erase)),
    ("PUT", "/api/retention", Grave(Erase)),
    // Sums for those who fund the organisation.
    ("GET", "/api/sums", May(Act::ReadSums)),
    ("GET", "/api/sums.csv", May(Act::ReadSums)),
    // Planning.
    ("GET", "/api/planner/library", May(ReadLibrary)),
    ("POST", "/api/planner/preview", May(ReadLibrary)),
    ("POST", "/api/planner/look", May(Plan)),
    ("GET", "/api/planner/plans", May(Plan)),
    ("POST", "/api/planner/plans", May(Plan)),
    ("GET", "/api/planner/plans/{id}", May(Plan)),
    ("PUT", "/api/planner/plans/{id}", May(Plan)),
    ("DELETE", "/api/planner/plans/{id}", May(Plan)),
    ("GET", "/api/planner/plans/{id}/plan.toml", May(Plan)),
    ("GET", "/api/planner/rounds", May(ReadLibrary)),
    ("POST", "/api/planner/rounds", May(WriteRounds)),
    ("POST", "/api/planner/rounds/look", May(WriteRounds)),
    ("GET", "/api/planner/rounds/{id}", May(ReadLibrary)),
    ("PUT", "/api/planner/rounds/{id}", May(WriteRounds)),
    ("DELETE", "/api/planner/rounds/{id}", May(WriteRounds)),
    // Groups, people and the week.
    ("GET", "/api/planner/groups", May(Schedule)),
    ("POST", "/api/planner/groups", May(MakeGroup)),
    ("POST", "/api/planner/groups/look", May(Schedule)),
    ("GET", "/api/planner/groups/{id}", May(Schedule)),
    ("PUT", "/api/planner/groups/{id}", May(Schedule)),
    ("DELETE", "/api/planner/groups/{id}", May(Schedule)),
    ("GET", "/api/planner/groups/{id}/class.ics", May(Schedule)),
    ("POST", "/api/planner/groups/{id}/letters", May(Schedule)),
    ("GET", "/api/planner/groups/{id}/attendance", May(Act::ReadHealth)),
    ("GET", "/api/planner/groups/{id}/records/{file}", Grave(Act::ReadHealth)),
    ("GET", "/api/planner/groups/{id}/fhir.json", Grave(Act::ReadHealth)),
    ("GET", "/api/planner/groups/{id}/home-classes", May(Act::ReadHealth)),
    ("POST", "/api/planner/plans/{id}/home-class", May(Act::ReadHealth)),
    ("POST", "/api/planner/plans/{id}/home-class/look", May(Act::ReadHealth)),
    ("DELETE", "/api/planner/home-classes/{id}", May(Act::ReadHealth)),
    ("GET", "/api/planner/people", May(Enrol)),
    ("POST", "/api/planner/people", May(Enrol)),
    ("GET", "/api/planner/people/{id}", May(Enrol)),
    ("PUT", "/api/planner/people/{id}", May(Enrol)),
    ("DELETE", "/api/planner/people/{id}", May(Enrol)),
    ("GET", "/api/planner/people/{id}/links", May(Enrol)),
    ("POST", "/api/planner/people/{id}/links", Grave(Enrol)),
    ("DELETE", "/api/planner/people/{id}/links/{link}", May(Enrol)),
    ("GET", "/api/planner/people/{id}/letters", May(Enrol)),
    ("POST", "/api/planner/people/{id}/links/{link}/letter", Grave(Enrol)),
    ("GET", "/api/planner/people/{id}/erasure", Grave(Erase)),
    ("POST", "/api/planner/people/{id}/erasure", Grave(Erase)),
    ("PUT", "/api/planner/people/{id}/hold", Grave(Erase)),
    ("DELETE", "/api/planner/people/{id}/hold", Grave(Erase)),
    ("GET", "/api/planner/week", May(SeeWeek)),
    ("GET", "/api/planner/today", May(SeeWeek)),
    // Classes.
    ("GET", "/api/planner/classes", May(SeeWeek)),
    ("GET", "/api/planner/unreadable", May(Plan)),
    ("POST", "/api/planner/plans/{id}/class", May(Act::Lead)),
    ("POST", "/api/planner/classes/{id}/links", May(ShareLinks)),
    ("POST", "/api/planner/classes/{id}/desk", May(Help)),
    ("GET", "/api/planner/classes/{id}/sheets", May(Act::ReadHealth)),
    // Notes after a class.
    ("GET", "/api/planner/classes/{id}/notes", May(Act::ReadHealth)),
    ("PUT", "/api/planner/classes/{id}/note", May(Act::Sign)),
    ("POST", "/api/planner/classes/{id}/note", Grave(Act::Sign)),
    ("PUT", "/api/planner/people/{id}/notes/{class}", May(Act::Sign)),
    ("POST", "/api/planner/people/{id}/notes/{class}", Grave(Act::Sign)),
    ("POST", "/api/planner/notes/{id}/added", Grave(Act::Sign)),
    ("GET", "/api/planner/people/{id}/progress", May(Act::ReadHealth)),
    ("GET", "/api/planner/people/{id}/copy.zip", Grave(Act::Sign)),
    ("GET", "/api/planner/people/{id}/fhir.json", Grave(Act::Sign)),
];

/// Doors that are knocked at before anything is done.
const ASKS_ONLY: [&str; 4] =
    ["/api/staff/link", "/api/staff/ways", "/api/staff/passkey-sign-in", "/api/staff/provider"];

/// Whether requests of a route are written down. Plans and rounds are no record of anybody; what a page works out, or
/// asks for by itself every minute, is no act.
fn is_kept(method: &str, path: &str, door: Door) -> bool {
    let is_reading = method == "GET";
    match door {
        Grave(_) | May(Act::Enrol | Act::RunAccounts | Act::ReadHealth | Act::ReadSums) => true,
        May(Act::Schedule | Act::MakeGroup | Act::Lead | Act::Help | Act::ShareLinks) => {
            !is_reading && !path.ends_with("/look")
        }
        // A draft is saved with every few words.
        May(_) => path.starts_with("/api/staff/") && !is_reading,
        Open => path.starts_with("/api/staff/") && !ASKS_ONLY.contains(&path),
    }
}

/// Lets a request through its door, and tells the handler who is signed in.
pub(crate) async fn open(State(app): Shared, request: Request, next: Next) -> Response {
    let path = request.extensions().get::<MatchedPath>().map(|path| path.as_str().to_owned());
    let method = if request.method() == Method::HEAD { Method::GET } else { request.method().clone() };
    let at = |(_, known, _): &&(&str, &str, Door)| path.as_deref() == Some(*known);
    let Some((_, _, door)) = DOORS.iter().filter(at).find(|(known, ..)| *known == method.as_str()) else {
        let known = DOORS.iter().any(|door| at(&door));
        return if known {
            StatusCode::METHOD_NOT_ALLOWED.into_response()
        } else {
            Failure::NotFound.into_response()
        };
    };
    let kept = is_kept(method.as_str(), path.as_deref().unwrap_or_default(), *door);
    let (acting, subject) = (Acting::default(), audit::subject(&request));
    let (mut parts, body) = request.into_parts();
    let caller = Caller::from_request_parts(&mut parts, &app).await.unwrap_or_else(|never| match never {});
    let mut request = Request::from_parts(parts, body);
    let response = match through(&app, *door, &acting, request.headers()).await {
        Ok(staff) => {
            request.extensions_mut().insert(acting.clone());
            request.extensions_mut().extend(staff.map(extension).unwrap_or_default());
            next.run(request).await
        }
        Err(failure) => failure.into_response(),
    };
    if kept {
        let act = format!("{method} {}", path.unwrap_or_default());
        audit::write(&app, Over { acting, act, subject, caller, outcome: response.status() }).await;
    }
    response
}

fn extension(staff: Staff) -> axum::http::Extensions {
    let mut extensions = axum::http::Extensions::new();
    extensions.insert(staff);
    extensions
}

async fn through(app: &App, door: Door, acting: &Acting, headers: &HeaderMap) -> Reply<Option<Staff>> {
    let (act, is_grave) = match door {
        Open => return Ok(None),
        May(act) => (act, false),
        Grave(act) => (act, true),
    };
    let site = (&app.site, app.is_trial);
    let staff = staff::find(headers, site, &*app.store, app.clock.now()).await?;
    let staff = staff.ok_or(Failure::NotSignedIn)?;
    // Whoever is refused is written down too.
    acting.is(staff.id());
    if !staff.account().may(act, Whose::Own) {
        return Err(if act == Act::Sign { Failure::NotClinician } else { Failure::Forbidden });
    }
    if is_grave && !staff.is_proved {
        return Err(Failure::ProveAgain);
    }
    Ok(Some(staff))
}

impl FromRequestParts<std::sync::Arc<App>> for Staff {
    type Rejection = Failure;

    async fn from_request_parts(parts: &mut Parts, _: &std::sync::Arc<App>) -> Result<Self, Failure> {
        parts.extensions.get::<Self>().cloned().ok_or(Failure::NotSignedIn)
    }
}
