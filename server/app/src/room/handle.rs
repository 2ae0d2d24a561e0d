//! What others hold of a room: a handle that takes commands and news, and the shapes of both.

use std::sync::{Arc, Weak};

use samebreath_core::live::{
    Actor, Clearing, Command, CommandId, Content, DeskCommand, DeskRole, Event, PersonCard, Place, Pressed,
    SeatCommand, SeatId, SheetStep, Stage, StepId,
};
use samebreath_core::text::{LanguageTag, Name};
use samebreath_core::time::EpochMs;
use tokio::sync::{mpsc, oneshot, watch};

use crate::outlet::Outlet;

/// One socket, numbered over the life of the process.
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

/// Where frames are shown.
#[derive(Debug)]
pub struct ScreenOutlet {
    /// The language in which clues are shown on it, where they have it.
    pub language: Option<LanguageTag>,
    /// Its socket.
    pub outlet: Arc<Outlet>,
}

/// What the room's task is told.
#[derive(Debug)]
pub enum Input {
    /// A command, decided at `at`.
    Command(Asked),
    /// A socket, or somebody rehearsed, is there.
    Attach {
        /// Which.
        connection: ConnectionId,
        /// For whom.
        who: Who,
        /// Where its frames are shown; nothing for somebody rehearsed, who is there without a screen.
        screen: Option<ScreenOutlet>,
        /// Whether the ledger can be written, from now on; nothing for somebody who is not in the class.
        reply: oneshot::Sender<Option<watch::Receiver<bool>>>,
    },
    /// A socket is gone.
    Detach {
        /// Which.
        connection: ConnectionId,
    },
    /// A page said that it is there.
    Heard {
        /// On which socket.
        connection: ConnectionId,
        /// Whether it can be seen.
        visible: bool,
        /// Its round trip, if measured.
        round_trip_ms: Option<f64>,
    },
    /// Asks for the content of a step.
    Content {
        /// Which step.
        step: StepId,
        /// Of which revision.
        rev: u32,
        /// Whether only what the stage already names may be seen.
        only_named: bool,
        /// The language of its head, where the plan has it.
        language: Option<LanguageTag>,
        /// The content, if it may be seen.
        reply: oneshot::Sender<Option<Content>>,
    },
    /// Asks for one person as a desk may see them.
    Person {
        /// Whom.
        seat: SeatId,
        /// For which desk.
        role: DeskRole,
        /// The person, if there is one.
        reply: oneshot::Sender<Option<PersonCard>>,
    },
    /// Asks for whom swallow drills could be turned on.
    Clearing {
        /// For which desk.
        role: DeskRole,
        /// The people; nothing for a desk that may not see health notes.
        reply: oneshot::Sender<Option<Vec<Clearing>>>,
    },
    /// Asks whose a seat is, and how far in the class.
    Seat {
        /// Which.
        seat: SeatId,
        /// The name, and how far, if anybody took it.
        reply: oneshot::Sender<Option<(Name, Place)>>,
    },
    /// Asks whether anybody looks at a desk.
    HasDesk {
        /// Whether.
        reply: oneshot::Sender<bool>,
    },
    /// Asks for the stage.
    Stage {
        /// The stage.
        reply: oneshot::Sender<Stage>,
    },
    /// Asks for the run sheet.
    Sheet {
        /// The booked length and the steps.
        reply: oneshot::Sender<(i64, Vec<SheetStep>)>,
    },
}

/// A command on its way.
#[derive(Debug)]
pub struct Asked {
    /// Whose.
    pub by: Actor,
    /// The browser's id, so that it counts once.
    pub id: Option<CommandId>,
    /// What a desk showed when it was pressed.
    pub pressed: Option<Pressed>,
    /// What.
    pub command: Command,
    /// When it came.
    pub at: EpochMs,
    /// Where the answer goes.
    pub answer: Answerer,
}

impl Asked {
    /// The one command that is shown before it is recorded.
    pub(crate) fn is_safety_pause(&self) -> bool {
        self.command == Command::Desk(DeskCommand::PauseForSafety)
    }

    /// An urgent report: it alarms every desk before it is recorded.
    pub(crate) fn alarms_at_once(&self) -> bool {
        let Command::Seat(SeatCommand::Report { said, .. }) = &self.command else { return false };
        said.urgent.is_some()
    }

    /// Taps that change nothing for others but a line of the desk; whoever tapped sees it at once on their own
    /// screen.
    pub(crate) fn can_wait(&self) -> bool {
        use SeatCommand::{Done, HowFar, SayEffort, Undo};
        let Command::Seat(command) = &self.command else { return false };
        matches!(command, Done { .. } | Undo { .. } | HowFar { .. } | SayEffort { .. })
    }
}

/// Where the answer to a command goes.
#[derive(Debug)]
pub enum Answerer {
    /// To a socket, as a message; a socket that is gone asks again.
    Socket(Weak<Outlet>),
    /// To whoever waits for the outcome.
    Waiting(oneshot::Sender<Result<Vec<Event>, samebreath_core::live::Refusal>>),
    /// Nobody: the room asked itself.
    Nobody,
}

/// What others hold of a room.
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
    /// Tells the room something; waits while its queue is full.
    ///
    /// # Errors
    /// When its task has ended.
    pub async fn tell(&self, input: Input) -> Result<(), RoomGone> {
        self.hand_over(&mut Some(input)).await
    }

    /// Hands over what waits as soon as the queue takes it. Until then it stays where it is, also when this is
    /// dropped before; only the place in the queue is lost.
    ///
    /// # Errors
    /// When its task has ended.
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

    /// Tells the room something that it can do without: the next heartbeat says the same.
    pub fn mention(&self, input: Input) {
        let _ = self.inputs.try_send(input);
    }

    /// Whether its task has ended.
    pub fn has_stopped(&self) -> bool {
        self.inputs.is_closed()
    }

    /// Asks the room something and waits for the answer.
    ///
    /// # Errors
    /// When its task has ended.
    pub async fn ask<T>(&self, input: impl FnOnce(oneshot::Sender<T>) -> Input) -> Result<T, RoomGone> {
        let (reply, answer) = oneshot::channel();
        self.tell(input(reply)).await?;
        answer.await.map_err(|_| RoomGone)
    }
}
