//! Plans and groups by plain requests: reading, saving over a version, removing.

use std::sync::Arc;

use axum::Json;
use axum::extract::{Path, State};
use axum::http::HeaderMap;
use axum::routing::{MethodRouter, get};
use samebreath_core::versioned::{Document, Versioned};
use samebreath_wire::planner::{Remove, Save, Saved};
use serde::Serialize;
use serde::de::DeserializeOwned;
use uuid::Uuid;

use crate::app::{App, Body, Failure};
use crate::http::{Answer, Shared};
use crate::planner_http::may_plan;

/// What a document must be to go through the requests.
pub(crate) trait Paper: Document + Serialize + DeserializeOwned + Send + Sync + 'static {}
impl<T: Document + Serialize + DeserializeOwned + Send + Sync + 'static> Paper for T {}

/// The routes of one document.
pub(crate) fn routes<T: Paper>() -> MethodRouter<Arc<App>> {
    get(one::<T>).put(save::<T>).delete(remove::<T>)
}

/// The document as it is kept.
pub(crate) async fn stored<T: Paper>(app: &App, id: Uuid) -> Answer<Versioned<T>> {
    app.store.paper(id).await?.ok_or(Failure::NotFound)
}

/// The document, if it is still the one that the page shows.
pub(crate) async fn stored_as<T: Paper>(app: &App, id: Uuid, version: u64) -> Answer<Versioned<T>> {
    let paper = stored(app, id).await?;
    if paper.version == version { Ok(paper) } else { Err(Failure::Behind) }
}

/// Keeps a new document.
pub(crate) async fn add<T: Paper>(app: &App, content: T) -> Answer<Json<Versioned<T>>> {
    content.check().map_err(Failure::Body)?;
    let new = Versioned { id: Uuid::now_v7(), version: 1, updated_at: app.clock.now(), content };
    app.store.add_paper(&new).await?;
    Ok(Json(new))
}

async fn one<T: Paper>(
    State(app): Shared,
    Path(id): Path<Uuid>,
    headers: HeaderMap,
) -> Answer<Json<Versioned<T>>> {
    may_plan(&app, &headers).await?;
    Ok(Json(stored(&app, id).await?))
}

/// Saves a document over the version that it changes. Behind another save nothing is overwritten; the
/// answer has what is there.
async fn save<T: Paper>(
    State(app): Shared,
    Path(id): Path<Uuid>,
    headers: HeaderMap,
    Body(Save { after, content }): Body<Save<T>>,
) -> Answer<Json<Saved<T>>> {
    may_plan(&app, &headers).await?;
    content.check().map_err(Failure::Body)?;
    let changed = Versioned { id, version: after, updated_at: app.clock.now(), content };
    let saved = app.store.save_paper(&changed).await?;
    Ok(Json(Saved { saved, now: stored(&app, id).await? }))
}

/// Removes a document and answers with what it said, so that it can be brought back.
async fn remove<T: Paper>(
    State(app): Shared,
    Path(id): Path<Uuid>,
    headers: HeaderMap,
    Body(Remove { version }): Body<Remove>,
) -> Answer<Json<Versioned<T>>> {
    may_plan(&app, &headers).await?;
    let removed = stored(&app, id).await?;
    if app.store.remove_paper::<T>(id, version).await? { Ok(Json(removed)) } else { Err(Failure::Behind) }
}
