//! The live session as a value.
//!
//! The contract, in the order of use: [`Session::begin`] makes the first event from a plan;
//! [`Session::decide`] takes a command, who gives it and the time, and returns the events it causes
//! or why not, changing nothing; [`Session::apply`] takes one recorded event and changes the state;
//! the views ([`Session::stage`], [`Session::mine`], [`Session::desk`], [`Session::person`]) say what
//! each audience sees; [`Session::notice`] says what there is to notice without anybody's word.
//! Applying the same events always gives the same session. Nothing here waits, sends or saves.

mod acts;
mod apply;
mod care;
mod command;
mod decide;
mod decide_motion;
mod decide_people;
mod decide_seat;
mod desk_frames;
mod desk_view;
mod event;
mod frames;
mod ids;
mod motion;
mod presence;
mod refusal;
mod report;
mod roster;
mod said;
mod seat;
mod state;
mod view;
mod watch;

pub use acts::{Act, DeskDid};
pub use care::{Condition, Form, Of, PersonalForm, Way};
pub use command::{Command, Context, DeskCommand, Entry, Noticed, Pressed, SeatCommand};
pub use desk_frames::{
    Alert, AnswerIn, Asking, Clearing, DeskClue, DeskFrame, DeskReport, Doubt, Effort, Health, LostRow,
    Mouths, Pace, Perhaps, Person, StoppedRow,
};
pub use event::{Event, How, Recorded, Why};
pub use frames::{
    ClueFrame, Content, ContentKind, Counter, JoinPoint, Mine, MyClue, MyMessage, MyReport, SheetStep,
    SideContent, Stage, StagePhase, StepForm, StepRef,
};
pub use ids::{Actor, CommandId, DeskRole, MessageId, ReportId, SeatId, StepId};
pub use motion::{Move, Position};
pub use presence::{Heard, Presence, Screen};
pub use refusal::Refusal;
pub use report::{Handled, Report, ReportState, Said};
pub use roster::{Counts, Exception, RestReason, Row, Status};
pub use said::{
    CheckIn, Company, Feeling, Felt, HowFar, Mark, Partner, StopReason, Strength, UrgentSign, Where, Whose,
};
pub use seat::{Answer, Answered, Lost, Message, Place, Seat, Stopped};
pub use state::{FollowUp, LiveStep, Session};
