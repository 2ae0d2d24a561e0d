//! The English words of a note for what people tapped.

use crate::live::{Company, Feeling, HowFar, ReportState, Said, StopReason, UrgentSign, Where};
use crate::people::rules::{Felt, Strength};
use crate::record::holds::Held;

pub(super) fn feeling(feeling: Feeling) -> &'static str {
    match feeling {
        Feeling::Well => "felt well",
        Feeling::SoSo => "felt so-so",
        Feeling::NotWell => "did not feel well",
    }
}

pub(super) fn company(company: Company) -> &'static str {
    match company {
        Company::Alone => "alone",
        Company::With => "with somebody",
    }
}

pub(super) fn stop_reason(reason: Option<StopReason>) -> &'static str {
    match reason {
        Some(StopReason::Tired) => "tired",
        Some(StopReason::EnoughForToday) => "enough for today",
        Some(StopReason::Hurts) => "it hurt",
        Some(StopReason::Other) => "something else",
        None => "no reason said",
    }
}

pub(super) fn far(far: HowFar) -> &'static str {
    match far {
        HowFar::Under => "not to the first mark",
        HowFar::FirstMark => "to the first mark",
        HowFar::Target => "to the target",
        HowFar::Beyond => "beyond the target",
    }
}

pub(super) fn state(state: ReportState) -> &'static str {
    match state {
        ReportState::Recorded => "nobody had looked",
        ReportState::Seen => "seen",
        ReportState::Taken => "taken care of, still open",
        ReportState::Resting => "they rested",
        ReportState::Back => "they went on",
        ReportState::Closed => "closed",
    }
}

/// What a desk did first about a report.
pub(super) fn first(to: ReportState) -> &'static str {
    match to {
        ReportState::Recorded | ReportState::Seen => "seen",
        ReportState::Taken | ReportState::Resting | ReportState::Back => "taken care of",
        ReportState::Closed => "closed",
    }
}

/// What a report says, but for words of the person's own.
pub(super) fn said(said: &Said) -> String {
    let strength = said.strength.map(|felt| match felt {
        Felt::Word(Strength::Little) => "a little".to_owned(),
        Felt::Word(Strength::Quite) => "moderate".to_owned(),
        Felt::Word(Strength::Very) => "very".to_owned(),
        Felt::Number(n) => format!("{n} of 10"),
    });
    let urgent = said.urgent.map(|sign| urgent(sign).to_owned());
    let place = said.place.map(|place| place_of(place).to_owned());
    let parts: Vec<String> = urgent.into_iter().chain(place).chain(strength).collect();
    if parts.is_empty() { "something".to_owned() } else { parts.join(", ") }
}

fn urgent(sign: UrgentSign) -> &'static str {
    match sign {
        UrgentSign::CannotBreathe => "cannot get breath",
        UrgentSign::Choking => "choking",
        UrgentSign::ChestPain => "chest pain",
        UrgentSign::Faint => "about to faint",
        UrgentSign::SuddenWeakness => "sudden weakness",
        UrgentSign::Bleeding => "bleeding",
        UrgentSign::Help => "asked for help at once",
    }
}

fn place_of(place: Where) -> &'static str {
    match place {
        Where::Neck => "neck",
        Where::Throat => "throat",
        Where::Jaw => "jaw",
        Where::Chest => "chest",
        Where::Head => "head",
        Where::Shoulder => "shoulder",
        Where::Back => "back",
        Where::Breathing => "breathing",
        Where::Dizzy => "dizzy",
        Where::Elsewhere => "elsewhere",
    }
}

/// A dose as people say it: 5 × 20 s where all holds are alike, otherwise what it comes to.
pub(super) fn dose(reps: u32, holds: u32, held_ms: i64) -> String {
    let seconds = (held_ms + 500) / 1000;
    let each = seconds.checked_div(i64::from(holds)).filter(|each| each * i64::from(holds) == seconds);
    match each {
        Some(each) if holds == reps && each > 0 => format!("{reps} × {each} s"),
        _ if held_ms > 0 => format!("{}, {seconds} s held", repetitions(reps)),
        _ => repetitions(reps),
    }
}

fn repetitions(n: u32) -> String {
    if n == 1 { "1 repetition".to_owned() } else { format!("{n} repetitions") }
}

pub(super) fn done(done: Held) -> String {
    dose(done.reps, if done.partial > 0 { 0 } else { done.completed }, done.held_ms)
}
