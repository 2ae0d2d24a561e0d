//! Who is asking, as a handler's argument: only requests from these people reach a handler that takes one of them.

use std::sync::Arc;

use axum::extract::{FromRequestParts, Path};
use axum::http::request::Parts;
use axum::response::{IntoResponse, Response};
use samebreath_core::live::DeskRole;
use samebreath_store::passes::Role;
use serde::Deserialize;
use uuid::Uuid;

use crate::access::caller::Caller;
use crate::access::passes::Stay;
use crate::app::App;
use crate::failure::Failure;
use crate::http::ask::enter_with;
use crate::room::RoomHandle;

/// A request from a desk of the class that the address names (`{stay}`). It is charged to the desk's allowance.
pub(super) struct AtDesk {
    /// The desk's stay.
    pub stay: Stay,
    /// Whether it is the facilitator's desk or the helper's.
    pub role: DeskRole,
    /// The room of the session.
    pub room: RoomHandle,
    /// What gave this desk its pass, if that is a sign-in.
    pub via: Option<Uuid>,
    /// From where it asks.
    pub caller: Caller,
}

#[derive(Deserialize)]
struct InStay {
    stay: Stay,
}

impl FromRequestParts<Arc<App>> for AtDesk {
    type Rejection = Response;

    async fn from_request_parts(parts: &mut Parts, app: &Arc<App>) -> Result<Self, Response> {
        let named = Path::<InStay>::from_request_parts(parts, app).await;
        let Path(InStay { stay }) = named.map_err(IntoResponse::into_response)?;
        let entered = enter_with(app, &parts.headers, &stay).await;
        let (room, pass) = entered.map_err(IntoResponse::into_response)?;
        let caller = Caller::from_request_parts(parts, app).await.unwrap_or_else(|never| match never {});
        let Role::Desk(role) = stay.role else { return Err(Failure::Forbidden.into_response()) };
        Ok(Self { stay, role, room, via: pass.via, caller })
    }
}
