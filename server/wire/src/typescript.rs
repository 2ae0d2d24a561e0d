//! The TypeScript types of everything a browser sends or gets, made from the Rust types.

use samebreath_core::drill::{self, dose};
use samebreath_core::people::{care, rules};
use samebreath_core::plan::{self, advice, course, draft, group, timeline};
use samebreath_core::record::incidents;
use samebreath_core::{clue, live, time, versioned};
use ts_rs::{Config, TS};

use crate::planner;
use crate::{
    ClientMessage, Close, EntryAnswer, EntryRequest, HEARTBEAT_MS, HandoverCode, IncidentBook, InviteRequest,
    Invited, JoinRequest, Joined, MySession, Opened, PassRequest, Problem, RoleName, SUBPROTOCOL, SeatPlace,
    ServerMessage, Sheet,
};

macro_rules! declare {
    ($config:expr, $($type:ty),+ $(,)?) => {
        [$(declaration::<$type>($config)),+].concat()
    };
}

/// The whole text of `web/src/lib/wire/types.ts`.
#[must_use]
pub fn types() -> String {
    let config = Config::new().with_large_int("number");
    let types = declare![
        &config,
        ClientMessage,
        ServerMessage,
        RoleName,
        JoinRequest,
        Joined,
        EntryRequest,
        EntryAnswer,
        MySession,
        PassRequest,
        Opened,
        SeatPlace,
        InviteRequest,
        Invited,
        HandoverCode,
        IncidentBook,
        incidents::Incident,
        incidents::IncidentKind,
        Sheet,
        Problem,
        time::EpochMs,
        live::SeatId,
        live::StepId,
        live::CommandId,
        live::MessageId,
        live::Pressed,
        live::ReportId,
        live::DeskRole,
        live::DeskCommand,
        live::SeatCommand,
        live::Mark,
        live::HowFar,
        live::StopReason,
        live::Where,
        rules::Strength,
        live::UrgentSign,
        live::Actor,
        rules::Felt,
        live::Whose,
        live::Said,
        live::CheckIn,
        live::Partner,
        live::Feeling,
        live::Company,
        live::Stage,
        live::StagePhase,
        live::StepRef,
        live::Move,
        live::ClueFrame,
        live::Counter,
        live::MyClue,
        clue::Game,
        clue::Verdict,
        live::Content,
        live::SideContent,
        live::ContentKind,
        live::Mine,
        live::JoinPoint,
        live::Form,
        live::StepForm,
        live::MyReport,
        live::MyMessage,
        live::Answer,
        live::ReportState,
        live::DeskFrame,
        live::DeskReport,
        live::Alert,
        live::StoppedRow,
        live::Perhaps,
        live::Clearing,
        live::Doubt,
        live::Handled,
        live::LostRow,
        live::Asking,
        live::Entry,
        live::Mouths,
        live::Effort,
        live::DeskAct,
        live::DeskDid,
        live::PersonCard,
        live::Message,
        live::Health,
        live::FollowUp,
        care::Condition,
        care::Of,
        care::Way,
        care::PersonalForm,
        live::AnswerIn,
        live::DeskClue,
        live::Pace,
        live::Counts,
        live::Row,
        live::Status,
        live::Screen,
        live::Exception,
        live::RestReason,
        live::SheetStep,
        group::GroupId,
        group::Group,
        group::Enrolled,
        group::Decision,
        group::Decided,
        course::Ceiling,
        plan::StepRequest,
        versioned::Versioned<ts_rs::Dummy>,
        draft::Planned,
        draft::Draft,
        draft::DraftStep,
        draft::HomeItem,
        draft::DraftError,
        advice::Advice,
        advice::AdviceKind,
        drill::Setting,
        drill::Usual,
        drill::Drill,
        drill::PhaseSpec,
        drill::Between,
        drill::Side,
        planner::LibraryBook,
        planner::DrillCard,
        planner::ClueCard,
        planner::TemplateCard,
        planner::PlanCard,
        planner::GroupCard,
        planner::NewPlan,
        planner::Save<ts_rs::Dummy>,
        planner::Saved<ts_rs::Dummy>,
        planner::Remove,
        planner::LookAt,
        planner::Look,
        planner::GroupHad,
        planner::HadDrill,
        planner::RoundLeft,
        planner::StepLook,
        planner::Unreadable,
        planner::BeginClass,
        planner::ClassLinks,
        dose::Dose,
        dose::DoseChange,
        dose::Hold,
        drill::Phase,
        drill::Family,
        drill::Tap,
        drill::Reference,
        drill::Trust,
        timeline::Timeline,
        timeline::Span,
        timeline::Marks,
        timeline::Stretch,
    ];
    format!(
        "// Made from the Rust types by `cargo test -p samebreath-wire` with SAMEBREATH_WRITE=1. Do not edit.\n\n\
         export const SUBPROTOCOL = \"{SUBPROTOCOL}\";\nexport const HEARTBEAT_MS = {HEARTBEAT_MS};\n\n\
         {}\n{types}",
        close_codes()
    )
}

fn declaration<T: TS>(config: &Config) -> String {
    let docs = T::docs().unwrap_or_default();
    format!("{docs}export {}\n\n", T::decl(config))
}

fn close_codes() -> String {
    let mut text = "/** What to do after the server closed a socket, by close code. */\n".to_owned();
    text += "export const AFTER_CLOSE: Readonly<Record<number, \"reconnect\" | \"reconnect_later\" | \"reload\" | \"join_again\">> = {\n";
    for close in Close::ALL {
        text += &format!("  {}: \"{}\", // {}\n", close.code(), close.then().name(), close.reason());
    }
    text + "};\n"
}
