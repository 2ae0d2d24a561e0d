//! A class to press commands in, with a clock that the test turns.

use samebreath_core::library::Library;
use samebreath_core::live::{
    Actor, Alert, Command, Context, DeskCommand, DeskReport, DeskRole, Event, Form, Heard, LostRow, Noticed,
    Presence, Pressed, Recorded, Refusal, ReportId, Row, Said, SeatCommand, SeatId, Session, Status, StepId,
    UrgentSign, Where,
};
use samebreath_core::people::rules::Felt;
use samebreath_core::plan::Plan;
use samebreath_core::time::EpochMs;
use uuid::Uuid;

pub const LEAD_MS: i64 = 400;
/// How long people get ready for `long-hiss` and for `sit-tall`: of both, 16 words stand on the screen meanwhile, and 140
/// are read in a minute.
pub const READY_MS: i64 = 7_000;
pub const FACILITATOR: Actor = Actor::Desk(DeskRole::Facilitator);
pub const HELPER: Actor = Actor::Desk(DeskRole::Helper);

pub struct Class {
    pub session: Session,
    pub ledger: Vec<Recorded>,
    pub library: &'static Library,
    pub presence: Presence,
    pub now: EpochMs,
}

impl Class {
    pub fn new(plan: &str) -> Self {
        Self::of(super::plan(&format!("title = \"x\"\nminutes = 60\n{plan}")))
    }

    pub fn of(plan: Plan) -> Self {
        let first = Recorded {
            seq: 1,
            at: EpochMs(0),
            by: Actor::Entry,
            cause: None,
            event: Session::begin(plan, super::rules(), None, false),
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
        Context {
            now: self.now,
            lead_time_ms: LEAD_MS,
            library: self.library,
            presence: &self.presence,
            pressed: None,
        }
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

    /// A desk's command with what its screen showed.
    pub fn pressed(&mut self, command: DeskCommand, pressed: Pressed) -> Result<(), Refusal> {
        let ctx = Context { pressed: Some(pressed), ..self.context() };
        let events = self.session.decide(&ctx, FACILITATOR, &Command::Desk(command))?;
        self.record(FACILITATOR, events);
        Ok(())
    }

    /// What a desk shows now.
    pub fn screen(&self) -> Pressed {
        let step = self.session.moves().last().map(|m| m.step);
        let clue = self.session.stage(self.now).clue;
        let hints = clue.as_ref().map_or(0, |clue| u32::try_from(clue.hints.len()).unwrap());
        Pressed { step, clue: clue.map_or(0, |clue| clue.number), hints, at: Some(self.now) }
    }

    pub fn alerts(&self) -> Vec<Alert> {
        self.session.desk(self.now, &self.presence).alerts
    }

    /// The reports that call for somebody.
    pub fn calling(&self) -> Vec<DeskReport> {
        let report = |alert| if let Alert::Report(report) = alert { Some(*report) } else { None };
        self.alerts().into_iter().filter_map(report).collect()
    }

    /// The lost people who call for somebody.
    pub fn missing(&self) -> Vec<LostRow> {
        let lost = |alert| if let Alert::Lost(row) = alert { Some(row) } else { None };
        self.alerts().into_iter().filter_map(lost).collect()
    }

    /// Both desks are connected.
    pub fn staffed(mut self) -> Self {
        for role in [DeskRole::Facilitator, DeskRole::Helper] {
            self.presence.desks.insert(role, Heard::now(EpochMs(i64::MAX), true));
        }
        self
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
