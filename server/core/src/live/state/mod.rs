//! The state of a session.

pub(super) mod acts;
pub(super) mod report;
pub(super) mod seat;

use std::collections::{BTreeMap, BTreeSet, VecDeque};

use serde::{Deserialize, Serialize};

use crate::drill::Phase;
use crate::live::command::Entry;
use crate::live::event::Event;
use crate::live::ids::{CommandId, DeskRole, SeatId, StepId};
use crate::live::motion::{self, Move, Position};
use crate::live::said::{Said, Whose};
use crate::live::state::acts::DeskAct;
use crate::live::state::report::Report;
use crate::live::state::seat::Seat;
use crate::people::person::PersonId;
use crate::people::rules::{Rules, Strength};
use crate::plan::ForHome;
use crate::plan::timeline::Timeline;
use crate::plan::{Step, Title};
use crate::text::{Name, Sentence};
use crate::time::EpochMs;
use crate::time::day::Date;

/// A session, live or past.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Session {
    pub(in crate::live) seq: u64,
    pub(in crate::live) stage_seq: u64,
    pub(in crate::live) title: Title,
    pub(in crate::live) class_ms: i64,
    /// What people take home.
    pub(in crate::live) home: Vec<ForHome>,
    /// When the class is to start, if that is known.
    pub(in crate::live) starts: Option<EpochMs>,
    /// Whether it opens by itself before it starts.
    pub(in crate::live) opens: bool,
    pub(in crate::live) steps: Vec<LiveStep>,
    pub(in crate::live) moves: Vec<Move>,
    pub(in crate::live) clue: Option<LiveClue>,
    pub(in crate::live) seats: BTreeMap<SeatId, Seat>,
    pub(in crate::live) reports: Vec<Report>,
    pub(in crate::live) lead: DeskRole,
    pub(in crate::live) opened_at: Option<EpochMs>,
    pub(in crate::live) started_at: Option<EpochMs>,
    pub(in crate::live) ended_at: Option<EpochMs>,
    pub(in crate::live) sheet_rev: u32,
    pub(in crate::live) rules: Rules,
    pub(in crate::live) entry: Entry,
    pub(in crate::live) effort: Option<u32>,
    pub(in crate::live) efforts_asked: u32,
    pub(in crate::live) lead_lost: bool,
    /// The clock of the last line; later lines are never earlier.
    pub(in crate::live) last_at: EpochMs,
    /// Since when the class has stood still for safety; `None` when it does not.
    pub(in crate::live) safety_pause: Option<EpochMs>,
    /// Whether mouths still have to be checked: before the first swallow drill, and after each sip.
    pub(in crate::live) mouths_due: bool,
    /// The highest id that a step ever had, so that none is used again.
    pub(in crate::live) last_step_id: u32,
    /// The clue that was on the screens when a round was left.
    pub(in crate::live) clues_left: BTreeMap<StepId, LiveClue>,
    /// How many clues of each round were shown.
    pub(in crate::live) clues_shown: BTreeMap<StepId, u32>,
    /// The desk that gave the lead away and may take it back.
    pub(in crate::live) handed_by: Option<DeskRole>,
    pub(in crate::live) names: BTreeMap<DeskRole, Name>,
    pub(in crate::live) helper_sees_health: bool,
    pub(in crate::live) follow_ups: Vec<FollowUp>,
    pub(in crate::live) acts: VecDeque<DeskAct>,
    pub(in crate::live) counted: BTreeSet<CommandId>,
    /// The event by which a request made a seat, so that the same request makes no second one.
    pub(in crate::live) made: BTreeMap<CommandId, Event>,
}

/// A step of the session with its compiled timeline.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LiveStep {
    /// The step's id.
    pub id: StepId,
    /// How often its dose was swapped.
    pub rev: u32,
    /// The step as planned, or as changed in class.
    pub step: Step,
    /// The compiled timeline; empty for a step without a clock.
    pub timeline: Timeline,
    /// Whether it was put in during the class.
    pub inserted: bool,
}

/// How much of a clue is on the screens.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::live) struct LiveClue {
    pub step: StepId,
    pub number: u32,
    pub hints: u32,
    pub answer: bool,
    /// When the newest part of it is shown.
    pub from: EpochMs,
    /// When the clue itself was first shown.
    pub since: EpochMs,
}

/// Something to be done after class.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct FollowUp {
    /// Its number, from 1.
    pub id: u32,
    /// The seat of the person it is for.
    pub seat: SeatId,
    /// What needs to be done.
    pub what: Sentence,
    /// Who does it.
    pub owner: Name,
    /// The last day on which it should be done.
    pub due: Date,
    /// When it was done; `None` while it is open.
    pub closed_at: Option<EpochMs>,
    /// What came of it; `None` while it is open, and for one that was closed before that was asked for.
    #[serde(default)]
    pub outcome: Option<Sentence>,
}

impl Session {
    /// The number of the last event applied.
    #[must_use]
    pub fn seq(&self) -> u64 {
        self.seq
    }

    /// The number of the event that last changed what the class screens show.
    #[must_use]
    pub fn stage_seq(&self) -> u64 {
        self.stage_seq
    }

    /// What the session is called.
    #[must_use]
    pub fn title(&self) -> &Title {
        &self.title
    }

    /// What people take home.
    #[must_use]
    pub fn home(&self) -> &[ForHome] {
        &self.home
    }

    /// The desk that leads.
    #[must_use]
    pub fn lead(&self) -> DeskRole {
        self.lead
    }

    /// Whether the session is over.
    #[must_use]
    pub fn has_ended(&self) -> bool {
        self.ended_at.is_some()
    }

    /// Whether people are let in.
    #[must_use]
    pub fn is_open(&self) -> bool {
        self.opened_at.is_some() && self.ended_at.is_none()
    }

    /// The name said at the desk of `role`.
    #[must_use]
    pub fn name_at(&self, role: DeskRole) -> Option<&Name> {
        self.names.get(&role)
    }

    /// Whether the desk of `role` may see health notes and set what only a clinician sets.
    #[must_use]
    pub fn sees_health(&self, role: DeskRole) -> bool {
        role == DeskRole::Facilitator || self.helper_sees_health
    }

    /// When the first step began; `None` before that.
    #[must_use]
    pub fn started_at(&self) -> Option<EpochMs> {
        self.started_at
    }

    /// When the session ended; `None` before that.
    #[must_use]
    pub fn ended_at(&self) -> Option<EpochMs> {
        self.ended_at
    }

    /// How many times the class was asked how much effort it was.
    #[must_use]
    pub fn efforts_asked(&self) -> u32 {
        self.efforts_asked
    }

    /// What needs to be done after class.
    #[must_use]
    pub fn follow_ups(&self) -> &[FollowUp] {
        &self.follow_ups
    }

    /// Whether this command has already been counted.
    #[must_use]
    pub fn has_counted(&self, id: CommandId) -> bool {
        self.counted.contains(&id)
    }

    /// The event by which this request already made a seat, for a join or an invitation.
    #[must_use]
    pub fn made_by(&self, id: CommandId) -> Option<&Event> {
        self.made.get(&id)
    }

    /// The clock of the last line applied.
    #[must_use]
    pub fn last_at(&self) -> EpochMs {
        self.last_at
    }

    /// Since when the class has stood still for safety; `None` when it does not.
    #[must_use]
    pub fn safety_pause(&self) -> Option<EpochMs> {
        self.safety_pause
    }

    /// The steps in order.
    #[must_use]
    pub fn steps(&self) -> &[LiveStep] {
        &self.steps
    }

    /// All seats, including those that left or were merged.
    #[must_use]
    pub fn seats(&self) -> &BTreeMap<SeatId, Seat> {
        &self.seats
    }

    /// All reports in the order in which they came.
    #[must_use]
    pub fn reports(&self) -> &[Report] {
        &self.reports
    }

    /// How strong something is that somebody said, in words, by the cut-points of the house rules.
    #[must_use]
    pub fn strength(&self, said: &Said) -> Option<Strength> {
        said.strength.map(|felt| self.rules.strength(felt))
    }

    /// All moves that have taken or will take effect.
    #[must_use]
    pub fn moves(&self) -> &[Move] {
        &self.moves
    }

    /// Where the session is at `now`; `None` before the start.
    #[must_use]
    pub fn position(&self, now: EpochMs) -> Option<Position<'_>> {
        motion::position(&self.moves, now)
    }

    /// The step with this id.
    #[must_use]
    pub fn step(&self, id: StepId) -> Option<&LiveStep> {
        self.steps.iter().find(|step| step.id == id)
    }

    /// The step the session is at, or is about to be at.
    #[must_use]
    pub fn present_step(&self) -> Option<&LiveStep> {
        self.step(self.moves.last()?.step)
    }

    /// The seat that `id` stands for now: a merged seat leads to the one that stayed.
    #[must_use]
    pub fn seat_of(&self, id: SeatId) -> Option<(SeatId, &Seat)> {
        let seat = self.seats.get(&id)?;
        match seat.merged_into {
            None => Some((id, seat)),
            Some(into) => self.seats.get(&into).map(|seat| (into, seat)),
        }
    }

    /// The seat of a person who is enrolled in the group.
    #[must_use]
    pub fn seat_of_person(&self, person: PersonId) -> Option<SeatId> {
        let own = self.seats.iter().find(|(_, seat)| seat.person == Some(person));
        own.and_then(|(id, _)| self.seat_of(*id)).map(|(id, _)| id)
    }

    /// The name of one of the people on a seat; the first person's where there is no second.
    #[must_use]
    pub fn name_of(&self, seat: SeatId, whose: Whose) -> Option<Name> {
        let of = self.seats.get(&seat)?;
        let partner = of.check_in.as_ref().and_then(|c| c.partner.as_ref()).map(|p| p.name.clone());
        Some(match (whose, partner) {
            (Whose::Partner, Some(partner)) => partner,
            (Whose::Own | Whose::Partner, _) => self.called(seat, of),
        })
    }

    /// The name shown for a person at the desks: people with the same name are numbered in the order in which they
    /// came.
    pub(in crate::live) fn called(&self, id: SeatId, seat: &Seat) -> Name {
        let namesakes = self.seats.iter().filter(|(_, other)| other.counts_as_namesake());
        let namesakes = namesakes.filter(|(_, other)| other.folded == seat.folded);
        let (mut before, mut many) = (0, 0);
        for (other, _) in namesakes {
            many += 1;
            before += u32::from(*other < id);
        }
        if many > 1 && seat.counts_as_namesake() { seat.numbered(before + 1) } else { seat.name.clone() }
    }

    /// The name shown for everybody, as in [`Session::called`].
    pub(in crate::live) fn all_called(&self) -> BTreeMap<SeatId, Name> {
        let mut of_name: BTreeMap<&str, Vec<SeatId>> = BTreeMap::new();
        for (id, seat) in self.seats.iter().filter(|(_, seat)| seat.counts_as_namesake()) {
            of_name.entry(&seat.folded).or_default().push(*id);
        }
        let called = |(id, seat): (&SeatId, &Seat)| {
            let namesakes = of_name.get(&*seat.folded).filter(|all| all.len() > 1);
            let place = namesakes.and_then(|all| all.iter().position(|other| other == id));
            let number = place.and_then(|place| u32::try_from(place + 1).ok());
            (*id, number.map_or_else(|| seat.name.clone(), |number| seat.numbered(number)))
        };
        self.seats.iter().map(called).collect()
    }
}

impl LiveStep {
    /// Whether this is a swallow drill, which is off for a person until a clinician turns it on.
    #[must_use]
    pub fn is_swallow(&self) -> bool {
        self.step.drill().is_some_and(|drill| drill.family.is_swallow())
    }

    /// Whether people drink in this step.
    #[must_use]
    pub fn has_sip(&self) -> bool {
        self.timeline.spans.iter().any(|span| span.phase == Phase::Sip)
    }

    /// A step by itself, outside any session.
    #[must_use]
    pub fn alone(step: Step) -> Self {
        Self::new(StepId(0), 0, step)
    }

    pub(in crate::live) fn new(id: StepId, rev: u32, step: Step) -> Self {
        let timeline = step.timeline();
        Self { id, rev, step, timeline, inserted: false }
    }
}
