//! The commands about people: coming in, reports, care, messages, follow-ups.

use crate::live::command::{DeskCommand, Entry};
use crate::live::event::{Event, How};
use crate::live::ids::{DeskRole, ReportId, SeatId};
use crate::live::refusal::Refusal;
use crate::live::said::ReportState;
use crate::live::state::Session;
use crate::live::state::report::Report;
use crate::live::state::seat::{MOST_SEATS, Place, Seat};
use crate::text::{Name, name};
use crate::time::EpochMs;

/// Of these so many can come by the code: whoever has it cannot keep out whom a desk invites (an agreed choice).
const SEATS_BY_CODE: usize = 1_800;
/// Most people who ask to come in at once, so that a stranger cannot fill the desk (an agreed choice).
const MOST_ASKING: usize = 30;
/// How long after people are let in the code lets somebody in, if nobody ends the class (an agreed choice).
const CODE_FOR_MS: i64 = 24 * 3_600_000;
/// Most precautions, forms and follow-ups of a session stay far below this (an agreed choice).
const MOST_FORMS: usize = 40;

impl Session {
    /// Somebody comes by the code. One whose name is, or is close to, that of somebody who is expected or lost asks
    /// first: a desk says whether it is them, before any precaution is shown or lost.
    pub(in crate::live) fn take_seat(&self, name: &Name, now: EpochMs) -> Result<Vec<Event>, Refusal> {
        if !self.is_open() {
            return Err(Refusal::NotOpen);
        }
        if self.opened_at.is_some_and(|opened| now.since(opened) > CODE_FOR_MS) {
            return Err(Refusal::CodeOver);
        }
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

    /// Who on the roster may be coming under this name: somebody who is expected or lost. The same name goes
    /// before one that is only close.
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

    /// Somebody comes by their link.
    pub(in crate::live) fn arrive(&self, id: SeatId) -> Result<Vec<Event>, Refusal> {
        let (id, seat) = self.seat_of(id).ok_or(Refusal::NoSuchSeat(id.0))?;
        match seat.place {
            Place::Expected => Ok(vec![Event::CameIn { seat: id }]),
            Place::Left => Ok(vec![Event::CameBack { seat: id }]),
            Place::In => Ok(Vec::new()),
            Place::Asking | Place::TurnedAway | Place::Removed(_) => Err(Refusal::NotIn),
        }
    }

    fn new_seat(
        &self,
        name: &Name,
        how: How,
        perhaps: Option<SeatId>,
        most: usize,
    ) -> Result<Event, Refusal> {
        if self.seats.values().filter(|seat| seat.takes_a_place()).count() >= most {
            return Err(Refusal::Full);
        }
        let last = self.seats.keys().next_back().map_or(0, |seat| seat.0);
        Ok(Event::SeatTaken { seat: SeatId(last + 1), name: name.clone(), how, perhaps })
    }

    /// Lets somebody in: as themselves, or as the person on the roster whom the desk knows them to be.
    pub(in crate::live) fn let_in(
        &self,
        id: SeatId,
        known_as: Option<SeatId>,
    ) -> Result<Vec<Event>, Refusal> {
        let seat = self.need_asking(id)?;
        let Some(known_as) = known_as else { return Ok(vec![Event::CameIn { seat }]) };
        let (into, person) = self.need(known_as)?;
        let comes = (person.place == Place::Expected).then_some(Event::CameIn { seat: into });
        let back = (person.place == Place::Left).then_some(Event::CameBack { seat: into });
        Ok(comes.into_iter().chain(back).chain([Event::Merged { from: seat, into }]).collect())
    }

    pub(in crate::live) fn decide_people(
        &self,
        role: DeskRole,
        command: &DeskCommand,
    ) -> Result<Event, Refusal> {
        Ok(match command {
            DeskCommand::TurnAway { seat } => Event::TurnedAway { seat: self.need_asking(*seat)? },
            DeskCommand::HandleReport { report, to } => self.handle_report(role, *report, *to)?,
            DeskCommand::SeeStop { seat } => {
                let (seat, of) = self.need(*seat)?;
                of.stopped.filter(|stopped| !stopped.seen).ok_or(Refusal::NoChange)?;
                Event::StopSeen { seat }
            }
            DeskCommand::TakeLost { seat } => {
                let (seat, of) = self.need(*seat)?;
                match of.lost {
                    Some(lost) if lost.taken_by != Some(role) => Event::LostTaken { seat },
                    _ => return Err(Refusal::NoChange),
                }
            }
            DeskCommand::CloseLost { seat } => {
                let (seat, of) = self.need(*seat)?;
                of.lost.filter(|lost| !lost.closed).ok_or(Refusal::NoChange)?;
                Event::LostClosed { seat }
            }
            DeskCommand::AskRest { seat } => Event::RestAsked { seat: self.need_seat(*seat)? },
            DeskCommand::Message { seat, text } => {
                Event::MessageSent { seat: self.need_seat(*seat)?, text: text.clone() }
            }
            DeskCommand::Remove { seat, reason } => {
                Event::Removed { seat: self.need_seat(*seat)?, reason: reason.clone() }
            }
            DeskCommand::Merge { from, into } => {
                let (from, into) = (self.need_seat(*from)?, self.need_seat(*into)?);
                if from == into {
                    return Err(Refusal::NoChange);
                }
                Event::Merged { from, into }
            }
            DeskCommand::Expect { name } => self.new_seat(name, How::Expected, None, MOST_SEATS)?,
            DeskCommand::AddByPhone { name } => self.new_seat(name, How::ByPhone, None, MOST_SEATS)?,
            DeskCommand::MarkSeat { seat, answer } => {
                let step = self.moves.last().map(|m| m.step);
                Event::Marked { seat: self.need_seat(*seat)?, step, mark: *answer }
            }
            DeskCommand::MarkOff { seat } | DeskCommand::LiftOff { seat } => {
                let (seat, of) = self.need(*seat)?;
                let off = matches!(command, DeskCommand::MarkOff { .. });
                if of.off_today == off {
                    return Err(Refusal::NoChange);
                }
                Event::OffToday { seat, off }
            }
            DeskCommand::AddFollowUp { seat, what, owner, due } => {
                let id = u32::try_from(self.follow_ups.len()).unwrap_or(u32::MAX) + 1;
                let seat = self.seat_of(*seat).ok_or(Refusal::NoSuchSeat(seat.0))?.0;
                Event::FollowUpAdded { id, seat, what: what.clone(), owner: owner.clone(), due: *due }
            }
            DeskCommand::CloseFollowUp { id } => {
                let open = self.follow_ups.iter().any(|f| f.id == *id && f.closed_at.is_none());
                if !open {
                    return Err(Refusal::NoSuchFollowUp);
                }
                Event::FollowUpClosed { id: *id }
            }
            clinical => self.decide_clinical(role, clinical)?,
        })
    }

    /// One deliberate act of a clinician, whose name is kept with it.
    fn decide_clinical(&self, role: DeskRole, command: &DeskCommand) -> Result<Event, Refusal> {
        let by = self.names.get(&role).ok_or(Refusal::NoName)?.clone();
        Ok(match command {
            DeskCommand::ClearSwallow { seats } => {
                let mut to_clear = Vec::new();
                for seat in seats {
                    let (seat, of) = self.need(*seat)?;
                    if of.swallow_cleared_by.is_none() && !to_clear.contains(&seat) {
                        to_clear.push(seat);
                    }
                }
                if to_clear.is_empty() {
                    return Err(Refusal::NoChange);
                }
                Event::SwallowCleared { seats: to_clear, by }
            }
            DeskCommand::EndSwallow { seat } => {
                let (seat, of) = self.need(*seat)?;
                of.swallow_cleared_by.as_ref().ok_or(Refusal::NoChange)?;
                Event::SwallowEnded { seat }
            }
            DeskCommand::ClearFamily { seat, family } => {
                Event::FamilyCleared { seat: self.need_seat(*seat)?, family: *family, by }
            }
            DeskCommand::EndFamily { seat, family } => {
                let (seat, of) = self.need(*seat)?;
                of.cleared.get(family).ok_or(Refusal::NoChange)?;
                Event::FamilyEnded { seat, family: *family }
            }
            DeskCommand::SetPrecautions { seat, conditions } => {
                let (seat, of) = self.need(*seat)?;
                if of.precautions == conditions.iter().copied().collect() {
                    return Err(Refusal::NoChange);
                }
                Event::PrecautionsSet { seat, conditions: conditions.clone() }
            }
            DeskCommand::SetForm { seat, form } => {
                let (seat, of) = self.need(*seat)?;
                if of.forms.contains(form) {
                    return Err(Refusal::NoChange);
                }
                if of.forms.len() >= MOST_FORMS {
                    return Err(Refusal::Wrong(format!(
                        "this person has {MOST_FORMS} forms; lift one first"
                    )));
                }
                Event::FormSet { seat, form: form.clone() }
            }
            DeskCommand::LiftForm { seat, of } => {
                let (seat, person) = self.need(*seat)?;
                if person.forms.iter().all(|form| form.of != *of) {
                    return Err(Refusal::NoChange);
                }
                Event::FormLifted { seat, of: of.clone() }
            }
            _ => return Err(Refusal::NotYours),
        })
    }

    /// A report can be handled in any order, and taken over from the other desk; only *seen* is
    /// nothing new once somebody has seen it.
    fn handle_report(&self, role: DeskRole, id: ReportId, to: ReportState) -> Result<Event, Refusal> {
        let report: &Report = self.reports.iter().find(|r| r.is_called(id)).ok_or(Refusal::NoSuchReport)?;
        let last = report.handled.last().map(|h| (h.to, h.by));
        let is_news = match to {
            ReportState::Recorded => false,
            ReportState::Seen => report.state == ReportState::Recorded,
            ReportState::Taken => last != Some((to, role)) || report.state == ReportState::Recorded,
            ReportState::Resting | ReportState::Back | ReportState::Closed => report.state != to,
        };
        if is_news {
            Ok(Event::ReportHandled { seat: report.seat, report: report.id, to })
        } else {
            Err(Refusal::NoChange)
        }
    }

    /// The seat `id` stands for, if that person belongs to the class.
    fn need(&self, id: SeatId) -> Result<(SeatId, &Seat), Refusal> {
        let found = self.seat_of(id).filter(|(_, seat)| match seat.place {
            Place::In | Place::Expected | Place::Left => true,
            Place::Asking | Place::TurnedAway | Place::Removed(_) => false,
        });
        found.ok_or(Refusal::NoSuchSeat(id.0))
    }

    fn need_seat(&self, id: SeatId) -> Result<SeatId, Refusal> {
        self.need(id).map(|(id, _)| id)
    }

    fn need_asking(&self, id: SeatId) -> Result<SeatId, Refusal> {
        let asking = self.seats.get(&id).is_some_and(|seat| seat.place == Place::Asking);
        if asking { Ok(id) } else { Err(Refusal::NoSuchSeat(id.0)) }
    }
}

impl Seat {
    /// Whether this is a person of the class who came and did not leave.
    #[must_use]
    pub fn is_here(&self) -> bool {
        self.place == Place::In && self.merged_into.is_none()
    }
}
