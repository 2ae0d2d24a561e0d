//! The live session as a value.
//!
//! The contract, in the order of use: [`Session::begin`] makes the first event from a plan;
//! [`Session::decide`] takes a command, who gives it and the time, and returns the events it causes
//! or why not, changing nothing; [`Session::apply`] takes one recorded event and changes the state;
//! the views ([`Session::stage`], [`Session::mine`], [`Session::desk`]) say what each audience sees.
//! Applying the same events always gives the same session. Nothing here waits, sends or saves.

mod apply;
mod command;
mod decide;
mod decide_motion;
mod decide_seat;
mod event;
mod frames;
mod ids;
mod motion;
mod presence;
mod roster;
mod said;
mod state;
mod view;

pub use command::{Command, Context, DeskCommand, SeatCommand};
pub use decide::Refusal;
pub use event::{Event, Recorded, Why};
pub use frames::{
    ClueFrame, Content, ContentKind, DeskClue, DeskFrame, DeskReport, Form, JoinPoint, Mine, MyReport, Pace,
    SheetStep, SideContent, Stage, StagePhase, StepRef,
};
pub use ids::{Actor, CommandId, DeskRole, ReportId, SeatId, StepId};
pub use motion::{Move, Position};
pub use presence::{Heard, Presence, Screen};
pub use roster::{Counts, Exception, Row, Status};
pub use said::{CheckIn, Company, Feeling, HowFar, Mark, StopReason, Strength, UrgentSign, Where};
pub use state::{Answer, Answered, LiveStep, Report, ReportState, Seat, Session, Stopped};
