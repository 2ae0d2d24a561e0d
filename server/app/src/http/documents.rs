//! Reads, saves and removes documents by plain request.

use std::sync::Arc;

use axum::Json;
use axum::extract::{Path, Query, State};
use axum::routing::{MethodRouter, get};
use samebreath_core::clue::written::WrittenRound;
use samebreath_core::plan::draft::Planned;
use samebreath_core::staff::may::{Act, Whose};
use samebreath_core::versioned::{Document, Versioned};
use samebreath_wire::planner::{Remove, Save, Saved};
use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};
use uuid::Uuid;

use crate::access::staff::Staff;
use crate::app::App;
use crate::failure::Failure;
use crate::http::ask::{Reply, Shared};
use crate::http::body::JsonBody;
use crate::http::whose::Groups;

/// A document that requests can read and save.
pub(crate) trait Kept: Document + Serialize + DeserializeOwned + Send + Sync + 'static {
    /// Whether plans are made of it, so that the library has to know of each change.
    const IN_LIBRARY: bool = false;
    /// What whoever reads or changes it does.
    const ACT: Act;

    /// Whose it is.
    fn whose(groups: &Groups<'_>, id: Uuid, content: &Self) -> Whose;

    /// Checks what only the other documents can tell, before `content` is stored under `id`.
    fn fits(_app: &App, _id: Uuid, _content: &Self) -> impl Future<Output = Reply<()>> + Send {
        std::future::ready(Ok(()))
    }

    /// What whoever asks may see of it.
    fn seen(_groups: &Groups<'_>, document: Versioned<Self>) -> Versioned<Self> {
        document
    }

    /// What whoever asks makes of `kept` by saving `content`, or of nothing by adding it.
    ///
    /// # Errors
    /// When they may not change what they changed.
    fn changed(_groups: &Groups<'_>, _kept: Option<&Versioned<Self>>, content: Self) -> Reply<Self> {
        Ok(content)
    }

    /// Does what follows from a change that was saved.
    fn followed(
        _app: &App,
        _id: Uuid,
        _before: &Self,
        _now: &Self,
    ) -> impl Future<Output = Reply<()>> + Send {
        std::future::ready(Ok(()))
    }

    /// Does what follows from its removal.
    fn gone(_app: &App, _id: Uuid) -> impl Future<Output = Reply<()>> + Send {
        std::future::ready(Ok(()))
    }

    /// Whether nothing else needs the document any more.
    fn may_go(_app: &App, _id: Uuid) -> impl Future<Output = Reply<()>> + Send {
        std::future::ready(Ok(()))
    }
}

impl Kept for Planned {
    const ACT: Act = Act::Plan;

    fn whose(groups: &Groups<'_>, _: Uuid, content: &Self) -> Whose {
        groups.plan(content)
    }
}

impl Kept for WrittenRound {
    const IN_LIBRARY: bool = true;
    const ACT: Act = Act::WriteRounds;

    fn whose(_: &Groups<'_>, _: Uuid, _: &Self) -> Whose {
        Whose::Shared
    }
}

/// The routes of one document.
pub(crate) fn routes<T: Kept>() -> MethodRouter<Arc<App>> {
    get(one::<T>).put(save::<T>).delete(remove::<T>)
}

/// What a list says of all documents of a kind that whoever asks may read, in the order of their names.
pub(crate) async fn cards<T: Kept, C>(
    app: &App,
    staff: &Staff,
    card: impl Fn(&Groups<'_>, Versioned<T>) -> C,
    name: impl Fn(&C) -> &str,
) -> Reply<Json<Vec<C>>> {
    let groups = Groups::of(staff, app).await?;
    let mut cards: Vec<C> =
        readable(app, &groups).await?.into_iter().map(|document| card(&groups, document)).collect();
    cards.sort_by(|a, b| name(a).cmp(name(b)));
    Ok(Json(cards))
}

/// All documents of a kind that whoever asks may read, the last saved one first.
pub(crate) async fn readable<T: Kept>(app: &App, groups: &Groups<'_>) -> Reply<Vec<Versioned<T>>> {
    let documents: Vec<Versioned<T>> = app.store.documents().await?;
    let may = |document: &Versioned<T>| groups.may(T::ACT, T::whose(groups, document.id, &document.content));
    Ok(documents.into_iter().filter(may).map(|document| T::seen(groups, document)).collect())
}

/// Stores a new document as the page sent it.
pub(crate) async fn new<T: Kept>(
    staff: Staff,
    State(app): Shared,
    Query(once): Query<Once>,
    JsonBody(content): JsonBody<T>,
) -> Reply<Json<Versioned<T>>> {
    add(&app, &staff, once, content).await
}

/// The document as it is stored, if whoever asks may read it.
pub(crate) async fn stored<T: Kept>(app: &App, staff: &Staff, id: Uuid) -> Reply<Versioned<T>> {
    let groups = Groups::of(staff, app).await?;
    stored_for(app, &groups, id).await
}

async fn stored_for<T: Kept>(app: &App, groups: &Groups<'_>, id: Uuid) -> Reply<Versioned<T>> {
    let document: Versioned<T> = app.store.document(id).await?.ok_or(Failure::NotFound)?;
    groups.check(T::ACT, T::whose(groups, id, &document.content))?;
    Ok(document)
}

/// The document, if it still has the version that the page shows.
pub(crate) async fn stored_as<T: Kept>(
    app: &App,
    staff: &Staff,
    id: Uuid,
    version: u64,
) -> Reply<Versioned<T>> {
    let document = stored(app, staff, id).await?;
    if document.version == version { Ok(document) } else { Err(Failure::Behind) }
}

/// The request that makes a document, as `?request=` in its address. It becomes the document's id, so that a request
/// whose answer was lost makes nothing twice.
#[derive(Debug, Clone, Copy, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Once {
    request: Option<Uuid>,
}

impl Once {
    pub(crate) const fn of(request: Uuid) -> Self {
        Self { request: Some(request) }
    }
}

/// Stores a new document, or answers with the one that the same request made before.
pub(crate) async fn add<T: Kept>(
    app: &App,
    staff: &Staff,
    once: Once,
    content: T,
) -> Reply<Json<Versioned<T>>> {
    content.check().map_err(Failure::Body)?;
    let groups = Groups::of(staff, app).await?;
    if let Some(id) = once.request
        && app.store.document::<T>(id).await?.is_some()
    {
        return Ok(Json(T::seen(&groups, stored_for(app, &groups, id).await?)));
    }
    let id = once.request.unwrap_or_else(Uuid::now_v7);
    groups.check(T::ACT, T::whose(&groups, id, &content))?;
    let content = T::changed(&groups, None, content)?;
    T::fits(app, id, &content).await?;
    let new = Versioned { id, version: 1, updated_at: app.clock.now(), content };
    app.store.add_document(&new).await?;
    refill::<T>(app).await;
    Ok(Json(new))
}

/// Lets the library take what has changed.
async fn refill<T: Kept>(app: &App) {
    if T::IN_LIBRARY {
        app.shelf.fill(&*app.store).await;
    }
}

async fn one<T: Kept>(staff: Staff, State(app): Shared, Path(id): Path<Uuid>) -> Reply<Json<Versioned<T>>> {
    let groups = Groups::of(&staff, &app).await?;
    Ok(Json(T::seen(&groups, stored_for(&app, &groups, id).await?)))
}

/// Saves a document over the version that it changes. If somebody saved in between, nothing is overwritten, and the
/// answer has what is stored.
async fn save<T: Kept>(
    staff: Staff,
    State(app): Shared,
    Path(id): Path<Uuid>,
    JsonBody(Save { after, content }): JsonBody<Save<T>>,
) -> Reply<Json<Saved<T>>> {
    content.check().map_err(Failure::Body)?;
    let groups = Groups::of(&staff, &app).await?;
    let kept = stored_for::<T>(&app, &groups, id).await?;
    if kept.version != after {
        return Ok(Json(Saved { saved: false, now: T::seen(&groups, kept) }));
    }
    groups.check(T::ACT, T::whose(&groups, id, &content))?;
    let content = T::changed(&groups, Some(&kept), content)?;
    T::fits(&app, id, &content).await?;
    let changed = Versioned { id, version: after, updated_at: app.clock.now(), content };
    let saved = app.store.save_document(&changed).await?;
    // What was just saved is not read back, because another save may already have replaced it.
    let now = if saved {
        Versioned { version: after + 1, ..changed }
    } else {
        stored_for(&app, &groups, id).await?
    };
    if saved {
        T::followed(&app, id, &kept.content, &now.content).await?;
    }
    refill::<T>(&app).await;
    Ok(Json(Saved { saved, now: T::seen(&groups, now) }))
}

/// Removes a document and answers with its content, so that the removal can be undone.
pub(crate) async fn remove<T: Kept>(
    staff: Staff,
    State(app): Shared,
    Path(id): Path<Uuid>,
    JsonBody(Remove { version }): JsonBody<Remove>,
) -> Reply<Json<Versioned<T>>> {
    let groups = Groups::of(&staff, &app).await?;
    let removed = stored_for(&app, &groups, id).await?;
    T::may_go(&app, id).await?;
    if !app.store.remove_document::<T>(id, version).await? {
        return Err(Failure::Behind);
    }
    T::gone(&app, id).await?;
    refill::<T>(&app).await;
    Ok(Json(T::seen(&groups, removed)))
}
