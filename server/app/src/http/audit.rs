//! Writes down who did what: signing in, and whatever concerns people, groups, accounts and classes.

use std::sync::{Arc, Mutex, PoisonError};

use axum::extract::Request;
use axum::http::StatusCode;
use samebreath_core::staff::account::AccountId;
use samebreath_store::audit::AuditEntry;
use uuid::Uuid;

use crate::access::caller::Caller;
use crate::app::App;
use crate::http::who::AtDesk;

/// Who acts: whoever is signed in, or signs in.
#[derive(Debug, Clone, Default)]
pub(crate) struct Acting(Arc<Mutex<Option<AccountId>>>);

impl Acting {
    /// Says who acts.
    pub(crate) fn is(&self, id: AccountId) {
        *self.0.lock().unwrap_or_else(PoisonError::into_inner) = Some(id);
    }

    fn id(&self) -> Option<AccountId> {
        *self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// An act, once it is over.
pub(super) struct Over {
    /// Who did it.
    pub acting: Acting,
    /// The method and the route.
    pub act: String,
    /// The id in the address.
    pub subject: Option<Uuid>,
    /// From where.
    pub caller: Caller,
    /// What it was answered with.
    pub outcome: StatusCode,
}

/// The id in the address of a request.
pub(super) fn subject(request: &Request) -> Option<Uuid> {
    request.uri().path().split('/').find_map(|part| Uuid::try_parse(part).ok())
}

/// Writes an act down. One that cannot be written is in the log, and was done all the same.
pub(super) async fn write(app: &App, over: Over) {
    let Over { acting, act, subject, caller, outcome } = over;
    let (at, address) = (app.clock.now(), caller.masked());
    let actor = acting.id();
    let entry = AuditEntry { at, actor, act, subject, outcome: outcome.as_u16(), address };
    if let Err(error) = app.store.add_audit(&entry).await {
        tracing::error!(
            error = &error as &dyn std::error::Error,
            act = entry.act,
            "an act was not written down"
        );
    }
}

/// Writes down that a desk read something about people: `subject` is a person, or the class where it is about several. An
/// open card is read again with each change of the class, so each is written down once in an hour.
pub(super) async fn desk_read(app: &App, desk: &AtDesk, act: &str, subject: Uuid) {
    let reading = (desk.stay.clone(), desk.via, act.to_owned(), subject);
    if app.read_lately.insert(reading, ()).is_some() {
        return;
    }
    let acting = Acting::default();
    // A card must be seen even while the database cannot say whose desk it is.
    if let Some(via) = desk.via
        && let Ok(Some(account)) = app.store.signed_in_as(via).await
    {
        acting.is(account);
    }
    let (act, caller) = (format!("GET /api/desk/{{stay}}/{act}"), desk.caller);
    write(app, Over { acting, act, subject: Some(subject), caller, outcome: StatusCode::OK }).await;
}
