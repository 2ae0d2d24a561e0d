//! An example of every command. A new command that has none fails `matrix.rs`; what it leaves in a ledger is kept by
//! `ledgers.rs`.

use samebreath_core::drill::Family;
use samebreath_core::drill::dose::DoseChange;
use samebreath_core::live::{
    AskedAtHome, CheckIn, DeskCommand, DeskRole, Ease, Entry, Form, HomeLog, HowFar, Mark, MessageId,
    NotedBy, ReportId, ReportState, Said, SeatCommand, SeatId, StepId, Whose,
};
use samebreath_core::people::care::{Condition, Of, PersonalForm, Way};
use samebreath_core::people::rules::Felt;
use samebreath_core::plan::StepRequest;
use uuid::Uuid;

pub const REPORT: ReportId = ReportId(Uuid::from_u128(1));
const NEW_REPORT: ReportId = ReportId(Uuid::from_u128(2));
pub const ANN: SeatId = SeatId(1);
pub const STRANGER: SeatId = SeatId(3);

pub fn name(text: &str) -> samebreath_core::text::Name {
    text.try_into().unwrap()
}

/// An example of every desk command.
/// Five strong repetitions at home, of five.
pub fn home_log() -> HomeLog {
    HomeLog {
        id: Uuid::from_u128(7),
        drill: "strong-ah".try_into().unwrap(),
        form: Form::Full,
        asked: AskedAtHome { reps: 5, times_a_day: 1, days_a_week: 5 },
        done: Some(5),
        ease: Some(Ease::Right),
        hurt: false,
        noted: NotedBy::Screen,
        day: "2026-10-07".to_owned().try_into().unwrap(),
        offset_minutes: 120,
        run: None,
    }
}

pub fn desk_commands() -> Vec<DeskCommand> {
    let form = PersonalForm { of: Of::Family(Family::Voice), way: Way::Easier, note: None };
    let due = "2027-03-09".to_owned().try_into().unwrap();
    vec![
        DeskCommand::Open,
        DeskCommand::Start,
        DeskCommand::Next,
        DeskCommand::Back,
        DeskCommand::GoTo { step: StepId(2) },
        DeskCommand::Pause,
        DeskCommand::PauseForSafety,
        DeskCommand::GoOn,
        DeskCommand::Resume,
        DeskCommand::AgainStep,
        DeskCommand::AgainRep,
        DeskCommand::MoreTime { seconds: 10 },
        DeskCommand::CutShort,
        DeskCommand::Insert { after: None, step: StepRequest::Sip { seconds: 30 } },
        DeskCommand::MoveStep { step: StepId(3), after: StepId(1) },
        DeskCommand::TakeOut { step: StepId(3) },
        DeskCommand::SetTime { step: StepId(2), seconds: 240 },
        DeskCommand::MessageAll { text: "Five minutes late".try_into().unwrap() },
        DeskCommand::SwapDose {
            step: StepId(1),
            change: Box::new(DoseChange { reps: Some(5), ..DoseChange::default() }),
        },
        DeskCommand::ShowClue,
        DeskCommand::ShowHint,
        DeskCommand::ShowAnswer,
        DeskCommand::AskEffort,
        DeskCommand::SetEntry { to: Entry::Closed },
        DeskCommand::LetIn { seat: STRANGER, known_as: None },
        DeskCommand::TurnAway { seat: STRANGER },
        DeskCommand::HandleReport { report: REPORT, to: ReportState::Seen },
        DeskCommand::SeeStop { seat: SeatId(2) },
        DeskCommand::TakeLost { seat: ANN },
        DeskCommand::CloseLost { seat: ANN },
        DeskCommand::AskRest { seat: ANN },
        DeskCommand::Message { seat: ANN, text: "Hello".try_into().unwrap() },
        DeskCommand::Remove { seat: ANN, reason: "by mistake".try_into().unwrap() },
        DeskCommand::Merge { from: SeatId(2), into: ANN },
        DeskCommand::Expect { name: name("Ida") },
        DeskCommand::AddByPhone { name: name("Cy") },
        DeskCommand::MarkSeat { seat: ANN, answer: Mark::Done },
        DeskCommand::ClearSwallow { seats: vec![ANN] },
        DeskCommand::EndSwallow { seat: SeatId(2) },
        DeskCommand::ClearFamily { seat: ANN, family: Family::Neck },
        DeskCommand::EndFamily { seat: SeatId(2), family: Family::Neck },
        DeskCommand::SetPrecautions { seat: ANN, conditions: vec![Condition::Neck] },
        DeskCommand::SetForm { seat: ANN, form: form.clone() },
        DeskCommand::LiftForm { seat: SeatId(2), of: form.of },
        DeskCommand::MarkOff { seat: ANN },
        DeskCommand::LiftOff { seat: SeatId(2) },
        DeskCommand::AddFollowUp { seat: ANN, what: "call".try_into().unwrap(), owner: name("Otto"), due },
        DeskCommand::CloseFollowUp { id: 1, outcome: "reached".try_into().unwrap() },
        DeskCommand::SetAttendance { seat: ANN, minutes: 20, reason: "came late".try_into().unwrap() },
        DeskCommand::SayName { name: name("New") },
        DeskCommand::ShareHealth,
        DeskCommand::EndShareHealth,
        DeskCommand::HandDesk { to: DeskRole::Helper },
        DeskCommand::End,
    ]
}

pub fn seat_commands() -> Vec<SeatCommand> {
    vec![
        SeatCommand::CheckIn { answers: CheckIn::default() },
        SeatCommand::Done { step: StepId(1) },
        SeatCommand::Undo { step: StepId(1) },
        SeatCommand::HowFar { step: StepId(1), far: HowFar::Target },
        SeatCommand::Stop { reason: None, whose: Whose::Own },
        SeatCommand::UndoStop,
        SeatCommand::GoOn,
        SeatCommand::Report {
            report: NEW_REPORT,
            said: Said { strength: Some(Felt::Number(5)), ..Said::default() },
        },
        SeatCommand::TakeBack { report: REPORT },
        SeatCommand::ConfirmMouth { empty: true },
        SeatCommand::SayEffort { number: 1, score: 5 },
        SeatCommand::AnswerClue { step: StepId(2), number: 1, word: None },
        SeatCommand::ReadMessage { message: MessageId(1) },
        SeatCommand::Leave,
    ]
}
