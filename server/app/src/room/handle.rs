//! The handle through which the rest of the program reaches a room, and what can be sent through it.

use samebreath_core::people::person::PersonId;
use std::sync::{Arc, Weak};

use samebreath_core::live::{
    Actor, Clearing, Command, CommandId, Content, DeskCommand, DeskRole, Event, PersonCard, Place, Pressed,
    SeatCommand, SeatId, SheetStep, Stage, StepId,
};
use samebreath_core::text::{LanguageTag, Name};
use samebreath_core::time::EpochMs;
use tokio::sync::{mpsc, oneshot, watch};

use crate::outlet::Outlet;

/// The number of a socket, unique for the life of the process.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct ConnectionId(pub u64);

/// Whom a socket speaks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Who {
    /// A desk.
    Desk(DeskRole),
    /// A participant.
    Seat(SeatId),
    /// The wall.
    Wall,
}

/// A screen on which frames are shown.
#[derive(Debug)]
pub struct ScreenOutlet {
    /// The language in which clues are shown, if they have it.
    pub language: Option<LanguageTag>,
    /// The way out to the screen's socket.
    pub outlet: Arc<Outlet>,
}

/// What the room's task can be told or asked.
#[derive(Debug)]
pub enum Input {
    /// A command to decide.
    Command(Asked),
    /// A socket has opened, or a rehearsed participant has come.
    Attach {
        /// The socket's number.
        connection: ConnectionId,
        /// Whom it speaks for.
        who: Who,
        /// Where its frames are shown; `None` for a rehearsed participant, who has no screen.
        screen: Option<ScreenOutlet>,
        /// Follows whether the ledger can be written; `None` when the person is not in the class.
        reply: oneshot::Sender<Option<watch::Receiver<bool>>>,
    },
    /// A socket has closed, or a rehearsed participant has gone.
    Detach {
        /// The socket's number.
        connection: ConnectionId,
    },
    /// A page gave a sign of life.
    Heard {
        /// The socket's number.
        connection: ConnectionId,
        /// Whether the page is visible.
        visible: bool,
        /// The page's round trip, if measured.
        round_trip_ms: Option<f64>,
    },
    /// Asks for the content of a step.
    Content {
        /// The step.
        step: StepId,
        /// The step's revision; no other is given out.
        rev: u32,
        /// Whether the asker may only have steps that the stage already names.
        only_named: bool,
        /// The language for the step's head, if the plan has it.
        language: Option<LanguageTag>,
        /// The content, if the asker may have it.
        reply: oneshot::Sender<Option<Content>>,
    },
    /// Asks for one person's card, with what this desk may see.
    Person {
        /// The person's seat.
        seat: SeatId,
        /// The desk that asks.
        role: DeskRole,
        /// The card, if the seat has a person.
        reply: oneshot::Sender<Option<PersonCard>>,
    },
    /// Asks for the people for whom swallow drills could be turned on.
    Clearing {
        /// The desk that asks.
        role: DeskRole,
        /// The people; `None` for a desk that may not see health notes.
        reply: oneshot::Sender<Option<Vec<Clearing>>>,
    },
    /// Asks whose a seat is, and whether that person is in the class.
    Seat {
        /// The seat.
        seat: SeatId,
        /// The person's name and place, if the seat exists.
        reply: oneshot::Sender<Option<(Name, Place)>>,
    },
    /// Asks which person of the group is on a seat.
    PersonAt {
        /// The seat.
        seat: SeatId,
        /// The person, if it is one of the group's.
        reply: oneshot::Sender<Option<PersonId>>,
    },
    /// Asks for the seat of a person who is enrolled in the group.
    SeatOfPerson {
        /// The person.
        person: PersonId,
        /// Their seat, if they have one.
        reply: oneshot::Sender<Option<SeatId>>,
    },
    /// Asks whether people are let in now.
    LetsIn {
        /// True if they are.
        reply: oneshot::Sender<bool>,
    },
    /// Puts the room away now, if no screen is connected.
    PutAway {
        /// True if it will stop.
        reply: oneshot::Sender<bool>,
    },
    /// Asks whether any desk is open.
    HasDesk {
        /// True if one is.
        reply: oneshot::Sender<bool>,
    },
    /// Asks for the stage.
    Stage {
        /// The stage.
        reply: oneshot::Sender<Stage>,
    },
    /// Asks for the run sheet.
    Sheet {
        /// The booked length in milliseconds, and the steps.
        reply: oneshot::Sender<(i64, Vec<SheetStep>)>,
    },
}

/// A command on its way to the room.
#[derive(Debug)]
pub struct Asked {
    /// Who gave it.
    pub by: Actor,
    /// The id that makes the command count once, however often it is sent.
    pub id: Option<CommandId>,
    /// What the desk was showing when the key was pressed.
    pub pressed: Option<Pressed>,
    /// The command.
    pub command: Command,
    /// When it arrived.
    pub at: EpochMs,
    /// Where the answer goes.
    pub answer: Answerer,
}

impl Asked {
    /// Whether this is a safety pause, which the class is shown before it is recorded.
    pub(crate) fn is_safety_pause(&self) -> bool {
        self.command == Command::Desk(DeskCommand::PauseForSafety)
    }

    /// Whether this is an urgent report, to which every desk is alerted before it is recorded.
    pub(crate) fn alarms_at_once(&self) -> bool {
        let Command::Seat(SeatCommand::Report { said, .. }) = &self.command else { return false };
        said.urgent.is_some()
    }

    /// Whether this is a tap that others see only as a line on the desk. Such a tap can wait, because the person
    /// who tapped sees it on their own screen at once.
    pub(crate) fn can_wait(&self) -> bool {
        use SeatCommand::{Done, HowFar, SayEffort, Undo};
        let Command::Seat(command) = &self.command else { return false };
        matches!(command, Done { .. } | Undo { .. } | HowFar { .. } | SayEffort { .. })
    }
}

/// Where the answer to a command goes.
#[derive(Debug)]
pub enum Answerer {
    /// To a socket, as a message. If the socket has closed, the browser sends the command again on its next one.
    Socket(Weak<Outlet>),
    /// To a task that waits for the outcome.
    Waiting(oneshot::Sender<Result<Vec<Event>, samebreath_core::live::Refusal>>),
    /// To nobody: the command came from the server itself.
    Nobody,
}

/// A handle on a room's task.
#[derive(Debug, Clone)]
pub struct RoomHandle {
    pub(crate) inputs: mpsc::Sender<Input>,
    pub(crate) pauses: mpsc::Sender<Asked>,
}

/// The room has stopped; ask the hub for it again.
#[derive(Debug, thiserror::Error)]
#[error("the room has stopped")]
pub struct RoomGone;

impl RoomHandle {
    /// Tells the room something, waiting while its queue is full.
    ///
    /// # Errors
    /// When the room's task has ended.
    pub async fn tell(&self, input: Input) -> Result<(), RoomGone> {
        self.hand_over(&mut Some(input)).await
    }

    /// Hands over the input in `waits` as soon as the queue has room. The input stays in `waits` until then, so
    /// dropping this future loses nothing but the place in the queue.
    ///
    /// # Errors
    /// When the room's task has ended.
    pub async fn hand_over(&self, waits: &mut Option<Input>) -> Result<(), RoomGone> {
        if waits.is_none() {
            return Ok(());
        }
        let is_pause = matches!(waits, Some(Input::Command(asked)) if asked.is_safety_pause());
        if is_pause {
            let permit = self.pauses.reserve().await.map_err(|_| RoomGone)?;
            if let Some(Input::Command(asked)) = waits.take() {
                permit.send(asked);
            }
        } else {
            let permit = self.inputs.reserve().await.map_err(|_| RoomGone)?;
            if let Some(input) = waits.take() {
                permit.send(input);
            }
        }
        Ok(())
    }

    /// Tells the room something that may be lost while the queue is full, such as a heartbeat.
    pub fn mention(&self, input: Input) {
        let _ = self.inputs.try_send(input);
    }

    /// Whether the room's task has ended.
    pub fn has_stopped(&self) -> bool {
        self.inputs.is_closed()
    }

    /// Waits until the room's task has ended.
    pub async fn stopped(&self) {
        self.inputs.closed().await;
    }

    /// Asks the room something and waits for the answer.
    ///
    /// # Errors
    /// When the room's task has ended.
    pub async fn ask<T>(&self, input: impl FnOnce(oneshot::Sender<T>) -> Input) -> Result<T, RoomGone> {
        let (reply, answer) = oneshot::channel();
        self.tell(input(reply)).await?;
        answer.await.map_err(|_| RoomGone)
    }
}
