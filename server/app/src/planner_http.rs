//! What the planner asks for by plain requests: the library, plans, what a draft adds up to, a drill to
//! look at, and a class to begin.

use std::sync::Arc;

use axum::extract::{Path, State};
use axum::http::{HeaderMap, HeaderValue, header};
use axum::response::IntoResponse;
use axum::routing::{get, post};
use axum::{Json, Router};
use axum_extra::extract::cookie::CookieJar;
use samebreath_core::advice::advise;
use samebreath_core::draft::{self, Draft, DraftStep};
use samebreath_core::drill::Drill;
use samebreath_core::file::Source;
use samebreath_core::live::{Content, LiveStep};
use samebreath_core::plan::{self, Step, StepRequest};
use samebreath_core::rules::{CONDITIONS, Rule};
use samebreath_core::timeline::{self, READY_MS};
use samebreath_store::plans::PlanEntry;
use samebreath_wire::PassRequest;
use samebreath_wire::planner::{
    BeginClass, ClassLinks, ClueCard, DrillCard, LibraryBook, Look, NewPlan, PlanCard, PlanDoc, SavePlan,
    SavedPlan, StepLook, TemplateCard,
};
use uuid::Uuid;

use crate::app::{App, Body, Failure};
use crate::http::{Answer, Shared};
use crate::settings::Cast;
use crate::{begin, content, passes, rehearsal, token};

/// The planner's routes.
pub(crate) fn routes() -> Router<Arc<App>> {
    Router::new()
        .route("/api/planner/pass", post(use_link))
        .route("/api/planner/library", get(library))
        .route("/api/planner/plans", get(plans).post(new_plan))
        .route("/api/planner/plans/{id}", get(one_plan).put(save))
        .route("/api/planner/plans/{id}/plan.toml", get(plan_file))
        .route("/api/planner/plans/{id}/class", post(begin_class))
        .route("/api/planner/look", post(look))
        .route("/api/planner/preview", post(preview))
}

async fn may_plan(app: &App, headers: &HeaderMap) -> Answer<()> {
    let may = passes::may_plan(headers, app.is_secure(), &app.store, app.clock.now()).await?;
    if may { Ok(()) } else { Err(Failure::NoPass) }
}

/// Uses the planner's link: the browser gets a cookie, and the link does not work any more.
async fn use_link(
    State(app): Shared,
    jar: CookieJar,
    Body(request): Body<PassRequest>,
) -> Answer<(CookieJar, Json<()>)> {
    let now = app.clock.now();
    if !app.store.use_planner_link(&token::link_hash(&request.token), now).await? {
        return Err(Failure::DeadLink);
    }
    let cookie = passes::give_planner_cookie(app.is_secure(), &app.store, now).await?;
    Ok((jar.add(cookie), Json(())))
}

async fn library(State(app): Shared, headers: HeaderMap) -> Answer<Json<LibraryBook>> {
    may_plan(&app, &headers).await?;
    let library = &app.house.library;
    let mut drills: Vec<_> = library.drills().map(|drill| card(&app, drill)).collect();
    drills.sort_by(|a, b| a.drill.name.cmp(&b.drill.name));
    let mut clue_sets: Vec<_> = library
        .clue_sets()
        .map(|set| ClueCard {
            id: set.id.to_string(),
            theme: set.theme.to_string(),
            game: set.game,
            clues: set.clues.len(),
            levels: [1, 2, 3].map(|level| set.clues.iter().filter(|clue| clue.level == Some(level)).count()),
        })
        .collect();
    clue_sets.sort_by(|a, b| a.theme.cmp(&b.theme));
    let templates = content::templates(library).map_err(|e| Failure::Body(e.to_string()))?;
    let templates =
        templates.into_iter().map(|(id, draft)| TemplateCard { id, title: draft.title.to_string() });
    Ok(Json(LibraryBook {
        drills,
        clue_sets,
        templates: templates.collect(),
        refused: app.house.refused.clone(),
    }))
}

fn card(app: &App, drill: &Drill) -> DrillCard {
    let family = drill.family;
    let off =
        CONDITIONS.iter().filter(|(_, condition)| app.house.rules.rule(family, *condition) == Rule::Off);
    DrillCard {
        drill: drill.clone(),
        hold: draft::hold_of(drill, &drill.dose),
        clock_ms: timeline::total_ms(drill, &drill.dose) + READY_MS,
        off_for_all: family.is_swallow() || family.needs_clearing(),
        off_for: off.map(|(_, condition)| *condition).collect(),
    }
}

async fn plans(State(app): Shared, headers: HeaderMap) -> Answer<Json<Vec<PlanCard>>> {
    may_plan(&app, &headers).await?;
    let card = |entry: PlanEntry| PlanCard {
        id: entry.id,
        title: entry.draft.title.to_string(),
        day: entry.day,
        updated_at: entry.updated_at,
        steps: entry.draft.steps.len(),
    };
    Ok(Json(app.store.plans().await?.into_iter().map(card).collect()))
}

fn doc(entry: PlanEntry) -> PlanDoc {
    let PlanEntry { id, version, draft, day, updated_at } = entry;
    PlanDoc { id, version, day, updated_at, draft }
}

async fn stored(app: &App, id: Uuid) -> Answer<PlanEntry> {
    app.store.plan(id).await?.ok_or(Failure::NotFound)
}

/// The plan, if it is still the one that the page shows.
async fn stored_as(app: &App, id: Uuid, version: u64) -> Answer<PlanEntry> {
    let entry = stored(app, id).await?;
    if entry.version == version { Ok(entry) } else { Err(Failure::Behind) }
}

async fn new_plan(State(app): Shared, headers: HeaderMap, Body(new): Body<NewPlan>) -> Answer<Json<PlanDoc>> {
    may_plan(&app, &headers).await?;
    let library = &app.house.library;
    let (draft, day) = match new {
        NewPlan::Empty { title } => {
            let title = title.try_into().map_err(|e| Failure::Body(format!("the title: {e}")))?;
            (Draft { title, minutes: 60, start: None, steps: Vec::new(), home: Vec::new() }, None)
        }
        NewPlan::Template { id } => {
            let templates = content::templates(library).map_err(|e| Failure::Body(e.to_string()))?;
            let found = templates.into_iter().find(|(known, _)| *known == id);
            (found.ok_or(Failure::NotFound)?.1, None)
        }
        NewPlan::NextWeek { id, version, one_notch_on } => {
            let entry = stored_as(&app, id, version).await?;
            let draft = if one_notch_on { entry.draft.one_notch_on(library) } else { entry.draft };
            (draft, entry.day.map(|day| day.plus_days(7)))
        }
        NewPlan::File { text } => {
            let read = draft::read(Source::new("the file", &text), library);
            (read.map_err(|e| Failure::Body(e.to_string()))?, None)
        }
        NewPlan::Copy { draft, day } => (*draft, day),
    };
    let entry = PlanEntry { id: Uuid::now_v7(), version: 1, draft, day, updated_at: app.clock.now() };
    app.store.add_plan(&entry).await?;
    Ok(Json(doc(entry)))
}

async fn one_plan(State(app): Shared, Path(id): Path<Uuid>, headers: HeaderMap) -> Answer<Json<PlanDoc>> {
    may_plan(&app, &headers).await?;
    Ok(Json(doc(stored(&app, id).await?)))
}

/// Saves a plan over the version that it changes. Behind another save nothing is overwritten; the answer
/// has what is there.
async fn save(
    State(app): Shared,
    Path(id): Path<Uuid>,
    headers: HeaderMap,
    Body(SavePlan { after, draft, day }): Body<SavePlan>,
) -> Answer<Json<SavedPlan>> {
    may_plan(&app, &headers).await?;
    if draft.steps.len() > draft::MOST_STEPS || draft.home.len() > draft::MOST_HOME {
        let text = format!(
            "a plan has at most {} steps and {} drills for home",
            draft::MOST_STEPS,
            draft::MOST_HOME
        );
        return Err(Failure::Body(text));
    }
    let changed = PlanEntry { id, version: after, draft, day, updated_at: app.clock.now() };
    let saved = app.store.save_plan(&changed).await?;
    Ok(Json(SavedPlan { saved, plan: doc(stored(&app, id).await?) }))
}

/// The plan as a file.
async fn plan_file(
    State(app): Shared,
    Path(id): Path<Uuid>,
    headers: HeaderMap,
) -> Answer<impl IntoResponse> {
    may_plan(&app, &headers).await?;
    let text = stored(&app, id).await?.draft.write();
    let headers = [
        (header::CONTENT_TYPE, HeaderValue::from_static("application/toml")),
        (header::CONTENT_DISPOSITION, HeaderValue::from_static("attachment; filename=\"plan.toml\"")),
    ];
    Ok((headers, text))
}

async fn look(State(app): Shared, headers: HeaderMap, Body(draft): Body<Draft>) -> Answer<Json<Look>> {
    may_plan(&app, &headers).await?;
    let library = &app.house.library;
    // Up to the first mistake.
    let steps: Vec<Step> = draft.steps.iter().map_while(|step| step.step(library).ok()).collect();
    let slots = plan::schedule(&steps);
    let clock_ms = slots.iter().map(|slot| slot.clock_ms).sum();
    let looks = steps.iter().zip(slots).map(|(step, slot)| StepLook {
        title: step.title.to_string(),
        starts_ms: slot.starts_ms,
        clock_ms: slot.clock_ms,
        reps: slot.figures.reps,
        held_ms: slot.figures.held_ms,
    });
    let (error, advice) = match draft.plan(library) {
        Ok(plan) => (None, advise(&draft, &plan, library, &[], &app.house.rules)),
        Err(error) => (Some(error), Vec::new()),
    };
    let class_ms = i64::from(draft.minutes) * 60_000;
    Ok(Json(Look { error, clock_ms, class_ms, steps: looks.collect(), advice }))
}

/// A drill alone, as a class screen would show it.
async fn preview(
    State(app): Shared,
    headers: HeaderMap,
    Body(what): Body<StepRequest>,
) -> Answer<Json<Content>> {
    may_plan(&app, &headers).await?;
    let step = DraftStep { part: None, title: None, note: None, what };
    Ok(Json(LiveStep::alone(step.step(&app.house.library).map_err(Failure::Body)?).content()))
}

/// Begins a class, or a rehearsal, of the plan as it is saved.
async fn begin_class(
    State(app): Shared,
    Path(id): Path<Uuid>,
    headers: HeaderMap,
    Body(BeginClass { version, rehearsal }): Body<BeginClass>,
) -> Answer<Json<ClassLinks>> {
    may_plan(&app, &headers).await?;
    let plan = stored_as(&app, id, version)
        .await?
        .draft
        .plan(&app.house.library)
        .map_err(|e| Failure::Body(e.text))?;
    let now = app.clock.now();
    let entry = begin::new_session(&app.store, plan, app.house.rules.clone(), rehearsal, now).await;
    let entry = entry.map_err(|error| {
        tracing::error!(error = &*error, "class not begun");
        Failure::Restarting
    })?;
    // The page knows under which address it was opened.
    let links = begin::links(&app.store, &entry, "", now).await?;
    if rehearsal {
        let cast = Cast { seed: 1, people: 12 };
        tokio::spawn(rehearsal::rehearse(Arc::clone(&app), entry.id, cast));
    }
    let begin::Links { desk, helper, wall, class, code, .. } = links;
    Ok(Json(ClassLinks { desk, helper, wall, class, code }))
}
