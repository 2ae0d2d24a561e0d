//! What a draft adds up to: its times, advice on it, what its group had, and what the group did with its drills.

use std::sync::Arc;

use axum::extract::State;
use axum::routing::post;
use axum::{Json, Router};
use samebreath_core::library::Library;
use samebreath_core::plan::advice::{Around, advise};
use samebreath_core::plan::draft::Planned;
use samebreath_core::plan::group::Group;
use samebreath_core::plan::history::History;
use samebreath_core::plan::timeline::Figures;
use samebreath_core::plan::{self, Step, StepRequest};
use samebreath_core::record::class::ClassRecord;
use samebreath_core::record::did::{DrillClass, NotchProposal, group_did, proposal};
use samebreath_core::staff::may::Act;
use samebreath_core::time::day::Date;
use samebreath_wire::planner::{GroupHad, HadDrill, Look, LookAt, RoundLeft, StepLook};

use crate::access::staff::Staff;
use crate::app::App;
use crate::http::ask::{Reply, Shared};
use crate::http::body::JsonBody;
use crate::http::people::roll_of;
use crate::http::whose::Groups;
use crate::session::history::{self, day_of, held};

pub(crate) fn routes() -> Router<Arc<App>> {
    Router::new().route("/api/planner/look", post(look))
}

/// In so many of the last classes it is looked for what the group did with a drill: half a year of weeks.
const CLASSES_LOOKED_AT: usize = 26;

async fn look(
    staff: Staff,
    State(app): Shared,
    JsonBody(LookAt { plan: id, planned }): JsonBody<LookAt>,
) -> Reply<Json<Look>> {
    let library = &*app.shelf.library();
    let whose = Groups::of(&staff, &app).await?;
    let may_see = whose.may(Act::ReadHealth, whose.plan(&planned));
    let Planned { draft, day, group } = planned;
    // What a group had, and its people's precautions, are for whoever may see them.
    let group = group.filter(|_| may_see);
    // Only the steps before the first mistake are added up.
    let steps: Vec<Step> = draft.steps.iter().map_while(|step| step.step(library).ok()).collect();
    let slots = plan::schedule(&steps);
    let clock_ms = slots.iter().map(|slot| slot.clock_ms).sum();
    let classes = match group {
        Some(group) => held(&app, group, CLASSES_LOOKED_AT, day).await?,
        None => Vec::new(),
    };
    let before: Vec<(Date, &ClassRecord)> = classes.iter().map(|(_, on, record)| (*on, &**record)).collect();
    // A plan may have a drill twice.
    let whole = |what: &StepRequest| -> Figures {
        let same = draft.steps.iter().zip(&slots).filter(|(step, _)| drill_of(&step.what) == drill_of(what));
        same.map(|(_, slot)| slot.figures).sum()
    };
    let looks = draft.steps.iter().zip(&steps).zip(&slots).map(|((asked, step), slot)| {
        let (did, proposal) = what_group_did(library, &asked.what, &whole(&asked.what), &before);
        StepLook {
            title: step.title.to_string(),
            starts_ms: slot.starts_ms,
            clock_ms: slot.clock_ms,
            reps: slot.figures.reps,
            held_ms: slot.figures.held_ms,
            did,
            proposal,
        }
    });
    let steps = looks.collect();
    let mut week = Vec::new();
    let mut known = None;
    if let (Some(group_id), Some(roll), Some(day)) =
        (group, roll_of(&app, group).await?, day.or_else(|| day_of(app.clock.now())))
    {
        let plans = app.store.documents().await?;
        week = history::week_of(&app, group_id, day, id, &plans);
        known = Some((roll, history::before(&app, group_id, day, id, &plans).await?));
    }
    let around = Around {
        rules: &app.house.rules,
        group: known.as_ref().map(|(roll, history)| (roll, history)),
        week: &week,
    };
    let (error, advice) = match draft.plan(library) {
        Ok(plan) => (None, advise(&draft, &plan, library, around)),
        Err(error) => (Some(error), Vec::new()),
    };
    let class_ms = i64::from(draft.minutes) * 60_000;
    let had = known.as_ref().map(|(roll, history)| had(library, &roll.group, history));
    Ok(Json(Look { error, clock_ms, class_ms, steps, advice, had }))
}

fn drill_of(what: &StepRequest) -> Option<&str> {
    if let StepRequest::Drill { drill, .. } = what { Some(drill.as_str()) } else { None }
}

/// What the group did with the drill of a step, and whether that speaks for another dose.
fn what_group_did(
    library: &Library,
    what: &StepRequest,
    figures: &Figures,
    before: &[(Date, &ClassRecord)],
) -> (Vec<DrillClass>, Option<NotchProposal>) {
    let StepRequest::Drill { drill: id, change, .. } = what else { return (Vec::new(), None) };
    let did = group_did(before, id);
    let proposal = library.drill(id.as_str()).ok().and_then(|drill| proposal(drill, change, figures, &did));
    (did, proposal)
}

fn had(library: &Library, group: &Group, history: &History) -> GroupHad {
    let rounds = library.clue_sets().map(|set| RoundLeft {
        set: set.id.to_string(),
        left: history.left(set, group.weeks_apart),
        days: set.clues.iter().filter_map(|clue| history.clue(&clue.answer)).min(),
    });
    let drills = history.drills().map(|(drill, days)| HadDrill { drill: drill.to_string(), days });
    GroupHad { drills: drills.collect(), rounds: rounds.collect() }
}
