//! A class to press commands in, with a clock that the test turns.

use samebreath_core::library::Library;
use samebreath_core::live::{
    Actor, Command, Context, DeskCommand, DeskRole, Event, Felt, Form, Heard, Noticed, Presence, Recorded,
    Refusal, ReportId, Row, Said, SeatCommand, SeatId, Session, Status, StepId, UrgentSign, Where,
};
use samebreath_core::time::EpochMs;
use uuid::Uuid;

pub const LEAD_MS: i64 = 400;
pub const FACILITATOR: Actor = Actor::Desk(DeskRole::Facilitator);
pub const HELPER: Actor = Actor::Desk(DeskRole::Helper);

pub struct Class {
    pub session: Session,
    pub ledger: Vec<Recorded>,
    pub library: Library,
    pub presence: Presence,
    pub now: EpochMs,
}

impl Class {
    pub fn new(plan: &str) -> Self {
        let plan = super::plan(&format!("title = \"x\"\nminutes = 60\n{plan}"));
        let first = Recorded {
            seq: 1,
            at: EpochMs(0),
            by: Actor::Entry,
            cause: None,
            event: Session::begin(plan, super::rules()),
        };
        let session = Session::from_first(&first).unwrap();
        let library = super::library();
        Self { session, ledger: vec![first], library, presence: Presence::default(), now: EpochMs(1_000) }
    }

    pub fn open(plan: &str) -> Self {
        let mut class = Self::new(plan);
        class.desk(DeskCommand::Open);
        class
    }

    pub fn context(&self) -> Context<'_> {
        Context { now: self.now, lead_ms: LEAD_MS, library: &self.library, presence: &self.presence }
    }

    pub fn try_do(&mut self, by: Actor, command: Command) -> Result<(), Refusal> {
        let ctx = self.context();
        let events = self.session.decide(&ctx, by, &command)?;
        self.record(by, events);
        Ok(())
    }

    pub fn record(&mut self, by: Actor, events: Vec<Event>) {
        for event in events {
            let recorded = Recorded { seq: self.session.seq() + 1, at: self.now, by, cause: None, event };
            self.session.apply(&recorded);
            self.ledger.push(recorded);
        }
    }

    pub fn desk(&mut self, command: DeskCommand) {
        self.try_do(FACILITATOR, Command::Desk(command)).unwrap();
    }

    pub fn refused(&mut self, command: DeskCommand) -> Refusal {
        self.try_do(FACILITATOR, Command::Desk(command)).unwrap_err()
    }

    pub fn seat(&mut self, seat: SeatId, command: SeatCommand) {
        self.try_do(Actor::Seat(seat), Command::Seat(command)).unwrap();
    }

    pub fn join(&mut self, name: &str) -> SeatId {
        self.try_do(Actor::Entry, Command::TakeSeat { name: name.try_into().unwrap() }).unwrap();
        let seat = *self.session.seats().keys().last().unwrap();
        self.hear(seat);
        seat
    }

    pub fn hear(&mut self, seat: SeatId) {
        self.presence.seats.insert(seat, Heard::now(self.now, true));
    }

    pub fn wait_ms(&mut self, ms: i64) {
        self.now = self.now.plus(ms);
        for heard in self.presence.seats.values_mut() {
            heard.at = self.now;
        }
    }

    pub fn offset_ms(&self) -> i64 {
        self.session.position(self.now).unwrap().offset_ms
    }

    pub fn status(&self, seat: SeatId) -> Status {
        self.row(seat).status
    }

    pub fn row(&self, seat: SeatId) -> Row {
        let rows = self.session.roster(self.now, &self.presence);
        rows.into_iter().find(|row| row.seat == seat).unwrap()
    }

    pub fn report(&mut self, seat: SeatId, id: u128, strength: Option<Felt>, urgent: Option<UrgentSign>) {
        let report = ReportId(Uuid::from_u128(id));
        let said = Said { place: Some(Where::Neck), strength, urgent, ..Said::default() };
        self.seat(seat, SeatCommand::Report { report, said });
    }

    /// Says the facilitator's name at the desk, so that clearances can be given.
    pub fn named(mut self) -> Self {
        self.desk(DeskCommand::SayName { name: "Rosamund".try_into().unwrap() });
        self
    }

    /// The server looks at who is heard, and records what it notices.
    pub fn watch(&mut self) -> Vec<Noticed> {
        let noticed = self.session.notice(self.now, &self.presence);
        for noticed in noticed.clone() {
            self.try_do(Actor::Watch, Command::Notice(noticed)).unwrap();
        }
        noticed
    }

    /// Time passes without anybody being heard.
    pub fn silence_ms(&mut self, ms: i64) {
        self.now = self.now.plus(ms);
    }

    pub fn form(&self, seat: SeatId, step: u32) -> Form {
        let mine = self.session.mine(seat, self.now).unwrap();
        mine.forms.iter().find(|of| of.step == StepId(step)).unwrap().form
    }
}
