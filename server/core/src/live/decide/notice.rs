//! What the server notices by itself: a person who is no longer heard from in the middle of a swallow or a hold, a
//! screen that goes away or comes back, a class whose leader is gone, and that it is time to let people in.

use crate::drill::Phase;
use crate::live::command::{Context, Noticed};
use crate::live::event::CareEvent;
use crate::live::event::ClassEvent;
use crate::live::event::Event;
use crate::live::ids::{SeatId, StepId};
use crate::live::presence::{Presence, Screen};
use crate::live::refusal::Refusal;
use crate::live::state::Session;
use crate::live::state::seat::Seat;
use crate::time::EpochMs;

/// Silence after which a message must have been missed: a page sends one every five seconds.
const MISSED_AFTER_MS: i64 = 10_000;
/// How long before its start a class of a group lets people in: a quarter of an hour.
pub const OPENS_BEFORE_MS: i64 = 15 * 60_000;

impl Session {
    /// What there is to notice at `now`; the caller gives each back as a command.
    #[must_use]
    pub fn notice(&self, now: EpochMs, presence: &Presence) -> Vec<Noticed> {
        let mut noticed = Vec::new();
        for (id, seat) in self.seats.iter().filter(|(_, seat)| seat.is_here() && !seat.by_phone) {
            if seat.lost.is_some() {
                if presence.is_heard(*id, now) {
                    noticed.push(Noticed::Found(*id));
                }
            } else if self.lost_at(*id, seat, now, presence).is_some() {
                noticed.push(Noticed::Lost(*id));
            }
            match (seat.away_since, self.away_at(*id, seat, now, presence)) {
                (Some(_), _) if presence.is_heard(*id, now) => noticed.push(Noticed::ScreenBack(*id)),
                (None, Some(_)) => noticed.push(Noticed::ScreenAway(*id)),
                (Some(_) | None, _) => {}
            }
        }
        if self.is_opening_time(now) {
            noticed.push(Noticed::OpeningTime);
        }
        if self.is_under_way() {
            match (self.lead_lost, presence.desk_is_lost(self.lead, now)) {
                (false, true) => noticed.push(Noticed::LeadLost),
                (true, false) => noticed.push(Noticed::LeadBack),
                (true, true) | (false, false) => {}
            }
        }
        noticed
    }

    pub(in crate::live) fn decide_notice(
        &self,
        ctx: &Context<'_>,
        noticed: Noticed,
    ) -> Result<Vec<Event>, Refusal> {
        let still_so = self.notice(ctx.now, ctx.presence).contains(&noticed);
        let event = match noticed {
            _ if !still_so => return Err(Refusal::NoChange),
            Noticed::Lost(id) => {
                let seat = self.seats.get(&id).ok_or(Refusal::NoSuchSeat(id.0))?;
                let (heard_at, during) =
                    self.lost_at(id, seat, ctx.now, ctx.presence).ok_or(Refusal::NoChange)?;
                CareEvent::Lost { heard_at, during }.of(id)
            }
            Noticed::Found(seat) => CareEvent::Found.of(seat),
            Noticed::ScreenAway(id) => {
                let seat = self.seats.get(&id).ok_or(Refusal::NoSuchSeat(id.0))?;
                let heard_at = self.away_at(id, seat, ctx.now, ctx.presence).ok_or(Refusal::NoChange)?;
                CareEvent::ScreenAway { heard_at }.of(id)
            }
            Noticed::ScreenBack(seat) => CareEvent::ScreenBack.of(seat),
            Noticed::LeadLost => ClassEvent::LeadLost.into(),
            Noticed::LeadBack => ClassEvent::LeadBack.into(),
            Noticed::OpeningTime => ClassEvent::Opened.into(),
        };
        Ok(vec![event])
    }

    /// Whether people are to be let in by now. A class that nobody opened by its end stays closed.
    fn is_opening_time(&self, now: EpochMs) -> bool {
        let time = |starts: EpochMs| starts.plus(-OPENS_BEFORE_MS)..starts.plus(self.class_ms);
        let is_closed = self.opened_at.is_none() && self.ended_at.is_none();
        self.opens && is_closed && self.starts.is_some_and(|starts| time(starts).contains(&now))
    }

    fn is_under_way(&self) -> bool {
        self.started_at.is_some() && self.ended_at.is_none()
    }

    /// When a screen that is away was last heard from, while people are let in. It counts for attendance alone.
    fn away_at(&self, id: SeatId, seat: &Seat, now: EpochMs, presence: &Presence) -> Option<EpochMs> {
        let is_away = self.is_open() && presence.screen(id, now) == Screen::Away;
        let heard_at = presence.lost_since(id, now).filter(|_| is_away)?;
        Some(heard_at.max(seat.joined_at))
    }

    /// When a lost person was last heard from, and where the class was then. Only a swallow or a hold counts,
    /// because silence there may mean harm.
    fn lost_at(
        &self,
        id: SeatId,
        seat: &Seat,
        now: EpochMs,
        presence: &Presence,
    ) -> Option<(EpochMs, (StepId, i64))> {
        let heard_at = presence.lost_since(id, now).filter(|_| self.is_under_way())?.max(seat.joined_at);
        // The page may have gone silent at any time up to the next message that was missed.
        let until = heard_at.plus(MISSED_AFTER_MS).min(now);
        let during = [heard_at, until].into_iter().find_map(|at| self.demands_at(at));
        during.map(|during| (heard_at, during))
    }

    /// The step and offset at `at`, if a drill with a swallow or a hold was running then.
    fn demands_at(&self, at: EpochMs) -> Option<(StepId, i64)> {
        let position = self.position(at).filter(|p| p.of.at <= at && p.of.running)?;
        let step = self.step(position.of.step)?;
        let timeline = step.timeline.stretched(&position.of.stretch);
        let demands = timeline.spans.iter().any(|s| s.phase == Phase::Swallow || s.phase.is_held());
        let inside = (0..timeline.total_ms).contains(&position.offset_ms);
        (demands && inside).then_some((step.id, position.offset_ms))
    }
}
