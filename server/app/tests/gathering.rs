//! What a room writes together: taps that can wait are gathered, and anything urgent is written at once together
//! with them.

use std::sync::{Arc, Mutex};

use async_trait::async_trait;
use samebreath::host::clock::Clock;
use samebreath::host::house;
use samebreath::host::shelf::Shelf;
use samebreath::room::{self, Answerer, Asked, Input, RoomHandle, Surroundings};
use samebreath_core::file::Source;
use samebreath_core::live::{
    Actor, ClassEvent, Command, DeskCommand, DeskRole, Event, Recorded, Refusal, ReportId, SafetyEvent, Said,
    SeatCommand, SeatEvent, SeatId, Session, StepId,
};
use samebreath_core::plan::draft;
use samebreath_core::text::Name;
use samebreath_core::time::EpochMs;
use samebreath_store::StoreError;
use samebreath_store::bus::InProcess;
use samebreath_store::ledger::{Append, Ledger, NewEvent, SessionId};
use tokio::sync::oneshot;
use tokio_util::sync::CancellationToken;
use uuid::Uuid;

const PLAN: &str = "title = \"Test\"\nminutes = 60\n[[step]]\ndrill = \"long-hiss\"\n";
const STEP: StepId = StepId(1);

/// A ledger that keeps the events of each write separately.
#[derive(Default)]
struct Writes(Mutex<Vec<Vec<Recorded>>>);

impl Writes {
    fn number(&self) -> usize {
        self.0.lock().unwrap().len()
    }

    fn newest(&self) -> Vec<Event> {
        self.0.lock().unwrap().last().unwrap().iter().map(|recorded| recorded.event.clone()).collect()
    }
}

#[async_trait]
impl Ledger for Writes {
    async fn append(&self, _: SessionId, _: u64, events: Vec<NewEvent>) -> Append {
        self.0.lock().unwrap().push(events.into_iter().map(|event| event.recorded).collect());
        Append::Committed
    }

    async fn read_after(&self, _: SessionId, after: u64) -> Result<Vec<Recorded>, StoreError> {
        let lines = self.0.lock().unwrap().concat();
        Ok(lines.into_iter().filter(|line| line.seq > after).collect())
    }

    async fn last_at(&self, _: SessionId) -> Result<Option<EpochMs>, StoreError> {
        Ok(self.0.lock().unwrap().concat().last().map(|line| line.at))
    }
}

struct Room {
    handle: RoomHandle,
    clock: Clock,
    writes: Arc<Writes>,
    shutdown: CancellationToken,
}

impl Room {
    /// A class that is under way, with people in seats 1 to 3.
    async fn start() -> Self {
        let library = house::library().unwrap();
        let plan = draft::read_plan(Source::new("plan.toml", PLAN), &library).unwrap();
        let (clock, shutdown, writes) =
            (Clock::start(), CancellationToken::new(), Arc::new(Writes::default()));
        let event = Session::begin(plan, house::rules().unwrap(), None, false);
        let begun = Recorded { seq: 1, at: clock.now(), by: Actor::Entry, cause: None, event };
        writes.0.lock().unwrap().push(vec![begun]);
        let around = Surroundings {
            ledger: Arc::clone(&writes) as Arc<dyn Ledger>,
            bus: Arc::new(InProcess::default()),
            shelf: Arc::new(Shelf::new(Arc::new(library))),
            clock: clock.clone(),
            shutdown: shutdown.clone(),
        };
        let (handle, running) = room::start(SessionId(Uuid::from_u128(1)), around).await.unwrap().unwrap();
        tokio::spawn(running);
        let room = Self { handle, clock, writes, shutdown };
        room.ask(Actor::Desk(DeskRole::Facilitator), Command::Desk(DeskCommand::Open)).await;
        for name in ["Ann", "Bo", "Cy"] {
            room.ask(Actor::Entry, Command::TakeSeat { name: Name::try_from(name.to_owned()).unwrap() })
                .await;
        }
        room.ask(Actor::Desk(DeskRole::Facilitator), Command::Desk(DeskCommand::Start)).await;
        room
    }

    async fn tell(&self, by: Actor, command: Command) -> oneshot::Receiver<Result<Vec<Event>, Refusal>> {
        let (reply, outcome) = oneshot::channel();
        let answer = Answerer::Waiting(reply);
        let asked = Asked { by, id: None, pressed: None, command, at: self.clock.now(), answer };
        self.handle.tell(Input::Command(asked)).await.unwrap();
        outcome
    }

    async fn ask(&self, by: Actor, command: Command) {
        self.tell(by, command).await.await.unwrap().unwrap();
    }

    async fn seat(&self, seat: u32, command: SeatCommand) -> oneshot::Receiver<Result<Vec<Event>, Refusal>> {
        self.tell(Actor::Seat(SeatId(seat)), Command::Seat(command)).await
    }

    /// Returns once the room has taken everything that it was told so far.
    async fn has_heard(&self) {
        self.handle.ask(|reply| Input::Stage { reply }).await.unwrap();
    }
}

fn did(seat: u32) -> Event {
    SeatEvent::Did { step: STEP }.of(SeatId(seat))
}

#[tokio::test(start_paused = true)]
async fn taps_gather_and_are_written_and_answered_together() {
    let room = Room::start().await;
    let before = room.writes.number();
    let mut answers = Vec::new();
    for seat in 1..=3 {
        answers.push(room.seat(seat, SeatCommand::Done { step: STEP }).await);
        room.has_heard().await;
    }
    assert_eq!(room.writes.number(), before, "nothing is written while they gather");
    for answer in answers {
        answer.await.unwrap().unwrap();
    }
    assert_eq!(room.writes.number(), before + 1);
    assert_eq!(room.writes.newest(), [did(1), did(2), did(3)]);
}

#[tokio::test(start_paused = true)]
async fn a_report_waits_for_nobody_and_takes_along_what_gathered() {
    let room = Room::start().await;
    let before = room.writes.number();
    let _done = room.seat(1, SeatCommand::Done { step: STEP }).await;
    room.has_heard().await;
    let report = SeatCommand::Report { report: ReportId(Uuid::from_u128(7)), said: Said::default() };
    let _reported = room.seat(2, report).await;
    room.has_heard().await;
    // Time stands still in this test, so what is written now did not wait.
    assert_eq!(room.writes.number(), before + 1);
    let newest = room.writes.newest();
    assert_eq!(newest[0], did(1));
    assert!(
        newest[1..]
            .iter()
            .any(|event| matches!(event, Event::Safety { what: SafetyEvent::Reported { .. }, .. })),
        "{newest:?}"
    );
}

#[tokio::test(start_paused = true)]
async fn a_desk_takes_along_in_order_what_gathered() {
    let room = Room::start().await;
    let before = room.writes.number();
    let _done = room.seat(2, SeatCommand::Done { step: STEP }).await;
    room.has_heard().await;
    room.ask(Actor::Desk(DeskRole::Facilitator), Command::Desk(DeskCommand::Pause)).await;
    assert_eq!(room.writes.number(), before + 1);
    let newest = room.writes.newest();
    assert_eq!(newest[0], did(2));
    assert!(matches!(&newest[1..], [Event::Class(ClassEvent::Moved { .. })]), "{newest:?}");
}

/// Once as many taps wait as are decided together, the room waits for no more.
#[tokio::test(start_paused = true)]
async fn a_full_batch_is_written_at_once() {
    let room = Room::start().await;
    let before = room.writes.number();
    for tap in 0..64 {
        let command =
            if tap % 2 == 0 { SeatCommand::Done { step: STEP } } else { SeatCommand::Undo { step: STEP } };
        let _answer = room.seat(1, command).await;
    }
    room.has_heard().await;
    room.has_heard().await;
    assert_eq!(room.writes.number(), before + 1);
    assert_eq!(room.writes.newest().len(), 64);
}

#[tokio::test(start_paused = true)]
async fn a_stop_of_the_server_writes_what_gathered() {
    let room = Room::start().await;
    let done = room.seat(1, SeatCommand::Done { step: STEP }).await;
    room.has_heard().await;
    room.shutdown.cancel();
    done.await.unwrap().unwrap();
    assert_eq!(room.writes.newest(), [did(1)]);
}
