//! Everything but commands that a room is told or asked: who comes, goes and is heard from, and questions
//! about the session.

use samebreath_core::live::{LiveStep, StepId};
use tokio::sync::{oneshot, watch};
use tokio::time::Instant;

use crate::room::connections::heard;
use crate::room::handle::{ConnectionId, Input, ScreenOutlet, Who};
use crate::room::show::DESK_EVERY;
use crate::room::state::Room;

impl Room {
    pub(super) fn note(&mut self, input: Input) {
        let now = self.around.clock.now();
        // A reply that cannot be sent is dropped: the asker may be gone.
        match input {
            Input::Command(_) => {}
            Input::Attach { connection, who, screen, reply } => self.attach(connection, who, screen, reply),
            Input::Detach { connection } => self.detach(connection),
            Input::Heard { connection, visible, round_trip_ms } => {
                let Some((who, visible, is_news)) =
                    self.connections.hear(connection, &self.session, visible, round_trip_ms)
                else {
                    return;
                };
                heard(&mut self.presence, &self.session, who, visible, now);
                if is_news {
                    self.desk_within(DESK_EVERY);
                }
            }
            Input::Content { step, rev, only_named, language, reply } => {
                let content = self.content(step, rev, only_named);
                let _ = reply.send(content.map(|step| step.content_in(language.as_ref())));
            }
            Input::Person { seat, role, reply } => drop(reply.send(self.session.person(seat, role))),
            Input::Clearing { role, reply } => {
                let sees = self.session.sees_health(role);
                let _ = reply.send(sees.then(|| self.session.clearing(now, &self.presence)));
            }
            Input::Seat { seat, reply } => {
                let found = self.session.seat_of(seat);
                let _ = reply.send(found.map(|(_, seat)| (seat.name.clone(), seat.place.clone())));
            }
            Input::PersonAt { seat, reply } => {
                let _ = reply.send(self.session.seat_of(seat).and_then(|(_, seat)| seat.person));
            }
            Input::SeatOfPerson { person, reply } => drop(reply.send(self.session.seat_of_person(person))),
            Input::LetsIn { reply } => drop(reply.send(self.session.lets_in(now))),
            Input::PutAway { reply } => {
                self.is_put_away = self.connections.is_empty();
                let _ = reply.send(self.is_put_away);
            }
            Input::HasDesk { reply } => drop(reply.send(self.audiences.has_desks())),
            Input::Stage { reply } => drop(reply.send(self.session.stage(now))),
            Input::Sheet { reply } => {
                let pace = self.session.desk(now, &self.presence).pace;
                let _ = reply.send((pace.class_ms, self.session.sheet()));
            }
        }
    }

    /// The step, if the asker may have its content.
    fn content(&self, step: StepId, rev: u32, only_named: bool) -> Option<&LiveStep> {
        let live = self.session.step(step).filter(|live| live.rev == rev)?;
        let named = || {
            let stage = self.session.stage(self.around.clock.now());
            stage.steps.iter().any(|s| s.id == step)
        };
        (!only_named || named()).then_some(live)
    }

    fn attach(
        &mut self,
        connection: ConnectionId,
        who: Who,
        screen: Option<ScreenOutlet>,
        reply: oneshot::Sender<Option<watch::Receiver<bool>>>,
    ) {
        let now = self.around.clock.now();
        if let Who::Seat(seat) = who
            && self.session.mine(seat, now).is_none()
        {
            let _ = reply.send(None);
            return;
        }
        self.connections.add(connection, who);
        heard(&mut self.presence, &self.session, who, true, now);
        if let Some(screen) = screen {
            let desk = matches!(who, Who::Desk(_)).then(|| self.desk_frame(now));
            self.audiences.attach((connection, who), screen, &self.session, desk, now);
        }
        let mut recording = self.audiences.recording().subscribe();
        if !*recording.borrow() {
            recording.mark_changed();
        }
        if reply.send(Some(recording)).is_err() {
            self.detach(connection);
        }
        self.desk_within(DESK_EVERY);
    }

    fn detach(&mut self, connection: ConnectionId) {
        let now = self.around.clock.now();
        if let Some(who) = self.connections.remove(connection, &mut self.presence, &self.session, now) {
            self.audiences.detach(connection, who);
        }
        if self.connections.is_empty() {
            self.idle_since = Instant::now();
        }
        self.desk_within(DESK_EVERY);
    }
}
