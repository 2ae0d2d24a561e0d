//! What plain requests have in common: who may ask, how their allowance is charged, and how they ask a room.

use std::sync::Arc;
use std::time::Duration;

use axum::extract::State;
use axum::http::HeaderMap;
use samebreath_core::live::{Actor, Command, CommandId, Event, Place, SeatId};
use samebreath_core::text::Name;
use samebreath_store::passes::Pass;
use samebreath_wire::SeatPlace;
use uuid::Uuid;

use crate::access::passes::{self, Stay};
use crate::app::App;
use crate::failure::Failure;
use crate::room::{Answerer, Asked, Input, RoomHandle};

/// How long a request waits for the ledger before it is answered that the ledger cannot be written.
pub(crate) const WRITTEN_WITHIN: Duration = Duration::from_secs(5);

pub(crate) type Shared = State<Arc<App>>;
pub(crate) type Reply<T> = Result<T, Failure>;

/// Hands a command to a room and waits until it is on disk. The command gets an id of its own, so that it counts
/// once even if it is at first unclear whether it was written.
pub(crate) async fn ask(app: &App, room: &RoomHandle, by: Actor, command: Command) -> Reply<Vec<Event>> {
    ask_as(app, room, by, CommandId(Uuid::now_v7()), command).await
}

pub(crate) async fn ask_as(
    app: &App,
    room: &RoomHandle,
    by: Actor,
    id: CommandId,
    command: Command,
) -> Reply<Vec<Event>> {
    let at = app.clock.now();
    let answer = |reply| Answerer::Waiting(reply);
    let asked =
        |reply| Input::Command(Asked { by, id: Some(id), pressed: None, command, at, answer: answer(reply) });
    // While the ledger cannot be written the room keeps trying, but a request does not wait for ever.
    let answered = tokio::time::timeout(WRITTEN_WITHIN, room.ask(asked)).await;
    Ok(answered.map_err(|_| Failure::NotRecording)???)
}

/// The room of a stay, for a request with a pass for that stay. The request is charged to the stay's allowance.
pub(crate) async fn enter(app: &App, headers: &HeaderMap, stay: &Stay) -> Reply<RoomHandle> {
    Ok(enter_with(app, headers, stay).await?.0)
}

/// The room of a stay, and the pass that opens it.
pub(crate) async fn enter_with(app: &App, headers: &HeaderMap, stay: &Stay) -> Reply<(RoomHandle, Pass)> {
    let pass = passes::pass_for(headers, stay, &app.site, &*app.store, app.clock.now()).await?;
    let pass = pass.ok_or(Failure::NoPass)?;
    pay(app, stay)?;
    Ok((app.hub.room(stay.session).await?.ok_or(Failure::NoPass)?, pass))
}

/// Charges a request to the stay's allowance, which all its sockets and requests share.
pub(crate) fn pay(app: &App, stay: &Stay) -> Reply<()> {
    app.limits.allowance(stay).take().map_err(|_| Failure::TooOften)
}

/// The name on a seat, and whether its person is in the class.
pub(crate) async fn seat_in(room: &RoomHandle, seat: SeatId) -> Reply<Option<(Name, SeatPlace)>> {
    let found = room.ask(|reply| Input::Seat { seat, reply }).await?;
    Ok(found.map(|(name, place)| {
        let place = match place {
            Place::In | Place::Left | Place::Expected => SeatPlace::In,
            Place::Asking => SeatPlace::Asking,
            Place::TurnedAway => SeatPlace::TurnedAway,
            Place::Removed(_) => SeatPlace::Removed,
        };
        (name, place)
    }))
}
