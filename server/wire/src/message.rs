//! The messages themselves.

use samebreath_core::live::{
    CommandId, DeskCommand, DeskFrame, FollowUp, Mine, Pressed, SeatCommand, SeatId, SheetStep, Stage,
};
use samebreath_core::record::incidents::Incident;
use samebreath_core::text::Name;
use samebreath_core::time::EpochMs;
use serde::{Deserialize, Serialize};
use ts_rs::TS;
use uuid::Uuid;

use crate::MESSAGE_BYTES;

/// From the browser.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, TS)]
#[serde(tag = "kind", rename_all = "snake_case", deny_unknown_fields)]
pub enum ClientMessage {
    /// Asks for the server's clock, and says that the page is there.
    ClockAsk {
        /// The browser's monotonic clock, in milliseconds; comes back unchanged.
        sent_ms: f64,
        /// Whether the page can be seen.
        visible: bool,
        /// The smallest round trip measured lately, once known.
        round_trip_ms: Option<f64>,
    },
    /// A participant's command.
    Seat {
        /// Made by the browser, the same when sent again.
        id: CommandId,
        /// What is asked.
        command: SeatCommand,
    },
    /// A desk's command.
    Desk {
        /// Made by the browser, the same when sent again.
        id: CommandId,
        /// What the desk showed when it was pressed.
        #[serde(default)]
        pressed: Option<Pressed>,
        /// What is asked.
        command: DeskCommand,
    },
}

/// From the server.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, TS)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum ServerMessage {
    /// The first message on a socket.
    Welcome {
        /// What this socket is.
        role: RoleName,
        /// The seat, for a participant.
        seat: Option<SeatId>,
        /// Changes when the server's clock may have been set anew; measurements before are void.
        clock_id: Uuid,
    },
    /// Answers `clock_ask`.
    Clock {
        /// As it was asked.
        sent_ms: f64,
        /// The server's clock when the question was read.
        received_ms: f64,
        /// The server's clock when this answer was written.
        answered_ms: f64,
        /// Which clock.
        clock_id: Uuid,
    },
    /// The newest stage.
    Stage {
        /// The stage.
        stage: Stage,
    },
    /// What only this person sees.
    Mine {
        /// The private view.
        mine: Mine,
    },
    /// What the desks see.
    Desk {
        /// The desk's view.
        desk: Box<DeskFrame>,
    },
    /// A command is in the ledger, on disk.
    Taken {
        /// Which.
        id: CommandId,
    },
    /// A command was not carried out; nothing changed.
    Refused {
        /// Which.
        id: CommandId,
        /// A stable name of the reason.
        code: String,
        /// The reason in a sentence.
        text: String,
    },
    /// The ledger cannot be written just now; what was tapped waits in the browsers.
    NotRecording {
        /// Whether that is so now; false when it is over.
        now: bool,
    },
    /// The server restarts.
    Restart {
        /// When to come back, in milliseconds from now.
        in_ms: u32,
    },
}

/// What a socket is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum RoleName {
    /// The facilitator's desk.
    Facilitator,
    /// The helper's desk.
    Helper,
    /// A participant's class screen.
    Seat,
    /// The wall.
    Wall,
}

/// Asks for a seat (`POST /api/join`).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(deny_unknown_fields)]
pub struct JoinRequest {
    /// The class's code as typed; case, spaces and dashes do not matter.
    pub code: String,
    /// The first name.
    pub name: Name,
    /// Made by the browser, the same when sent again: a join whose answer was lost makes no second seat.
    pub request: Uuid,
}

/// Answers a join.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct Joined {
    /// Names the place in the class; every address and command of the page has it.
    pub stay: String,
    /// In the class, or asking to come in.
    pub place: SeatPlace,
}

/// Asks which class a code opens (`POST /api/entry`).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(deny_unknown_fields)]
pub struct EntryRequest {
    /// The code as typed.
    pub code: String,
}

/// The class of a code, and whom this browser has taken a seat for in it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct EntryAnswer {
    /// What the class is called.
    pub title: String,
    /// This browser's own seat, if it has one: it goes on with that.
    pub seat: Option<MySession>,
}

/// A session that this browser has a pass for (`GET /api/me`).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct MySession {
    /// Names the place in it.
    pub stay: String,
    /// What it is called.
    pub title: String,
    /// What the pass opens.
    pub role: RoleName,
    /// The name on the seat, for a participant.
    pub name: Option<Name>,
    /// How far the seat is in the class; absent for desks and walls.
    pub place: Option<SeatPlace>,
}

/// How far a browser's seat is in the class.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum SeatPlace {
    /// In the class.
    In,
    /// Asks to come in; ask again in a moment.
    Asking,
    /// Was not let in.
    TurnedAway,
    /// Was taken out.
    Removed,
}

/// Asks for a personal link (`POST /api/desk/{stay}/invite`): for a person who will come, or a new one for a
/// seat.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum InviteRequest {
    /// A new person.
    Name {
        /// The name.
        name: Name,
        /// Made by the browser, the same when sent again.
        request: Uuid,
    },
    /// The seat of one who is on the roster.
    Seat(SeatId),
}

/// A personal link, to be sent to that person only.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct Invited {
    /// The seat it leads to.
    pub seat: SeatId,
    /// Its path and fragment.
    pub path: String,
}

/// A code by which a colleague opens the helper's desk, once (`POST /api/desk/{stay}/handover`).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct HandoverCode {
    /// The code in two groups.
    pub code: String,
    /// Until when it works.
    pub expires_at: EpochMs,
}

/// The incident timeline and what is to be done (`GET /api/desk/{stay}/incidents`).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct IncidentBook {
    /// Oldest first.
    pub incidents: Vec<Incident>,
    /// In the order in which they were written down.
    pub follow_ups: Vec<FollowUp>,
}

/// Uses a link (`POST /api/pass`).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(deny_unknown_fields)]
pub struct PassRequest {
    /// The token from the link's fragment.
    pub token: String,
    /// Made by the browser, the same when sent again: a link that opens once opens again for an answer that was
    /// lost.
    pub request: Uuid,
}

/// Answers the use of a link: the browser now has a cookie for this role.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct Opened {
    /// Names the place in the session; every address and command of the page has it.
    pub stay: String,
    /// What the session is called.
    pub title: String,
    /// What it opens.
    pub role: RoleName,
    /// The seat, for a participant.
    pub seat: Option<SeatId>,
    /// How far the seat is in the class; absent for desks and walls.
    pub place: Option<SeatPlace>,
    /// The local emergency number that the host configured; kept by the page, so that it can be
    /// shown without the network.
    pub emergency_number: Option<String>,
}

/// The run sheet (`GET /api/desk/{stay}/sheet`).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct Sheet {
    /// What the session is called.
    pub title: String,
    /// The code in two groups.
    pub code: String,
    /// Whether the participants are rehearsed.
    pub rehearsal: bool,
    /// How long the class is booked for.
    pub class_ms: i64,
    /// When the session was made.
    pub created_at: EpochMs,
    /// The steps.
    pub steps: Vec<SheetStep>,
}

/// An error of the HTTP interface.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct Problem {
    /// A stable name.
    pub code: String,
    /// A plain sentence.
    pub text: String,
}

/// Why a browser's message cannot be read.
#[derive(Debug, thiserror::Error)]
pub enum DecodeError {
    /// Longer than [`MESSAGE_BYTES`].
    #[error("the message has {found} bytes; at most {MESSAGE_BYTES} are allowed")]
    TooLong {
        /// Its length.
        found: usize,
    },
    /// Not a message of this version; the place and reason follow.
    #[error("not a message of this version: {0}")]
    Shape(#[from] serde_json::Error),
}

impl ClientMessage {
    /// Reads a message.
    ///
    /// # Errors
    /// When it is too long or not a message of this version; the text says where and why.
    pub fn decode(text: &str) -> Result<Self, DecodeError> {
        if text.len() > MESSAGE_BYTES {
            return Err(DecodeError::TooLong { found: text.len() });
        }
        let message: Self = serde_json::from_str(text)?;
        message.check_fields(text)?;
        Ok(message)
    }

    /// Refuses fields that its command does not have, where serde takes no notice: in commands without any.
    fn check_fields(&self, text: &str) -> Result<(), serde_json::Error> {
        #[derive(Deserialize)]
        struct Given {
            command: serde_json::Map<String, serde_json::Value>,
        }
        let known = match self {
            Self::ClockAsk { .. } => return Ok(()),
            Self::Seat { command, .. } => serde_json::to_value(command)?,
            Self::Desk { command, .. } => serde_json::to_value(command)?,
        };
        let Given { command } = serde_json::from_str(text)?;
        match command.keys().find(|name| known.get(name.as_str()).is_none()) {
            Some(name) => Err(serde::de::Error::custom(format!("unknown field `{name}`"))),
            None => Ok(()),
        }
    }

    /// The id of a command that cannot be read otherwise, so that it can be answered: a page that was
    /// loaded before an upgrade must not send it again for ever.
    #[must_use]
    pub fn id_of_unreadable(text: &str) -> Option<CommandId> {
        #[derive(Deserialize)]
        struct Named {
            id: CommandId,
        }
        let short = text.len() <= MESSAGE_BYTES;
        short.then(|| serde_json::from_str::<Named>(text).ok().map(|named| named.id)).flatten()
    }
}

impl ServerMessage {
    /// The text of the frame.
    #[must_use]
    pub fn encode(&self) -> String {
        // Only maps with keys that are not texts can fail, and there is none.
        serde_json::to_string(self).expect("messages always serialise")
    }
}
