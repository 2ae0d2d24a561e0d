//! The messages themselves.

use crate::own::OwnPlace;
use samebreath_core::live::{
    CommandId, DeskCommand, DeskFrame, FollowUp, Mine, PersonCard, Pressed, SeatCommand, SeatId, SheetStep,
    Stage,
};
use samebreath_core::people::person::Contacts;
use samebreath_core::record::class::ClassRecord;
use samebreath_core::record::concerns::Concern;
use samebreath_core::record::incidents::Incident;
use samebreath_core::record::usual::UsualTimes;
use samebreath_core::text::Name;
use samebreath_core::time::EpochMs;
use samebreath_core::time::day::Date;
use serde::{Deserialize, Serialize};
use ts_rs::TS;
use uuid::Uuid;

use crate::MESSAGE_BYTES;

/// Messages from the browser.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, TS)]
#[serde(tag = "kind", rename_all = "snake_case", deny_unknown_fields)]
pub enum ClientMessage {
    /// Asks for the server's clock, and says that the page is there.
    ClockAsk {
        /// The browser's monotonic clock, in milliseconds; it comes back unchanged.
        sent_ms: f64,
        /// Whether the page can be seen.
        visible: bool,
        /// The smallest round trip measured lately, once known.
        round_trip_ms: Option<f64>,
    },
    /// A participant's command.
    Seat {
        /// Made by the browser; the same when the command is sent again.
        id: CommandId,
        /// The command.
        command: SeatCommand,
    },
    /// A desk's command.
    Desk {
        /// Made by the browser; the same when the command is sent again.
        id: CommandId,
        /// What the desk showed when the key was pressed.
        #[serde(default)]
        pressed: Option<Pressed>,
        /// The command.
        command: DeskCommand,
    },
}

/// Messages from the server.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, TS)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum ServerMessage {
    /// The first message on a socket.
    Welcome {
        /// What this socket is for.
        role: RoleName,
        /// The seat, for a participant.
        seat: Option<SeatId>,
        /// The id of the server's clock. It changes when that clock may have been set; earlier measurements are
        /// then void.
        clock_id: Uuid,
    },
    /// Answers `clock_ask`.
    Clock {
        /// The browser's own stamp from `clock_ask`, unchanged.
        sent_ms: f64,
        /// The server's clock when the question was read.
        received_ms: f64,
        /// The server's clock when this answer was written.
        answered_ms: f64,
        /// The id of the server's clock.
        clock_id: Uuid,
    },
    /// The newest stage.
    Stage {
        /// The stage.
        stage: Stage,
    },
    /// What only this person sees.
    Mine {
        /// The person's own view.
        mine: Mine,
    },
    /// What the desks see.
    Desk {
        /// The desk's view.
        desk: Box<DeskFrame>,
    },
    /// A command is in the ledger, on disk.
    Taken {
        /// The command's id.
        id: CommandId,
    },
    /// A command was not carried out; nothing changed.
    Refused {
        /// The command's id.
        id: CommandId,
        /// A stable name for the reason.
        code: String,
        /// The reason in a sentence.
        text: String,
    },
    /// The ledger cannot be written just now; what people tap waits in their browsers.
    NotRecording {
        /// True when this begins, false when it is over.
        now: bool,
    },
    /// The server restarts.
    Restart {
        /// When to come back, in milliseconds from now.
        in_ms: u32,
    },
}

/// What a socket is for.
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
    /// The person's first name.
    pub name: Name,
    /// Made by the browser; the same when sent again, so that a join whose answer was lost makes no second seat.
    pub request: Uuid,
}

/// Answers a join.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct Joined {
    /// Names the place in the class; every address and command of the page carries it.
    pub stay: String,
    /// Whether the person is in the class or is asking to come in.
    pub place: SeatPlace,
}

/// Asks which class a code opens (`POST /api/entry`).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(deny_unknown_fields)]
pub struct EntryRequest {
    /// The code as typed.
    pub code: String,
}

/// The class of a code, and this browser's own seat in it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct EntryAnswer {
    /// What the class is called.
    pub title: String,
    /// The seat that this browser already has there, if any; the page goes on with it.
    pub seat: Option<MySession>,
}

/// A session that this browser has a pass for (`GET /api/me`).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct MySession {
    /// Names the place in the session.
    pub stay: String,
    /// What the session is called.
    pub title: String,
    /// The role that the pass gives.
    pub role: RoleName,
    /// The name on the seat, for a participant.
    pub name: Option<Name>,
    /// Whether the seat is in the class; absent for desks and walls.
    pub place: Option<SeatPlace>,
}

/// Whether a browser's seat is in the class.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum SeatPlace {
    /// In the class.
    In,
    /// Has asked to come in; ask the server again in a moment.
    Asking,
    /// Was not let in.
    TurnedAway,
    /// Was taken out.
    Removed,
}

/// Asks for a personal link (`POST /api/desk/{stay}/invite`): for a new person, or a new link for somebody on the
/// roster.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum InviteRequest {
    /// A new person.
    Name {
        /// The person's first name.
        name: Name,
        /// Made by the browser; the same when sent again.
        request: Uuid,
    },
    /// The seat of somebody on the roster.
    Seat(SeatId),
}

/// A personal link, to be sent to that person only.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct Invited {
    /// The seat that the link leads to.
    pub seat: SeatId,
    /// The path and fragment of the link.
    pub path: String,
}

/// A code with which a colleague can open the helper's desk once (`POST /api/desk/{stay}/handover`).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct HandoverCode {
    /// The code, in two groups.
    pub code: String,
    /// Until when it works.
    pub expires_at: EpochMs,
}

/// What a class was, what happened in it, and what is to be done about it (`GET /api/desk/{stay}/after`).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct AfterClass {
    /// Who was there, what was done, who stopped and what was reported.
    pub record: ClassRecord,
    /// Who may need a follow-up.
    pub concerns: Vec<Concern>,
    /// The incident timeline, oldest first.
    pub incidents: Vec<Incident>,
    /// What needs to be done.
    pub follow_ups: Vec<FollowUp>,
    /// Those who may see to it, by name: the members of staff who may read what concerns these people's health.
    pub colleagues: Vec<Name>,
    /// Where the plan of this class goes on; absent for a helper, and where no next class or no plan is known.
    pub next: Option<NextPlan>,
}

/// The plan of a class that is over, and the next class of its group.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct NextPlan {
    /// The plan that was made for the class that is over; the one that was saved last where there are several.
    pub plan: Uuid,
    /// The day of the next class.
    pub day: Date,
    /// The plan that was made for that class, if there is one.
    pub made: Option<Uuid>,
}

/// Uses a link (`POST /api/pass`).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(deny_unknown_fields)]
pub struct PassRequest {
    /// The token from the link's fragment.
    pub token: String,
    /// Made by the browser; the same when sent again, so that a link that opens once works again when its answer
    /// was lost.
    pub request: Uuid,
}

/// The answer to the use of a link; the browser now has a cookie for this role.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct Opened {
    /// Names the place in the session; every address and command of the page carries it.
    pub stay: String,
    /// What the session is called.
    pub title: String,
    /// The role that the link gives.
    pub role: RoleName,
    /// The seat, for a participant.
    pub seat: Option<SeatId>,
    /// Whether the seat is in the class; absent for desks and walls.
    pub place: Option<SeatPlace>,
    /// The local emergency number that the host configured. The page keeps it, so that it can be shown without the
    /// network.
    pub emergency_number: Option<String>,
    /// Whether a desk may set what only a clinician sets.
    pub decides: bool,
    /// The person's own page, if they came from it.
    pub own: Option<OwnPlace>,
}

/// One person at the desk (`GET /api/desk/{stay}/person/{seat}`).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct AtDeskPerson {
    /// What the class knows of them.
    #[serde(flatten)]
    pub card: PersonCard,
    /// How to reach them, as it is kept on their page; empty for somebody who is nobody of a group.
    pub contacts: Contacts,
}

/// The run sheet (`GET /api/desk/{stay}/sheet`).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct Sheet {
    /// What the session is called.
    pub title: String,
    /// The class code, in two groups.
    pub code: String,
    /// Whether the participants are rehearsed.
    pub rehearsal: bool,
    /// How long the class is booked for, in milliseconds.
    pub class_ms: i64,
    /// When the session was made.
    pub created_at: EpochMs,
    /// The lines of the run sheet, in order.
    pub steps: Vec<SheetStep>,
    /// How long steps usually take in the group's classes; absent for a class of nobody's, and after few classes.
    pub usual: Option<UsualTimes>,
}

/// An error of the HTTP interface.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct Problem {
    /// A stable name for programs.
    pub code: String,
    /// A plain sentence for people.
    pub text: String,
}

/// Why a browser's message cannot be read.
#[derive(Debug, thiserror::Error)]
pub enum DecodeError {
    /// It is longer than [`MESSAGE_BYTES`].
    #[error("the message has {found} bytes; at most {MESSAGE_BYTES} are allowed")]
    TooLong {
        /// Its length in bytes.
        found: usize,
    },
    /// It is not a message of this version; the sentence says where and why.
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

    /// Refuses unknown fields in commands that have no fields, where serde does not notice them.
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

    /// The id of a command that is otherwise unreadable, so that it can be answered. A page that was loaded before
    /// an upgrade must not send it again for ever.
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
    /// The text of the message's frame.
    #[must_use]
    pub fn encode(&self) -> String {
        // Only a map whose keys are not texts could fail, and messages have none.
        serde_json::to_string(self).expect("messages always serialise")
    }
}
