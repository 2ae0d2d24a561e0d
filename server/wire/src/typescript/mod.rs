//! The TypeScript types of everything a browser sends or gets, made from the Rust types.

use samebreath_core::drill::{self, dose};
use samebreath_core::people::{care, link, person, rules};
use samebreath_core::plan::{self, advice, choice, draft, group, timeline};
use samebreath_core::record::{retention as record_retention, since};
use samebreath_core::staff::account;
use samebreath_core::week::series;
use samebreath_core::{clue, item, letter, live, time, versioned};
use ts_rs::{Config, TS};

use crate::limits;
use crate::{
    AtDeskPerson, ClientMessage, Close, EntryAnswer, EntryRequest, HEARTBEAT_MS, HandoverCode, InviteRequest,
    Invited, JoinRequest, Joined, MySession, Opened, PassRequest, Problem, RoleName, SUBPROTOCOL, SeatPlace,
    ServerMessage, Sheet,
};
use crate::{own, planner, retention, staff, today, week};

macro_rules! declare {
    ($config:expr, $($type:ty),+ $(,)?) => {
        [$(declaration::<$type>($config)),+].concat()
    };
}

mod records;

/// The whole text of `web/src/lib/wire/types.ts`.
#[must_use]
pub fn types() -> String {
    let config = Config::new().with_large_int("number");
    let kinds = [
        requests,
        records::after,
        records::notes,
        own_pages,
        staff,
        commands,
        class_frames,
        desk_frames,
        planning,
        drills,
    ];
    let types = kinds.map(|kind| kind(&config)).concat();
    format!(
        "// Made from the Rust types by `cargo test -p samebreath-wire` with SAMEBREATH_WRITE=1. Do not edit.\n\n\
         export const SUBPROTOCOL = \"{SUBPROTOCOL}\";\nexport const HEARTBEAT_MS = {HEARTBEAT_MS};\n\n\
         {}\n{}\n{types}",
        limits::limits(),
        close_codes()
    )
}

/// What is asked and answered.
fn requests(config: &Config) -> String {
    declare![
        config,
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
        Sheet,
        AtDeskPerson,
        Problem,
    ]
}

/// Who asks for what in a session.
fn commands(config: &Config) -> String {
    declare![
        config,
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
        live::Before,
        live::After,
        plan::ForHome,
        plan::HomeDrill,
        live::CheckIn,
        live::Partner,
        live::Feeling,
        live::Company,
    ]
}

/// What the class screens see.
fn class_frames(config: &Config) -> String {
    declare![
        config,
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
        live::FormContent,
        live::MyReport,
        live::MyMessage,
        live::Answer,
        live::ReportState,
    ]
}

/// What the desks see.
fn desk_frames(config: &Config) -> String {
    declare![
        config,
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
    ]
}

/// Plans, groups and what the planner asks for.
fn staff(config: &Config) -> String {
    declare![
        config,
        account::AccountId,
        account::Account,
        account::StaffRole,
        account::Clinician,
        staff::LinkToken,
        staff::LinkIs,
        staff::FirstAccount,
        staff::PasswordByLink,
        staff::SignIn,
        staff::SignInAnswer,
        staff::Recover,
        staff::RecoveryCodes,
        staff::Me,
        staff::Browser,
        staff::Again,
        staff::PasskeyAsks,
        staff::MakePasskey,
        staff::PasskeySignIn,
        staff::UsePasskey,
        staff::PasskeyCard,
        staff::SignInWays,
        staff::AskProvider,
        staff::FromProvider,
        staff::ProviderAnswered,
        staff::IdentityCard,
        staff::ChangePassword,
        staff::NewSecond,
        staff::TurnOnSecond,
        staff::AccountCard,
        staff::Colleague,
        staff::NewAccount,
        staff::ChangeAccount,
        staff::AccountInvitation,
    ]
}

fn own_pages(config: &Config) -> String {
    declare![
        config,
        link::LinkId,
        link::Medium,
        own::OwnToken,
        own::AreYou,
        own::OpenOwn,
        own::OwnPlace,
        own::OpenedOwn,
        own::OwnPage,
        own::OwnClass,
        own::SendWord,
        own::OwnLinkCard,
        own::NewOwnLink,
        own::MadeOwnLink,
        own::ErasureSheet,
        own::HeldRecord,
        own::HoldRecord,
        own::ErasePerson,
        own::ErasureReport,
        letter::Purpose,
        own::MailCancelled,
        own::Mailed,
        own::LetterCard,
        own::LetterState,
        record_retention::Retention,
        record_retention::RetentionReport,
        retention::RetentionPage,
        retention::LeavingPerson,
        retention::DayReport,
        retention::ChangeRetention,
    ]
}

fn planning(config: &Config) -> String {
    declare![
        config,
        group::GroupId,
        group::Group,
        series::OtherDay,
        series::Occurrence,
        person::PersonId,
        person::Person,
        person::Contacts,
        person::Decision,
        person::Decided,
        person::Ceiling,
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
        drill::Tune,
        drill::Each,
        drill::form::DrillForm,
        drill::form::FormPace,
        drill::ItemUse,
        item::Part,
        item::ItemKind,
        item::Item,
        item::ItemSet,
        choice::ItemChoice,
        drill::Usual,
        drill::Drill,
        drill::PhaseSpec,
        drill::Between,
        drill::Side,
        planner::LibraryBook,
        planner::DrillCard,
        planner::ClueCard,
        planner::ClueWords,
        planner::ClassCard,
        planner::TemplateCard,
        planner::PlanCard,
        week::GroupCard,
        planner::NewPlan,
        planner::Save<ts_rs::Dummy>,
        planner::Saved<ts_rs::Dummy>,
        planner::Remove,
        planner::LookAt,
        planner::Look,
        planner::GroupHad,
        planner::HadDrill,
        planner::RoundLeft,
        week::PersonEntry,
        week::GroupLookAt,
        week::GroupLook,
        week::ComingClass,
        today::Today,
        today::DayClass,
        today::PlanGlance,
        today::GlanceStep,
        today::LeftToDo,
        since::Change,
        planner::RoundCard,
        planner::NewRound,
        planner::RoundLookAt,
        planner::RoundLook,
        clue::written::WrittenRound,
        clue::written::WrittenClue,
        clue::written::Unfinished,
        clue::written::Flaw,
        planner::StepLook,
        planner::Unreadable,
        planner::BeginClass,
        planner::ClassLinks,
        planner::OpenedDesk,
    ]
}

/// Drills, doses and timelines.
fn drills(config: &Config) -> String {
    declare![
        config,
        dose::Dose,
        dose::DoseChange,
        dose::Lengths,
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
    ]
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
