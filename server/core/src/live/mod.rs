//! The live session as a value.
//!
//! The contract, in order of use: [`Session::begin`] makes the first event from a plan. [`Session::decide`] takes
//! a command, who gives it and the time, and returns the events it causes or a refusal; it changes nothing.
//! [`Session::apply`] takes one recorded event and changes the state. The views ([`Session::stage`],
//! [`Session::mine`], [`Session::desk`], [`Session::person`]) give what each audience sees. [`Session::notice`]
//! gives what the server has to notice by itself. Applying the same events always gives the same session. Nothing
//! here waits, sends or saves.

mod apply;
mod command;
mod decide;
mod event;
mod ids;
mod motion;
mod practised;
mod presence;
mod refusal;
mod said;
mod state;
mod view;

pub use crate::drill::form::Form;
pub use command::{Command, Context, DeskCommand, Entry, Noticed, Pressed, Rights, SeatCommand};
pub use decide::{NOTICE_MS, OPENS_BEFORE_MS};
pub use event::{CareEvent, ClassEvent, Event, How, Recorded, SafetyEvent, SeatEvent, Why};
pub use ids::{Actor, CommandId, DeskRole, MessageId, ReportId, SeatId, StepId};
pub use motion::{Move, Position};
pub use practised::{AskedAtHome, Ease, HomeLog, HomeRun, NotedBy};
pub use presence::{Heard, Presence, Screen};
pub use refusal::Refusal;
pub use said::{
    CheckIn, Company, Feeling, HowFar, Mark, Partner, ReportState, Said, StopReason, UrgentSign, Where, Whose,
};
pub use state::acts::{DeskAct, DeskDid};
pub use state::report::{Handled, Report};
pub use state::seat::{Answer, Answered, Attendance, Lost, Message, Place, Seat, Stop};
pub use state::{FollowUp, LiveStep, Session};
pub use view::class_frames::{
    After, Before, ClueFrame, Content, ContentKind, Counter, JoinPoint, Mine, MyClue, MyMessage, MyReport,
    SheetStep, SideContent, Stage, StagePhase, StepRef,
};
pub use view::desk_frames::{
    Alert, AnswerIn, Asking, Clearing, DeskClue, DeskFrame, DeskReport, Doubt, Effort, Health, LostRow,
    Mouths, Pace, Perhaps, PersonCard, StoppedRow,
};
pub use view::form::{FormContent, StepForm, form_at_home};
pub use view::roster::{Counts, Exception, RestReason, Row, Status};
