//! The frames of a room: each is serialised and framed once per audience, then written straight to that
//! audience's sockets.

use std::collections::{HashMap, HashSet};

use samebreath_core::live::{DeskFrame, Recorded, SeatId, Session};
use samebreath_core::text::LanguageTag;
use samebreath_core::time::EpochMs;
use samebreath_wire::{Close, ServerMessage};
use tokio::sync::watch;

use crate::outlet::{Frame, Showing, Slot, show_all};
use crate::room::handle::{ConnectionId, ScreenOutlet, Who};

/// The stage as it is shown: one frame in the plan's own language, and one for each other language of the clue.
#[derive(Debug, Clone, PartialEq, Eq)]
struct StageFrames {
    own: Frame,
    others: Vec<(LanguageTag, Frame)>,
}

impl StageFrames {
    fn of(session: &Session, now: EpochMs) -> Self {
        let frame = |stage| Frame::of(&ServerMessage::Stage { stage });
        let other = |tag: &LanguageTag| (tag.clone(), frame(session.stage_in(tag, now)));
        Self { own: frame(session.stage(now)), others: session.clue_languages().map(other).collect() }
    }

    fn shown_on(&self, screen: &ScreenOutlet) -> &Frame {
        let other = self.others.iter().find(|(tag, _)| Some(tag) == screen.language.as_ref());
        other.map_or(&self.own, |(_, frame)| frame)
    }
}

/// Sockets that all get the same frame, and the newest such frame.
#[derive(Debug, Default)]
struct Audience {
    newest: Option<Frame>,
    screens: Vec<(ConnectionId, ScreenOutlet)>,
}

impl Audience {
    /// Keeps a frame as the newest. True if it differs from the one before.
    fn is_news(&mut self, frame: Frame) -> bool {
        let is_news = self.newest.as_ref() != Some(&frame);
        self.newest = Some(frame);
        is_news
    }

    /// Works out again what the person in `seat` is shown. True if it changed. A person who is no longer in the
    /// class is shown nothing: their sockets are closed.
    fn renew(&mut self, session: &Session, seat: SeatId, now: EpochMs) -> bool {
        match session.mine(seat, now) {
            Some(mine) => self.is_news(Frame::of(&ServerMessage::Mine { mine })),
            None => {
                self.screens.iter().for_each(|(_, screen)| screen.outlet.end(Close::NotAllowed));
                false
            }
        }
    }

    /// Shows this audience's newest frame on all its screens.
    fn show(&self, own: Slot) {
        self.showings(Some(own), None).for_each(|showing| showing.show());
    }

    /// What to write to each screen: this audience's newest frame, the stage, or both.
    fn showings<'a>(
        &'a self,
        own: Option<Slot>,
        stage: Option<&'a StageFrames>,
    ) -> impl Iterator<Item = Showing<'a>> {
        let own = own.and_then(|slot| Some((slot, self.newest.as_ref()?)));
        self.screens.iter().map(move |(_, screen)| {
            let stage = stage.map(|frames| (Slot::Stage, frames.shown_on(screen)));
            Showing { outlet: &screen.outlet, own, stage }
        })
    }
}

/// The most screens that may be open at once. For a person: a phone, a tablet, a TV, and one or two connections
/// that are dead but not yet noticed. Several colleagues may share a desk, and a wall may hang in every room.
fn most_screens(who: Who) -> usize {
    match who {
        Who::Seat(_) => 5,
        Who::Desk(_) => 10,
        Who::Wall => 50,
    }
}

/// The open sockets by audience, with each audience's newest frame.
#[derive(Debug)]
pub(crate) struct Audiences {
    stage: StageFrames,
    desks: Audience,
    seats: HashMap<SeatId, Audience>,
    walls: Audience,
    recording: watch::Sender<bool>,
}

impl Audiences {
    pub(crate) fn new(session: &Session, now: EpochMs) -> Self {
        Self {
            stage: StageFrames::of(session, now),
            desks: Audience::default(),
            seats: HashMap::new(),
            walls: Audience::default(),
            recording: watch::Sender::new(true),
        }
    }

    /// Shows a new socket its newest frames, and from then on every new one.
    pub(crate) fn attach(
        &mut self,
        (connection, who): (ConnectionId, Who),
        screen: ScreenOutlet,
        session: &Session,
        desk: Option<DeskFrame>,
        now: EpochMs,
    ) {
        match who {
            Who::Seat(seat) => {
                let audience = self.seats.entry(seat).or_default();
                if audience.renew(session, seat, now) {
                    audience.show(Slot::Mine);
                }
            }
            Who::Desk(_) | Who::Wall => desk.into_iter().for_each(|desk| self.show_desk(desk)),
        }
        let stage = (Slot::Stage, &self.stage.shown_on(&screen).clone());
        let audience = self.audience(who);
        match (who, &audience.newest) {
            (Who::Seat(_), Some(mine)) => screen.outlet.show(&[(Slot::Mine, mine), stage]),
            (Who::Desk(_), Some(desk)) => screen.outlet.show(&[stage, (Slot::Desk, desk)]),
            (Who::Wall, _) | (_, None) => screen.outlet.show(&[stage]),
        }
        audience.screens.push((connection, screen));
        // Past the limit the oldest screens are closed, so that a person who opens too many keeps the newest.
        let most = most_screens(who);
        for (_, oldest) in audience.screens.iter().rev().skip(most) {
            oldest.outlet.end(Close::Replaced);
        }
    }

    pub(crate) fn detach(&mut self, connection: ConnectionId, who: Who) {
        let audience = self.audience(who);
        audience.screens.retain(|(other, _)| *other != connection);
        if let Who::Seat(seat) = who
            && self.seats.get(&seat).is_some_and(|audience| audience.screens.is_empty())
        {
            self.seats.remove(&seat);
        }
    }

    fn audience(&mut self, who: Who) -> &mut Audience {
        match who {
            Who::Seat(seat) => self.seats.entry(seat).or_default(),
            Who::Desk(_) => &mut self.desks,
            Who::Wall => &mut self.walls,
        }
    }

    /// Shows the class the stage, if it is news.
    pub(crate) fn show_stage(&mut self, session: &Session, now: EpochMs) {
        if let Some(stage) = self.new_stage(session, now) {
            let audiences = self.seats.values().chain([&self.desks, &self.walls]);
            let showings: Vec<_> = audiences.flat_map(|one| one.showings(None, Some(&stage))).collect();
            show_all(&showings);
        }
    }

    /// Shows what `events` changed, and the stage of `staged` if given. Each screen gets the stage and its
    /// person's own news in one write.
    pub(crate) fn show(
        &mut self,
        session: &Session,
        staged: Option<&Session>,
        events: &[Recorded],
        now: EpochMs,
    ) {
        let stage = staged.and_then(|staged| self.new_stage(staged, now));
        let everybody = events.iter().any(|r| r.event.concerns_everybody());
        let mut news = HashSet::new();
        for (&seat, audience) in &mut self.seats {
            let stays = session.seat_of(seat).map_or(seat, |(id, _)| id);
            let concerned = everybody || events.iter().any(|r| r.event.seat() == Some(stays));
            if concerned && audience.renew(session, seat, now) {
                news.insert(seat);
            }
        }
        let seats = self.seats.iter().flat_map(|(seat, audience)| {
            audience.showings(news.contains(seat).then_some(Slot::Mine), stage.as_ref())
        });
        let others = [&self.desks, &self.walls];
        let others = others.into_iter().flat_map(|audience| audience.showings(None, stage.as_ref()));
        let showings: Vec<_> = others.chain(seats).collect();
        show_all(&showings);
    }

    pub(crate) fn show_desk(&mut self, desk: DeskFrame) {
        let desk = Frame::of(&ServerMessage::Desk { desk: Box::new(desk) });
        if self.desks.is_news(desk) {
            self.desks.show(Slot::Desk);
        }
    }

    /// Whether any desk is open.
    pub(crate) fn has_desks(&self) -> bool {
        !self.desks.screens.is_empty()
    }

    fn new_stage(&mut self, session: &Session, now: EpochMs) -> Option<StageFrames> {
        let frames = StageFrames::of(session, now);
        let is_news = self.stage != frames;
        self.stage.clone_from(&frames);
        is_news.then_some(frames)
    }

    /// The channel that tells sockets whether the ledger can be written.
    pub(crate) fn recording(&self) -> watch::Sender<bool> {
        self.recording.clone()
    }
}
