//! The roster: how each person is, and who needs the facilitator first.

use std::cmp::Reverse;

use serde::{Deserialize, Serialize};

use crate::live::state::{Answer, Report, ReportState, Seat, Session};
use crate::live::{Company, Feeling, Presence, Screen, SeatId, StopReason};
use crate::text::Name;
use crate::time::EpochMs;

/// How a person is in the class.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Status {
    /// Reported discomfort that is not dealt with.
    Discomfort,
    /// Stopped.
    Stopped,
    /// Not heard from.
    Away,
    /// Takes part.
    Working,
    /// Did the present step.
    Done,
    /// Rests, because asked to or because this drill is not for them.
    Resting,
    /// Before the start, or just joined.
    Waiting,
}

/// One line of the roster.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Row {
    /// Whose.
    pub seat: SeatId,
    /// The name.
    pub name: Name,
    /// How the person is.
    pub status: Status,
    /// Why stopped, if said.
    pub reason: Option<StopReason>,
    /// How their screen is.
    pub screen: Screen,
    /// When their screen was last heard; nothing if never.
    pub heard_at: Option<EpochMs>,
    /// No answer to the last two drills.
    pub silent: bool,
    /// Whether they checked in.
    pub checked_in: bool,
    /// What in the check-in stands out.
    pub exceptions: Vec<Exception>,
    /// A clinician turned swallow drills on for them today.
    pub swallow_cleared: bool,
    /// A message was sent and not read yet.
    pub message_unread: bool,
}

/// What stands out in a check-in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Exception {
    /// Does not feel well.
    NotWell,
    /// Is not seated upright.
    NotSeated,
    /// Has something in the mouth.
    MouthNotEmpty,
    /// Is alone.
    Alone,
}

/// How many are how, for a glance.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
#[allow(missing_docs, reason = "named as the states are")]
pub struct Counts {
    pub discomfort: u32,
    pub stopped: u32,
    pub away: u32,
    pub working: u32,
    pub done: u32,
    pub resting: u32,
    pub waiting: u32,
}

impl Session {
    /// Everybody in the class, those who need attention first: an unseen urgent report, an unseen
    /// report (strongest, then oldest), stopped, away during a drill, no answer twice in a row,
    /// working, done; by seat within each.
    #[must_use]
    pub fn roster(&self, now: EpochMs, presence: &Presence) -> Vec<Row> {
        let here = self.seats.iter().filter(|(_, seat)| seat.is_here());
        let mut rows: Vec<_> = here
            .map(|(id, seat)| {
                let row = self.row(*id, seat, now, presence);
                (self.attention(&row), row)
            })
            .collect();
        rows.sort_by_key(|(attention, row)| (*attention, row.seat));
        rows.into_iter().map(|(_, row)| row).collect()
    }

    fn row(&self, id: SeatId, seat: &Seat, now: EpochMs, presence: &Presence) -> Row {
        let screen = if seat.by_phone { Screen::Phone } else { presence.screen(id, now) };
        Row {
            seat: id,
            name: seat.name.clone(),
            status: self.status(id, seat, screen),
            reason: seat.stopped.and_then(|s| s.reason),
            screen,
            heard_at: presence.seats.get(&id).map(|heard| heard.at),
            silent: self.is_silent(seat),
            checked_in: seat.check_in.is_some(),
            exceptions: exceptions(seat),
            swallow_cleared: seat.swallow_cleared,
            message_unread: !seat.messages.is_empty(),
        }
    }

    fn status(&self, id: SeatId, seat: &Seat, screen: Screen) -> Status {
        if self.reports.iter().any(|r| r.seat == id && r.is_open()) {
            return Status::Discomfort;
        }
        if seat.stopped.is_some() {
            return Status::Stopped;
        }
        if screen == Screen::Away {
            return Status::Away;
        }
        let Some(present) = self.present_step().filter(|_| self.ended_at.is_none()) else {
            return Status::Waiting;
        };
        if seat.rest_asked || self.is_not_for(seat, present) {
            return Status::Resting;
        }
        match seat.answers.get(&present.id).map(|a| a.answer) {
            Some(Answer::Done) => Status::Done,
            Some(Answer::Stopped) | None => Status::Working,
        }
    }

    /// The place of a row in the order of attention; smaller is first.
    fn attention(&self, row: &Row) -> (u8, Reverse<u8>, EpochMs) {
        let unseen = self.reports.iter().filter(|r| r.seat == row.seat && r.is_unseen());
        let worst = unseen.max_by_key(|r| (r.urgent.is_some(), r.strength, Reverse(r.at)));
        if let Some(report) = worst {
            let class = u8::from(report.urgent.is_none());
            let strength = report.strength.map_or(0, |s| s as u8 + 1);
            return (class, Reverse(strength), report.at);
        }
        let class = match row.status {
            Status::Discomfort => 2,
            Status::Stopped => 3,
            Status::Away => 4,
            Status::Working | Status::Done | Status::Resting if row.silent => 5,
            Status::Working => 6,
            Status::Waiting => 7,
            Status::Resting => 8,
            Status::Done => 9,
        };
        (class, Reverse(0), EpochMs(0))
    }

    /// No answer to the last two drills that were left behind since the person joined.
    fn is_silent(&self, seat: &Seat) -> bool {
        let present = self.moves.last().map(|m| m.step);
        let mut past: Vec<_> = Vec::new();
        for m in self.moves.iter().rev().filter(|m| m.at >= seat.joined_at && Some(m.step) != present) {
            let is_drill = self.step(m.step).is_some_and(|s| s.step.drill().is_some());
            if is_drill && !past.contains(&m.step) {
                past.push(m.step);
            }
        }
        past.len() >= 2 && past[..2].iter().all(|step| !seat.answers.contains_key(step))
    }
}

fn exceptions(seat: &Seat) -> Vec<Exception> {
    let Some(given) = &seat.check_in else { return Vec::new() };
    let all = [
        (given.feeling == Feeling::NotWell, Exception::NotWell),
        (!given.seated, Exception::NotSeated),
        (!given.mouth_empty, Exception::MouthNotEmpty),
        (given.company == Company::Alone, Exception::Alone),
    ];
    all.into_iter().filter(|(stands_out, _)| *stands_out).map(|(_, e)| e).collect()
}

impl Report {
    /// Not dealt with and not taken back.
    #[must_use]
    pub fn is_open(&self) -> bool {
        self.state != ReportState::Closed && !self.taken_back
    }

    /// No desk has seen it. An urgent report stays unseen even when it is taken back: somebody
    /// must look.
    #[must_use]
    pub fn is_unseen(&self) -> bool {
        self.state == ReportState::Recorded && (!self.taken_back || self.urgent.is_some())
    }
}

impl Counts {
    /// Counts the rows.
    #[must_use]
    pub fn of(rows: &[Row]) -> Self {
        let mut counts = Self::default();
        for row in rows {
            let count = match row.status {
                Status::Discomfort => &mut counts.discomfort,
                Status::Stopped => &mut counts.stopped,
                Status::Away => &mut counts.away,
                Status::Working => &mut counts.working,
                Status::Done => &mut counts.done,
                Status::Resting => &mut counts.resting,
                Status::Waiting => &mut counts.waiting,
            };
            *count += 1;
        }
        counts
    }
}
