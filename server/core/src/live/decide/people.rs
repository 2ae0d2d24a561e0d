//! What staff do about people in class, and what they write down for afterwards.

use crate::live::event::CareEvent;
use crate::live::event::Event;
use crate::live::ids::{DeskRole, ReportId, SeatId};
use crate::live::refusal::Refusal;
use crate::live::said::{Mark, ReportState};
use crate::live::state::Session;
use crate::live::state::report::Report;
use crate::text::{Name, Sentence};
use crate::time::day::Date;

/// The longest time in a class that a desk may write down: a long afternoon.
const MOST_MINUTES: u32 = 600;

impl Session {
    /// A report can be handled in any order, and one desk can take it over from the other. Only *seen* changes
    /// nothing once somebody has seen it.
    pub(super) fn handle_report(
        &self,
        role: DeskRole,
        id: ReportId,
        to: ReportState,
    ) -> Result<Event, Refusal> {
        let report: &Report = self.reports.iter().find(|r| r.is_called(id)).ok_or(Refusal::NoSuchReport)?;
        let last = report.handled.last().map(|h| (h.to, h.by));
        let is_news = match to {
            ReportState::Recorded => false,
            ReportState::Seen => report.state == ReportState::Recorded,
            ReportState::Taken => last != Some((to, role)) || report.state == ReportState::Recorded,
            ReportState::Resting | ReportState::Back | ReportState::Closed => report.state != to,
        };
        if is_news {
            Ok(CareEvent::ReportHandled { report: report.id, to }.of(report.seat))
        } else {
            Err(Refusal::NoChange)
        }
    }

    pub(super) fn see_stop(&self, seat: SeatId) -> Result<Event, Refusal> {
        let (seat, of) = self.need(seat)?;
        of.stopped.filter(|stop| !stop.seen).ok_or(Refusal::NoChange)?;
        Ok(CareEvent::StopSeen.of(seat))
    }

    pub(super) fn take_lost(&self, role: DeskRole, seat: SeatId) -> Result<Event, Refusal> {
        let (seat, of) = self.need(seat)?;
        of.lost.filter(|lost| lost.taken_by != Some(role)).ok_or(Refusal::NoChange)?;
        Ok(CareEvent::LostTaken.of(seat))
    }

    pub(super) fn close_lost(&self, seat: SeatId) -> Result<Event, Refusal> {
        let (seat, of) = self.need(seat)?;
        of.lost.filter(|lost| !lost.closed).ok_or(Refusal::NoChange)?;
        Ok(CareEvent::LostClosed.of(seat))
    }

    pub(super) fn message(&self, seat: SeatId, text: &Sentence) -> Result<Event, Refusal> {
        Ok(CareEvent::MessageSent { text: text.clone() }.of(self.need_seat(seat)?))
    }

    /// Whoever takes part by telephone has no screen to read it on.
    pub(super) fn message_all(&self, text: &Sentence) -> Result<Vec<Event>, Refusal> {
        let with_screen = self.seats.iter().filter(|(_, seat)| seat.is_here() && !seat.by_phone);
        let events: Vec<_> =
            with_screen.map(|(id, _)| CareEvent::MessageSent { text: text.clone() }.of(*id)).collect();
        if events.is_empty() { Err(Refusal::NobodyToRead) } else { Ok(events) }
    }

    pub(super) fn mark_seat(&self, seat: SeatId, mark: Mark) -> Result<Event, Refusal> {
        let step = self.moves.last().map(|m| m.step);
        Ok(CareEvent::Marked { step, mark }.of(self.need_seat(seat)?))
    }

    pub(super) fn set_off_today(&self, seat: SeatId, off: bool) -> Result<Event, Refusal> {
        let (seat, of) = self.need(seat)?;
        if of.off_today == off { Err(Refusal::NoChange) } else { Ok(CareEvent::OffToday { off }.of(seat)) }
    }

    /// A follow-up can be about anybody who was in the class.
    pub(super) fn add_follow_up(
        &self,
        seat: SeatId,
        what: &Sentence,
        owner: &Name,
        due: Date,
    ) -> Result<Event, Refusal> {
        let id = self.next_follow_up();
        let (seat, _) = self.seat_of(seat).ok_or(Refusal::NoSuchSeat(seat.0))?;
        Ok(CareEvent::FollowUpAdded { id, what: what.clone(), owner: owner.clone(), due }.of(seat))
    }

    pub(super) fn next_follow_up(&self) -> u32 {
        u32::try_from(self.follow_ups.len()).unwrap_or(u32::MAX).saturating_add(1)
    }

    pub(super) fn close_follow_up(&self, id: u32, outcome: &Sentence) -> Result<Event, Refusal> {
        let mut open = self.follow_ups.iter().filter(|f| f.closed_at.is_none());
        let of = open.find(|f| f.id == id).ok_or(Refusal::NoSuchFollowUp)?;
        Ok(CareEvent::FollowUpDone { id, outcome: outcome.clone() }.of(of.seat))
    }

    /// Whoever was expected or came can have been in the class, however their screen did.
    pub(super) fn set_attendance(
        &self,
        seat: SeatId,
        minutes: u32,
        reason: &Sentence,
    ) -> Result<Event, Refusal> {
        self.started_at.ok_or(Refusal::NotStarted)?;
        let (seat, _) = self.seat_of(seat).ok_or(Refusal::NoSuchSeat(seat.0))?;
        if minutes > MOST_MINUTES {
            return Err(Refusal::Wrong(format!(
                "`minutes` is {minutes}; it must be from 0 to {MOST_MINUTES}"
            )));
        }
        Ok(CareEvent::AttendanceSet { minutes, reason: reason.clone() }.of(seat))
    }
}
