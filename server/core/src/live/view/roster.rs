//! The roster: how each person is, and who needs the facilitator first.

use std::cmp::Reverse;
use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use crate::drill::form::Form;
use crate::live::ids::{SeatId, StepId};
use crate::live::presence::{Presence, Screen};
use crate::live::said::{Company, Feeling, StopReason};
use crate::live::state::Session;
use crate::live::state::report::Report;
use crate::live::state::seat::{Answer, ClueSaid, Place, Seat};
use crate::text::Name;
use crate::time::EpochMs;

/// The state of a person in the class.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Status {
    /// Reported discomfort that is not resolved.
    Discomfort,
    /// Has stopped.
    Stopped,
    /// Is not heard from.
    Away,
    /// Is taking part.
    Working,
    /// Did the present step.
    Done,
    /// Is resting, because a desk asked or because this drill is not for them.
    Resting,
    /// Waits: the class has not started, or they have only just joined.
    Waiting,
}

/// One line of the roster.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Row {
    /// The person's seat.
    pub seat: SeatId,
    /// The person's name.
    pub name: Name,
    /// The name of the second person on the same device.
    pub partner: Option<Name>,
    /// The person's state.
    pub status: Status,
    /// Why they stopped, if they said so.
    pub reason: Option<StopReason>,
    /// Why they are resting.
    pub rest: Option<RestReason>,
    /// The state of their screen.
    pub screen: Screen,
    /// When their screen was last heard from; absent if never.
    pub heard_at: Option<EpochMs>,
    /// Whether they gave no answer to the last two drills.
    pub silent: bool,
    /// What the present step asks of this person.
    pub form: Form,
    /// Whether they checked in.
    pub checked_in: bool,
    /// What stands out in their check-in.
    pub exceptions: Vec<Exception>,
    /// Whether they get the easier forms today.
    pub off_today: bool,
    /// How many messages they have not read yet.
    pub unread: u32,
    /// Whether they have the clue that is on the screens.
    pub has_clue: bool,
    /// Whether they came from a device on which their link had not been used before.
    pub new_device: bool,
    /// Whether they said beforehand that they cannot come, and have not come.
    pub cannot_come: bool,
}

/// Why a person rests.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum RestReason {
    /// A desk asked them to rest.
    Asked,
    /// This drill is not for them today.
    NotForThem,
    /// They have not yet said that their mouth is empty.
    MouthNotSaid,
}

/// What stands out in a check-in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Exception {
    /// Does not feel well.
    NotWell,
    /// The partner does not feel well.
    PartnerNotWell,
    /// Does not sit upright in a stable chair.
    NotSeated,
    /// Has something in the mouth.
    MouthNotEmpty,
    /// Must not drink.
    MustNotDrink,
    /// Something is new since the last class.
    News,
    /// Is alone.
    Alone,
    /// Did not say where they are or whom to call.
    NoPlace,
    /// Left a question unanswered.
    NotAllSaid,
}

/// How many people are in each state, for a glance.
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
    /// Everybody in the class, those who need attention first: an unseen urgent report, an unseen report
    /// (strongest first, then oldest), stopped, away during a drill, two drills in a row without an answer,
    /// working, done; within each, by seat.
    #[must_use]
    pub fn roster(&self, now: EpochMs, presence: &Presence) -> Vec<Row> {
        self.roster_of(&self.all_called(), now, presence)
    }

    pub(in crate::live) fn roster_of(
        &self,
        called: &BTreeMap<SeatId, Name>,
        now: EpochMs,
        presence: &Presence,
    ) -> Vec<Row> {
        let known = Known { called, left: self.left_drills(), now, presence };
        let here = self.seats.iter().filter(|(_, seat)| seat.is_on_the_roster());
        let mut rows: Vec<_> = here
            .map(|(id, seat)| {
                let row = self.row(*id, seat, &known);
                (self.attention(&row), row)
            })
            .collect();
        rows.sort_by_key(|(attention, row)| (*attention, row.seat));
        rows.into_iter().map(|(_, row)| row).collect()
    }

    fn row(&self, id: SeatId, seat: &Seat, known: &Known<'_>) -> Row {
        let screen = match seat.place {
            Place::Expected => Screen::NotYet,
            _ if seat.by_phone => Screen::Phone,
            _ => known.presence.screen(id, known.now),
        };
        let form = self.present_step().map_or(Form::Full, |step| self.form(seat, step));
        let status = self.status(id, seat, screen, form);
        let why_rest = if seat.rest_asked {
            RestReason::Asked
        } else if form == Form::MouthFirst {
            RestReason::MouthNotSaid
        } else {
            RestReason::NotForThem
        };
        Row {
            seat: id,
            name: known.called.get(&id).unwrap_or(&seat.name).clone(),
            partner: seat.check_in.as_ref().and_then(|c| c.partner.as_ref()).map(|p| p.name.clone()),
            status,
            reason: seat.stopped.and_then(|s| s.reason),
            rest: (status == Status::Resting).then_some(why_rest),
            screen,
            heard_at: known.presence.seats.get(&id).map(|heard| heard.at),
            silent: known.is_silent(seat),
            form,
            checked_in: seat.check_in.is_some(),
            exceptions: exceptions(seat),
            off_today: seat.off_today,
            unread: u32::try_from(seat.messages.iter().filter(|m| m.read_at.is_none()).count())
                .unwrap_or(u32::MAX),
            has_clue: self
                .clue
                .is_some_and(|clue| seat.clues.get(&(clue.step, clue.number)).is_some_and(ClueSaid::has_it)),
            new_device: seat.new_device,
            cannot_come: seat.comes == Some(false) && seat.place == Place::Expected,
        }
    }

    fn status(&self, id: SeatId, seat: &Seat, screen: Screen, form: Form) -> Status {
        if self.reports.iter().any(|r| r.seat == id && r.is_open()) {
            return Status::Discomfort;
        }
        if seat.stopped.is_some() {
            return Status::Stopped;
        }
        match screen {
            Screen::Away => return Status::Away,
            Screen::NotYet => return Status::Waiting,
            Screen::Live | Screen::Quiet | Screen::Off | Screen::Phone => {}
        }
        let Some(present) = self.present_step().filter(|_| self.ended_at.is_none()) else {
            return Status::Waiting;
        };
        if seat.rest_asked || matches!(form, Form::Rest | Form::MouthFirst) {
            return Status::Resting;
        }
        match seat.answers.get(&present.id).map(|a| a.answer) {
            Some(Answer::Done) => Status::Done,
            Some(Answer::Stopped) | None => Status::Working,
        }
    }

    /// Where a row comes in the order of attention; smaller comes first.
    fn attention(&self, row: &Row) -> (u8, Reverse<u8>, EpochMs) {
        let unseen = self.reports.iter().filter(|r| r.seat == row.seat && r.is_unseen());
        let strength = |r: &Report| self.strength(&r.said);
        let worst = unseen.max_by_key(|r| (r.said.urgent.is_some(), strength(r), Reverse(r.at)));
        if let Some(report) = worst {
            let class = u8::from(report.said.urgent.is_none());
            let strength = strength(report).map_or(0, |s| s as u8 + 1);
            return (class, Reverse(strength), report.at);
        }
        let in_drill = self.present_step().is_some_and(|step| step.step.drill().is_some());
        let class = match row.status {
            Status::Discomfort => 2,
            Status::Stopped => 3,
            Status::Away if in_drill => 4,
            Status::Working | Status::Done | Status::Resting if row.silent => 5,
            Status::Working => 6,
            Status::Away => 7,
            Status::Waiting => 8,
            Status::Resting => 9,
            Status::Done => 10,
        };
        (class, Reverse(0), EpochMs(0))
    }

    /// The drills that the class has left, the latest first, each with when it last began.
    fn left_drills(&self) -> Vec<(StepId, EpochMs)> {
        let present = self.moves.last().map(|m| m.step);
        let mut left: Vec<(StepId, EpochMs)> = Vec::new();
        for m in self.moves.iter().rev().filter(|m| Some(m.step) != present) {
            let is_new = left.iter().all(|(step, _)| *step != m.step);
            if is_new && self.step(m.step).is_some_and(|s| s.step.drill().is_some()) {
                left.push((m.step, m.at));
            }
        }
        left
    }
}

/// What every row needs, worked out once.
struct Known<'a> {
    called: &'a BTreeMap<SeatId, Name>,
    left: Vec<(StepId, EpochMs)>,
    now: EpochMs,
    presence: &'a Presence,
}

impl Known<'_> {
    /// Whether the person answered neither of the last two drills that began after they joined and that the class
    /// has left.
    fn is_silent(&self, seat: &Seat) -> bool {
        let since = self.left.iter().filter(|(_, at)| *at >= seat.joined_at);
        let last: Vec<_> = since.take(2).map(|(step, _)| step).collect();
        last.len() == 2 && last.iter().all(|step| !seat.answers.contains_key(step))
    }
}

fn exceptions(seat: &Seat) -> Vec<Exception> {
    let Some(given) = &seat.check_in else { return Vec::new() };
    let partner = given.partner.as_ref();
    let nothing_said = given.place.is_none() || given.contact.is_none();
    let left_out = given.feeling.is_none() || given.seated.is_none() || given.mouth_empty.is_none();
    let all = [
        (given.feeling == Some(Feeling::NotWell), Exception::NotWell),
        (partner.is_some_and(|p| p.feeling == Some(Feeling::NotWell)), Exception::PartnerNotWell),
        (given.seated == Some(false), Exception::NotSeated),
        (
            given.mouth_empty == Some(false) || partner.is_some_and(|p| p.mouth_empty == Some(false)),
            Exception::MouthNotEmpty,
        ),
        (given.must_not_drink, Exception::MustNotDrink),
        (given.news == Some(true), Exception::News),
        (given.company == Some(Company::Alone), Exception::Alone),
        (nothing_said, Exception::NoPlace),
        (left_out || given.news.is_none(), Exception::NotAllSaid),
    ];
    all.into_iter().filter(|(stands_out, _)| *stands_out).map(|(_, e)| e).collect()
}

impl Seat {
    fn is_on_the_roster(&self) -> bool {
        matches!(self.place, Place::In | Place::Expected) && self.merged_into.is_none()
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
