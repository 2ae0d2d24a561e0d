//! A class that was held, played from its beginning to its end in one go: a demonstration has a past, and what is read
//! from ledgers can be tried on as many as one likes.

use uuid::Uuid;

use crate::library::Library;
use crate::live::{
    Actor, ClueFrame, Command, Content, Context, DeskCommand, DeskRole, Event, Heard, Presence, Recorded,
    ReportId, ReportState, Said, SeatCommand, SeatId, Session, StagePhase, StepRef,
};
use crate::plan::Body;
use crate::rehearse::{Act, Players, Rehearsed, sore_neck};
use crate::text::{Name, Sentence};
use crate::time::EpochMs;
use crate::time::day::Date;

/// How long before its start the facilitator opens the class.
const OPENS_BEFORE_MS: i64 = 10 * 60_000;
/// How often everybody looks.
const TICK_MS: i64 = 1_000;
/// A class that has not ended by then is not played on.
const LONGEST_MS: i64 = 4 * 3_600_000;
/// How long a clue is up before its first hint, between hints, and before the next clue.
const HINT_MS: i64 = 20_000;
/// How long an effort question is waited for.
const EFFORT_MS: i64 = 25_000;
/// How long the class stays at the end of a drill, in which people say that they did it.
const SETTLES_MS: i64 = 6_000;
/// How long people are asked about their mouths before a swallow.
const MOUTHS_MS: i64 = 10_000;
/// How long somebody who reported rests before the facilitator speaks with them, and then until they are back.
const TALK_MS: i64 = 30_000;

/// A class to be played.
#[derive(Debug)]
pub struct Past<'a> {
    /// What it begins with: the class, and who is expected.
    pub begins: Vec<Event>,
    /// Who comes, and to which seat. Those without a seat join with the code.
    pub people: Vec<(Rehearsed, Option<SeatId>)>,
    /// Where drills are looked up.
    pub library: &'a Library,
    /// Chooses what people do.
    pub seed: u64,
    /// When it was made.
    pub made: EpochMs,
    /// When it started.
    pub starts: EpochMs,
    /// Who led it.
    pub led_by: Name,
    /// What is noted for afterwards about whoever reports something, and by when it is to be done.
    pub follow_up: Option<(Sentence, Date)>,
}

impl Past<'_> {
    /// The ledger of the class. The same class gives the same ledger.
    #[must_use]
    pub fn ledger(self) -> Vec<Recorded> {
        let Some(mut play) = Play::begin(self) else { return Vec::new() };
        while play.tick().is_some() {}
        play.ledger
    }
}

struct Play<'a> {
    past: Past<'a>,
    session: Session,
    ledger: Vec<Recorded>,
    presence: Presence,
    players: Players,
    seats: Vec<Option<SeatId>>,
    now: EpochMs,
    /// When the facilitator last moved the class on, and when the newest part of a clue came up.
    moved: EpochMs,
    clue_since: EpochMs,
    asked_effort: bool,
    reports: u32,
}

impl<'a> Play<'a> {
    fn begin(mut past: Past<'a>) -> Option<Self> {
        let mut begins = std::mem::take(&mut past.begins).into_iter();
        let first = Recorded { seq: 1, at: past.made, by: Actor::Entry, cause: None, event: begins.next()? };
        let people = std::mem::take(&mut past.people);
        let seats = people.iter().map(|(_, seat)| *seat).collect();
        let players = Players::new(people.into_iter().map(|(person, _)| person).collect(), past.seed);
        let mut play = Self {
            session: Session::from_first(&first)?,
            ledger: vec![first],
            presence: Presence::default(),
            players,
            seats,
            now: past.made,
            moved: past.starts,
            clue_since: past.starts,
            asked_effort: false,
            reports: 0,
            past,
        };
        begins.for_each(|event| play.record(Actor::Entry, event));
        play.now = play.past.starts.plus(-OPENS_BEFORE_MS);
        play.presence.desks.insert(DeskRole::Facilitator, Heard::now(play.now, true));
        play.desk(DeskCommand::SayName { name: play.past.led_by.clone() });
        play.desk(DeskCommand::Open);
        Some(play)
    }

    /// One second of the class; `None` when it is over.
    fn tick(&mut self) -> Option<()> {
        if self.session.has_ended() || self.now.since(self.past.starts) > LONGEST_MS {
            return None;
        }
        self.now = self.now.plus(TICK_MS);
        for heard in self.presence.seats.values_mut().chain(self.presence.desks.values_mut()) {
            heard.at = self.now;
        }
        self.lead();
        let stage = self.session.stage(self.now);
        if let Some(StepRef { id, .. }) = self.players.new_step(&stage) {
            let content: Option<Content> = self.session.step(id).map(|step| step.content());
            if let Some(content) = content {
                self.players.enter(&content, &stage, self.now);
            }
        }
        for (index, act) in self.players.look(&stage, self.now) {
            self.carry_out(index, act);
        }
        Some(())
    }

    /// What the facilitator does: the plan, step by step, at its own pace.
    fn lead(&mut self) {
        let stage = self.session.stage(self.now);
        match stage.phase {
            StagePhase::Waiting if self.now >= self.past.starts => {
                self.desk(DeskCommand::Start);
                self.moved = self.now;
            }
            StagePhase::Running => {
                self.look_after_people();
                self.go_on(stage.clue.as_ref());
            }
            StagePhase::Closed | StagePhase::Waiting | StagePhase::Ended => {}
        }
    }

    fn go_on(&mut self, clue: Option<&ClueFrame>) {
        let Some(present) = self.session.present_step() else { return };
        let (id, planned_ms) = (present.id, present.step.planned_ms());
        let is_last = self.session.steps().last().is_some_and(|step| step.id == id);
        let in_step_ms = self.now.since(self.moved);
        match &present.step.body {
            Body::Effort { .. } if !self.asked_effort => {
                self.asked_effort = true;
                return self.desk(DeskCommand::AskEffort);
            }
            Body::Clues { .. } if in_step_ms < planned_ms => return self.lead_clue(clue),
            _ => {}
        }
        // A swallow waits until everybody has said that their mouth is empty.
        let stands = self.session.moves().last().is_some_and(|last| !last.running);
        if stands && !present.timeline.spans.is_empty() && in_step_ms >= MOUTHS_MS {
            self.moved = self.now;
            return self.desk(DeskCommand::GoOn);
        }
        let settles_ms = if present.step.drill().is_some() { SETTLES_MS } else { 0 };
        let takes_ms = if self.asked_effort { planned_ms.max(EFFORT_MS) } else { planned_ms + settles_ms };
        if in_step_ms < takes_ms {
            return;
        }
        (self.asked_effort, self.moved) = (false, self.now);
        self.desk(if is_last { DeskCommand::End } else { DeskCommand::Next });
    }

    fn lead_clue(&mut self, clue: Option<&ClueFrame>) {
        if clue.is_some() && self.now.since(self.clue_since) < HINT_MS {
            return;
        }
        self.clue_since = self.now;
        match clue {
            Some(clue) if clue.answer.is_none() && clue.hints.is_empty() => self.desk(DeskCommand::ShowHint),
            Some(clue) if clue.answer.is_none() => self.desk(DeskCommand::ShowAnswer),
            _ => self.desk(DeskCommand::ShowClue),
        }
    }

    /// Stops are seen; whoever reported something is spoken with, rests and comes back.
    fn look_after_people(&mut self) {
        let stopped: Vec<SeatId> = self
            .session
            .seats()
            .iter()
            .filter(|(_, seat)| seat.stopped.as_ref().is_some_and(|stop| !stop.seen))
            .map(|(seat, _)| *seat)
            .collect();
        stopped.into_iter().for_each(|seat| self.desk(DeskCommand::SeeStop { seat }));
        let reports: Vec<_> =
            self.session.reports().iter().map(|one| (one.id, one.seat, one.state, one.at)).collect();
        for (report, seat, state, at) in reports {
            let waited_ms = self.now.since(at);
            let to = match state {
                ReportState::Recorded | ReportState::Seen => ReportState::Taken,
                ReportState::Taken if waited_ms >= TALK_MS => ReportState::Resting,
                ReportState::Resting if waited_ms >= 6 * TALK_MS => ReportState::Back,
                _ => continue,
            };
            self.desk(DeskCommand::HandleReport { report, to });
            if let (ReportState::Resting, Some((what, due))) = (to, self.past.follow_up.clone()) {
                let owner = self.past.led_by.clone();
                self.desk(DeskCommand::AddFollowUp { seat, what, owner, due });
            }
        }
    }

    fn carry_out(&mut self, index: usize, act: Act) {
        let said = match act {
            Act::Join => return self.join(index),
            Act::Tell(said) => said,
            Act::ReportSoreNeck => {
                self.reports += 1;
                let id = u128::from(self.past.seed) << 64 | u128::from(self.reports);
                let said: Said = sore_neck();
                SeatCommand::Report { report: ReportId(Uuid::from_u128(id)), said }
            }
            Act::Vanish => {
                if let Some(seat) = self.seat_here(index) {
                    self.presence.seats.remove(&seat);
                }
                return;
            }
            Act::Return => {
                if let Some(seat) = self.seats.get(index).copied().flatten() {
                    self.presence.seats.insert(seat, Heard::now(self.now, true));
                }
                return;
            }
        };
        if let Some(seat) = self.seat_here(index) {
            self.ask(Actor::Seat(seat), &Command::Seat(said));
        }
    }

    /// The person's seat, while they are on the network.
    fn seat_here(&self, index: usize) -> Option<SeatId> {
        let seat = self.seats.get(index).copied().flatten()?;
        self.presence.seats.contains_key(&seat).then_some(seat)
    }

    fn join(&mut self, index: usize) {
        let Some(person) = self.players.person(index) else { return };
        let name = person.name.clone();
        let seat = match self.seats.get(index).copied().flatten() {
            Some(seat) => {
                self.ask(Actor::Entry, &Command::Arrive { seat });
                Some(seat)
            }
            None => {
                let events = self.ask(Actor::Entry, &Command::TakeSeat { name });
                events.iter().find_map(Event::seat)
            }
        };
        if let (Some(place), Some(seat)) = (self.seats.get_mut(index), seat) {
            *place = Some(seat);
            self.presence.seats.insert(seat, Heard::now(self.now, true));
        }
    }

    fn desk(&mut self, command: DeskCommand) {
        self.ask(Actor::Desk(DeskRole::Facilitator), &Command::Desk(command));
    }

    /// What came of a command. One that does not fit the moment does nothing, as in class.
    fn ask(&mut self, by: Actor, command: &Command) -> Vec<Event> {
        let context = Context {
            now: self.now,
            lead_time_ms: 0,
            library: self.past.library,
            presence: &self.presence,
            pressed: None,
        };
        let events = self.session.decide(&context, by, command).unwrap_or_default();
        events.iter().for_each(|event| self.record(by, event.clone()));
        events
    }

    fn record(&mut self, by: Actor, event: Event) {
        let recorded = Recorded { seq: self.session.seq() + 1, at: self.now, by, cause: None, event };
        self.session.apply(&recorded);
        self.ledger.push(recorded);
    }
}
