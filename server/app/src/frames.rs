//! The frames of a room: serialised once per audience, kept as the newest of their kind.

use std::collections::HashMap;

use samebreath_core::live::{Presence, Recorded, SeatId, Session};
use samebreath_core::time::EpochMs;
use samebreath_wire::ServerMessage;
use tokio::sync::watch;

use crate::room::{Attached, Frame, Who};

/// The newest frame of each audience.
#[derive(Debug)]
pub(crate) struct Frames {
    stage: watch::Sender<Frame>,
    desk: watch::Sender<Frame>,
    seats: HashMap<SeatId, watch::Sender<Frame>>,
    recording: watch::Sender<bool>,
}

impl Frames {
    pub(crate) fn new(session: &Session, presence: &Presence, now: EpochMs) -> Self {
        Self {
            stage: watch::Sender::new(stage(session, now)),
            desk: watch::Sender::new(desk(session, presence, now)),
            seats: HashMap::new(),
            recording: watch::Sender::new(true),
        }
    }

    /// The frames for a new socket, the newest ones marked as not seen yet.
    pub(crate) fn attach(
        &mut self,
        who: Who,
        session: &Session,
        presence: &Presence,
        now: EpochMs,
    ) -> Attached {
        let newest = |sender: &watch::Sender<Frame>| {
            let mut receiver = sender.subscribe();
            receiver.mark_changed();
            receiver
        };
        let mine = match who {
            Who::Seat(seat) => {
                let sender =
                    self.seats.entry(seat).or_insert_with(|| watch::Sender::new(mine(session, seat, now)));
                sender.send_replace(mine(session, seat, now));
                Some(newest(sender))
            }
            Who::Desk(_) | Who::Wall => None,
        };
        let desk = match who {
            Who::Desk(_) => {
                self.show_desk(session, presence, now);
                Some(newest(&self.desk))
            }
            Who::Seat(_) | Who::Wall => None,
        };
        let mut recording = self.recording.subscribe();
        if !*recording.borrow() {
            recording.mark_changed();
        }
        Attached { stage: newest(&self.stage), mine, desk, recording }
    }

    pub(crate) fn show_stage(&self, session: &Session, now: EpochMs) {
        replace(&self.stage, stage(session, now));
    }

    pub(crate) fn show_desk(&self, session: &Session, presence: &Presence, now: EpochMs) {
        if self.desk.receiver_count() > 0 {
            replace(&self.desk, desk(session, presence, now));
        }
    }

    /// Shows each person whom `events` concern what is new for them.
    pub(crate) fn show_persons(&mut self, session: &Session, events: &[Recorded], now: EpochMs) {
        let everybody = events.iter().any(|r| r.event.concerns_everybody());
        self.seats.retain(|_, sender| sender.receiver_count() > 0);
        for (seat, sender) in &self.seats {
            let stays = session.seat_of(*seat).map_or(*seat, |(id, _)| id);
            if everybody || events.iter().any(|r| r.event.seat() == Some(stays)) {
                replace(sender, mine(session, *seat, now));
            }
        }
    }

    /// Where it is said whether the ledger can be written.
    pub(crate) fn recording(&self) -> watch::Sender<bool> {
        self.recording.clone()
    }
}

fn replace(sender: &watch::Sender<Frame>, frame: Frame) {
    sender.send_if_modified(|before| {
        let changed = *before != frame;
        if changed {
            *before = frame;
        }
        changed
    });
}

fn stage(session: &Session, now: EpochMs) -> Frame {
    ServerMessage::Stage { stage: session.stage(now) }.encode().into()
}

fn desk(session: &Session, presence: &Presence, now: EpochMs) -> Frame {
    ServerMessage::Desk { desk: Box::new(session.desk(now, presence)) }.encode().into()
}

/// Empty for somebody who is not in the class, which ends their sockets.
fn mine(session: &Session, seat: SeatId, now: EpochMs) -> Frame {
    session
        .mine(seat, now)
        .map_or_else(|| Frame::from(""), |mine| ServerMessage::Mine { mine }.encode().into())
}
