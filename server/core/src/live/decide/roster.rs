//! Who comes and goes, and who belongs to the class.

use crate::live::command::Entry;
use crate::live::decide::begin::expected;
use crate::live::decide::check_name;
use crate::live::event::ClassEvent;
use crate::live::event::Event;
use crate::live::event::SeatEvent;
use crate::live::event::{CareEvent, How};
use crate::live::ids::SeatId;
use crate::live::refusal::Refusal;
use crate::live::state::Session;
use crate::live::state::seat::{MOST_SEATS, Place, Seat};
use crate::people::person::PersonId;
use crate::plan::group::Enrolled;
use crate::text::name;
use crate::text::{Name, Sentence};
use crate::time::EpochMs;

/// How many seats can be taken with the code. The rest are kept for people whom a desk invites, so that holders of
/// the code cannot keep them out (an agreed choice).
const SEATS_BY_CODE: usize = 1_800;
/// Most people who may be asking to come in at once, so that strangers cannot flood the desk (an agreed choice).
const MOST_ASKING: usize = 30;
/// How long the code works after people are first let in, if nobody ends the class (an agreed choice).
const CODE_FOR_MS: i64 = 24 * 3_600_000;

impl Session {
    /// Somebody comes with the code. If their name is the same as, or close to, that of a person who is expected or
    /// lost, they have to ask first: a desk says whether it is that person, before any precaution is shown or
    /// lost.
    pub(super) fn take_seat(&self, name: &Name, now: EpochMs) -> Result<Vec<Event>, Refusal> {
        check_name(name)?;
        self.check_open(now)?;
        let perhaps = self.perhaps(name);
        let how = match self.entry {
            Entry::Code if perhaps.is_none() => How::ByCode,
            Entry::Code | Entry::Ask => How::Asking,
            Entry::Closed => return Err(Refusal::EntryClosed),
        };
        let asking = self.seats.values().filter(|s| s.place == Place::Asking).count();
        if how == How::Asking && asking >= MOST_ASKING {
            return Err(Refusal::ManyAsk);
        }
        Ok(vec![self.new_seat(name, how, perhaps, SEATS_BY_CODE)?])
    }

    /// Whether people are let in now.
    #[must_use]
    pub fn lets_in(&self, now: EpochMs) -> bool {
        self.check_open(now).is_ok()
    }

    fn check_open(&self, now: EpochMs) -> Result<(), Refusal> {
        if !self.is_open() {
            return Err(Refusal::NotOpen);
        }
        let is_over = self.opened_at.is_some_and(|opened| now.since(opened) > CODE_FOR_MS);
        if is_over { Err(Refusal::CodeOver) } else { Ok(()) }
    }

    /// The person on the roster who may be coming under this name: somebody who is expected or lost. An equal name
    /// is preferred to one that is only close.
    fn perhaps(&self, name: &Name) -> Option<SeatId> {
        let waited_for = |seat: &Seat| {
            let lost = seat.place == Place::In && seat.lost.is_some();
            seat.merged_into.is_none() && (seat.place == Place::Expected || lost)
        };
        let close = self.seats.iter().filter(|(_, seat)| waited_for(seat));
        let close = close.filter(|(_, seat)| name::may_be_the_same(seat.name.as_str(), name.as_str()));
        let same = name::folded(name.as_str());
        close.min_by_key(|(id, seat)| (seat.folded != same, **id)).map(|(id, _)| *id)
    }

    /// Somebody comes by their personal link.
    pub(super) fn arrive(&self, id: SeatId) -> Result<Vec<Event>, Refusal> {
        let (id, seat) = self.seat_of(id).ok_or(Refusal::NoSuchSeat(id.0))?;
        match seat.place {
            Place::Expected => Ok(vec![CareEvent::CameIn.of(id)]),
            Place::Left => Ok(vec![SeatEvent::CameBack.of(id)]),
            Place::In => Ok(Vec::new()),
            Place::Asking | Place::TurnedAway | Place::Removed(_) => Err(Refusal::NotIn),
        }
    }

    /// Somebody who is enrolled in the group comes by their own link, also if they were enrolled after the class was
    /// made. Nobody comes in before people are let in: their page waits.
    pub(super) fn come(&self, who: &Enrolled, new_device: bool, now: EpochMs) -> Result<Vec<Event>, Refusal> {
        self.check_open(now)?;
        let (mut events, seat) = match self.seat_of_person(who.id) {
            Some(seat) => (self.arrive(seat)?, seat),
            None => {
                let seat = self.next_seat(MOST_SEATS)?;
                let mut events = expected(seat, who);
                events.push(CareEvent::CameIn.of(seat));
                (events, seat)
            }
        };
        if new_device && !self.seats.get(&seat).is_some_and(|seat| seat.new_device) {
            events.push(CareEvent::NewDevice.of(seat));
        }
        Ok(events)
    }

    /// Somebody says whether they come; of somebody who is not expected in this class, nothing is noted.
    pub(super) fn send_word(&self, person: PersonId, comes: bool) -> Vec<Event> {
        let seat = self.seat_of_person(person).and_then(|seat| Some((seat, self.seats.get(&seat)?)));
        let changed = seat.filter(|(_, seat)| seat.comes != Some(comes));
        changed.map(|(seat, _)| CareEvent::SentWord { comes }.of(seat)).into_iter().collect()
    }

    fn new_seat(
        &self,
        name: &Name,
        how: How,
        perhaps: Option<SeatId>,
        most: usize,
    ) -> Result<Event, Refusal> {
        let seat = self.next_seat(most)?;
        Ok(CareEvent::SeatTaken { name: name.clone(), how, perhaps, person: None }.of(seat))
    }

    /// The next free seat of at most `most`.
    fn next_seat(&self, most: usize) -> Result<SeatId, Refusal> {
        if self.seats.values().filter(|seat| seat.takes_a_place()).count() >= most {
            return Err(Refusal::Full);
        }
        let last = self.seats.keys().next_back().map_or(0, |seat| seat.0);
        Ok(SeatId(last + 1))
    }

    /// Lets somebody in: as themselves, or as the person on the roster whom the desk knows them to be.
    pub(super) fn let_in(&self, id: SeatId, known_as: Option<SeatId>) -> Result<Vec<Event>, Refusal> {
        let seat = self.need_asking(id)?;
        let Some(known_as) = known_as else { return Ok(vec![CareEvent::CameIn.of(seat)]) };
        let (into, person) = self.need(known_as)?;
        let comes = (person.place == Place::Expected).then_some(CareEvent::CameIn.of(into));
        let back = (person.place == Place::Left).then_some(SeatEvent::CameBack.of(into));
        Ok(comes.into_iter().chain(back).chain([ClassEvent::Merged { from: seat, into }.into()]).collect())
    }

    pub(super) fn turn_away(&self, seat: SeatId) -> Result<Event, Refusal> {
        Ok(CareEvent::TurnedAway.of(self.need_asking(seat)?))
    }

    pub(super) fn remove(&self, seat: SeatId, reason: &Sentence) -> Result<Event, Refusal> {
        Ok(CareEvent::Removed { reason: reason.clone() }.of(self.need_seat(seat)?))
    }

    pub(super) fn merge_seats(&self, from: SeatId, into: SeatId) -> Result<Event, Refusal> {
        let (from, into) = (self.need_seat(from)?, self.need_seat(into)?);
        if from == into { Err(Refusal::NoChange) } else { Ok(ClassEvent::Merged { from, into }.into()) }
    }

    pub(super) fn expect_person(&self, name: &Name) -> Result<Event, Refusal> {
        self.new_seat_by_desk(name, How::Expected)
    }

    pub(super) fn add_by_phone(&self, name: &Name) -> Result<Event, Refusal> {
        self.new_seat_by_desk(name, How::ByPhone)
    }

    fn new_seat_by_desk(&self, name: &Name, how: How) -> Result<Event, Refusal> {
        check_name(name)?;
        self.new_seat(name, how, None, MOST_SEATS)
    }

    /// The seat that `id` stands for, if that person belongs to the class.
    pub(super) fn need(&self, id: SeatId) -> Result<(SeatId, &Seat), Refusal> {
        let found = self.seat_of(id).filter(|(_, seat)| match seat.place {
            Place::In | Place::Expected | Place::Left => true,
            Place::Asking | Place::TurnedAway | Place::Removed(_) => false,
        });
        found.ok_or(Refusal::NoSuchSeat(id.0))
    }

    pub(super) fn need_seat(&self, id: SeatId) -> Result<SeatId, Refusal> {
        self.need(id).map(|(id, _)| id)
    }

    fn need_asking(&self, id: SeatId) -> Result<SeatId, Refusal> {
        let asking = self.seats.get(&id).is_some_and(|seat| seat.place == Place::Asking);
        if asking { Ok(id) } else { Err(Refusal::NoSuchSeat(id.0)) }
    }
}

impl Seat {
    /// Whether this person belongs to the class, has come and has not left.
    #[must_use]
    pub fn is_here(&self) -> bool {
        self.place == Place::In && self.merged_into.is_none()
    }
}
