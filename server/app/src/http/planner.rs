//! What the planner asks for by plain request: the library, plans, the preview of a drill, and the start of a class.

use std::sync::Arc;

use axum::extract::{Path, Query, State};
use axum::http::{HeaderValue, header};
use axum::response::IntoResponse;
use axum::routing::{get, post};
use axum::{Json, Router};
use samebreath_core::clue::Clue;
use samebreath_core::clue::written::round_of;
use samebreath_core::drill::Drill;
use samebreath_core::file::Source;
use samebreath_core::live::{Content, LiveStep};
use samebreath_core::people::rules::{CONDITIONS, Rule};
use samebreath_core::plan::StepRequest;
use samebreath_core::plan::draft::{self, Draft, DraftStep, Planned};
use samebreath_core::plan::group::GroupId;
use samebreath_core::plan::timeline;
use samebreath_core::staff::may::Act;
use samebreath_core::time::day::Date;
use samebreath_core::versioned::Versioned;
use samebreath_wire::planner::{
    ClueCard, ClueWords, DrillCard, LibraryBook, NewPlan, PlanCard, TemplateCard, Unreadable,
};
use uuid::Uuid;

use crate::access::staff::Staff;
use crate::app::App;
use crate::failure::Failure;
use crate::host::house;
use crate::http::ask::{Reply, Shared};
use crate::http::body::JsonBody;
use crate::http::documents::{self, Once};
use crate::http::people::group_of;
use crate::http::whose::Groups;
use crate::session::history::{self, day_of};

/// The planner's routes.
pub(crate) fn routes() -> Router<Arc<App>> {
    Router::new()
        .route("/api/planner/library", get(library))
        .route("/api/planner/plans", get(plans).post(new_plan))
        .route("/api/planner/plans/{id}", documents::routes::<Planned>())
        .route("/api/planner/plans/{id}/plan.toml", get(plan_file))
        .route("/api/planner/unreadable", get(unreadable))
        .route("/api/planner/preview", post(preview))
}

async fn library(State(app): Shared) -> Reply<Json<LibraryBook>> {
    let library = &*app.shelf.library();
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
            words: set.clues.iter().map(words).collect(),
            languages: std::iter::once(set).chain(&set.also).map(|set| set.language.clone()).collect(),
            round: round_of(set.id.as_str()),
        })
        .collect();
    clue_sets.sort_by(|a, b| a.theme.cmp(&b.theme));
    let templates = house::templates(library).map_err(|e| Failure::Body(e.to_string()))?;
    let templates =
        templates.into_iter().map(|(id, draft)| TemplateCard { id, title: draft.title.to_string() });
    Ok(Json(LibraryBook {
        drills,
        clue_sets,
        item_sets: library.item_sets().cloned().collect(),
        templates: templates.collect(),
        refused: app.house.refused.clone(),
    }))
}

fn words(clue: &Clue) -> ClueWords {
    ClueWords {
        clue: clue.clue.to_string(),
        answer: clue.answer.to_string(),
        hints: clue.hints.iter().map(ToString::to_string).collect(),
    }
}

fn card(app: &App, drill: &Drill) -> DrillCard {
    let family = drill.family;
    let off =
        CONDITIONS.iter().filter(|(_, condition)| app.house.rules.rule(family, *condition) == Rule::Off);
    DrillCard {
        drill: drill.clone(),
        hold: draft::hold_of(drill, &drill.dose),
        clock_ms: timeline::total_ms(drill, &drill.dose) + timeline::ready_ms(drill),
        off_for_all: family.is_swallow() || family.needs_clearing(),
        off_for: off.map(|(_, condition)| *condition).collect(),
    }
}

async fn plans(staff: Staff, State(app): Shared) -> Reply<Json<Vec<PlanCard>>> {
    let card = |Versioned { id, version, updated_at, content }: Versioned<Planned>| PlanCard {
        id,
        version,
        title: content.draft.title.to_string(),
        day: content.day,
        group: content.group,
        updated_at,
        steps: content.draft.steps.len(),
    };
    let groups = Groups::of(&staff, &app).await?;
    Ok(Json(documents::readable(&app, &groups).await?.into_iter().map(card).collect()))
}

/// The classes whose ledgers cannot be read. The planner shows them; everything else goes on.
async fn unreadable(staff: Staff, State(app): Shared) -> Reply<Json<Vec<Unreadable>>> {
    let groups = Groups::of(&staff, &app).await?;
    let mut found = Vec::new();
    for (id, why) in app.hub.quarantined() {
        let entry = app.store.session(id).await?;
        if let Some(entry) = entry.filter(|entry| groups.may(Act::Plan, groups.class(entry))) {
            found.push(Unreadable { title: entry.title, created_at: entry.created_at, why });
        }
    }
    found.sort_by_key(|class| class.created_at);
    Ok(Json(found))
}

async fn new_plan(
    staff: Staff,
    State(app): Shared,
    Query(once): Query<Once>,
    JsonBody(new): JsonBody<NewPlan>,
) -> Reply<Json<Versioned<Planned>>> {
    let library = &*app.shelf.library();
    let planned = match new {
        NewPlan::Empty { title, group, day } => {
            let title = title.try_into().map_err(|e| Failure::Body(format!("the title: {e}")))?;
            let draft = Draft { title, minutes: 60, start: None, steps: Vec::new(), home: Vec::new() };
            meant_for(&app, draft, group, day).await?
        }
        NewPlan::Template { id, group } => {
            let templates = house::templates(library).map_err(|e| Failure::Body(e.to_string()))?;
            let found = templates.into_iter().find(|(known, _)| *known == id);
            meant_for(&app, found.ok_or(Failure::NotFound)?.1, group, None).await?
        }
        NewPlan::NextWeek { id, version, one_notch_on } => {
            let Planned { draft, day, group } =
                documents::stored_as(&app, &staff, id, version).await?.content;
            let draft = if one_notch_on { draft.one_notch_on(library) } else { draft };
            // A plan without a day counts as today's, so next week's is a week from today.
            let day = day.or_else(|| day_of(app.clock.now()).filter(|_| group.is_some()));
            let kept = group_of(&app, group).await?.filter(|group| group.series().is_some());
            let planned = if let (Some(kept), Some(day)) = (kept, day) {
                // The group knows its next class: it may be moved, and some are cancelled.
                let day = kept.class_after(day).map(|next| next.day);
                Planned { draft: draft.timed_for(&kept, day), day, group }
            } else {
                Planned { draft, day: day.map(|day| day.plus_days(7)), group }
            };
            fresh(&app, planned).await?
        }
        NewPlan::File { text } => {
            let read = draft::read(Source::new("the file", &text), library);
            Planned { draft: read.map_err(|e| Failure::Body(e.to_string()))?, day: None, group: None }
        }
        NewPlan::Copy { planned } => *planned,
    };
    documents::add(&app, &staff, once, planned).await
}

/// A draft for a group, on this day or on that of its next class, and at its time then.
async fn meant_for(app: &App, draft: Draft, group: Option<GroupId>, day: Option<Date>) -> Reply<Planned> {
    let Some(found) = group_of(app, group).await? else {
        return Ok(Planned { draft, day, group: None });
    };
    let now = app.clock.now();
    let today = found.zone.as_ref().map_or_else(|| day_of(now), |zone| zone.day(now));
    let day = day.or_else(|| found.next_day(today?));
    fresh(app, Planned { draft: draft.timed_for(&found, day), day, group }).await
}

/// A new plan, with clues that its group has not had recently.
async fn fresh(app: &App, planned: Planned) -> Reply<Planned> {
    let today = day_of(app.clock.now());
    let (Some(id), Some(group), Some(day)) =
        (planned.group, group_of(app, planned.group).await?, planned.day.or(today))
    else {
        return Ok(planned);
    };
    let history = history::before(app, id, day, None, &app.store.documents().await?).await?;
    let draft = planned.draft.freshened(&app.shelf.library(), &history, group.weeks_apart);
    Ok(Planned { draft, ..planned })
}

/// The plan as a file.
async fn plan_file(staff: Staff, State(app): Shared, Path(id): Path<Uuid>) -> Reply<impl IntoResponse> {
    let planned = documents::stored::<Planned>(&app, &staff, id).await?.content;
    let group = group_of(&app, planned.group).await?.map(|group| group.name.to_string());
    let name = file_name(planned.day, group.as_deref().unwrap_or(planned.draft.title.as_str()));
    let disposition = HeaderValue::from_str(&format!("attachment; filename=\"{name}\""));
    let headers = [
        (header::CONTENT_TYPE, HeaderValue::from_static("application/toml")),
        (header::CONTENT_DISPOSITION, disposition.map_err(|e| Failure::Body(e.to_string()))?),
    ];
    Ok((headers, planned.draft.write()))
}

/// The name of a plan's file: its day and whose it is, in letters that every file system takes.
fn file_name(day: Option<Date>, whose: &str) -> String {
    let plain: String =
        whose.to_lowercase().chars().map(|c| if c.is_ascii_alphanumeric() { c } else { ' ' }).collect();
    let words: Vec<_> = plain.split_whitespace().collect();
    let whose = if words.is_empty() { "plan".to_owned() } else { words.join("-") };
    day.map_or_else(|| format!("{whose}.toml"), |day| format!("{day}-{whose}.toml"))
}

/// One step alone, as a class screen would show it.
async fn preview(State(app): Shared, JsonBody(what): JsonBody<StepRequest>) -> Reply<Json<Content>> {
    let step = DraftStep { part: None, title: None, note: None, what };
    Ok(Json(LiveStep::alone(step.step(&app.shelf.library()).map_err(Failure::Body)?).content()))
}

/// Why the class of such a plan is refused: it would begin without its people and their precautions.
pub(crate) const GROUP_GONE: &str = "the group of this plan was removed; choose another one, or no group";

#[cfg(test)]
mod tests {
    use super::file_name;

    #[test]
    fn a_plans_file_is_named_by_its_day_and_whose_it_is() {
        let day = "2026-12-08".to_owned().try_into().ok();
        assert_eq!(file_name(day, "Lantern Quay, Tuesdays"), "2026-12-08-lantern-quay-tuesdays.toml");
        assert_eq!(file_name(None, "Tuesday at ten"), "tuesday-at-ten.toml");
        // Nothing that a header or a file system could take for something else.
        assert_eq!(file_name(None, "../\"\r\n; ñ"), "plan.toml");
    }
}
