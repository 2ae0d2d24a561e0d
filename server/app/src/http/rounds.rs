//! Rounds of the word game that are written in the planner.

use std::sync::Arc;

use axum::extract::{Query, State};
use axum::routing::{get, post};
use axum::{Json, Router};
use samebreath_core::clue::Game;
use samebreath_core::clue::written::WrittenRound;
use samebreath_core::versioned::Versioned;
use samebreath_wire::planner::{NewRound, RoundCard, RoundLook, RoundLookAt};

use crate::access::staff::Staff;
use crate::app::App;
use crate::failure::Failure;
use crate::http::ask::{Reply, Shared};
use crate::http::body::JsonBody;
use crate::http::documents::{self, Once};
use crate::http::whose::Groups;

pub(crate) fn routes() -> Router<Arc<App>> {
    Router::new()
        .route("/api/planner/rounds", get(rounds).post(new_round))
        .route("/api/planner/rounds/{id}", documents::routes::<WrittenRound>())
        .route("/api/planner/rounds/look", post(look))
}

async fn rounds(staff: Staff, State(app): Shared) -> Reply<Json<Vec<RoundCard>>> {
    let card = |_: &Groups<'_>, round: Versioned<WrittenRound>| RoundCard {
        id: round.id,
        version: round.version,
        theme: round.content.theme.to_string(),
        game: round.content.game,
        clues: round.content.clues.len(),
        finished: round.content.unfinished().is_empty(),
    };
    documents::cards(&app, &staff, card, |card| &card.theme).await
}

async fn new_round(
    staff: Staff,
    State(app): Shared,
    Query(once): Query<Once>,
    JsonBody(new): JsonBody<NewRound>,
) -> Reply<Json<Versioned<WrittenRound>>> {
    let round = match new {
        NewRound::Empty { theme, language } => {
            WrittenRound { theme, game: Game::default(), language, counter_ms: None, clues: Vec::new() }
        }
        NewRound::Set { set, language } => {
            let library = app.shelf.library();
            let found = library.clue_set(&set).map_err(Failure::Body)?;
            WrittenRound::of(found.in_language(Some(&language)))
        }
        NewRound::Copy { round } => round,
    };
    documents::add(&app, &staff, once, round).await
}

/// What a round that is being written amounts to, and what answers to its clues are worth.
async fn look(JsonBody(RoundLookAt { round, said }): JsonBody<RoundLookAt>) -> Reply<Json<RoundLook>> {
    let (unfinished, hints) = (round.unfinished(), round.hints());
    Ok(Json(RoundLook { unfinished, hints, heard: round.hear(&said) }))
}
