//! A ledger without one person: the class stays as it was, and nobody can tell any more who they were.

use std::collections::BTreeSet;

use crate::live::{CareEvent, ClassEvent, Event, Recorded, SafetyEvent, Said, SeatEvent, SeatId};
use crate::people::person::PersonId;
use crate::text::{Line, Sentence};

/// What stands where words were.
const ERASED: &str = "erased";

/// The lines of a ledger that change when a person is erased, as they are then: their name is "Person" with the number of
/// their seat, and what they, or others about them, wrote in words of their own is gone. What they tapped stays, because
/// the class is told by it.
///
/// It cannot know of their name in what was written about others, or to the whole class; [`mentions`] counts that.
#[must_use]
pub fn erased(ledger: &[Recorded], person: PersonId) -> Vec<Recorded> {
    changed(ledger, &seats_of(ledger, person))
}

fn changed(ledger: &[Recorded], seats: &BTreeSet<SeatId>) -> Vec<Recorded> {
    let changed = ledger.iter().filter_map(|line| {
        let event = without(&line.event, seats)?;
        (event != line.event).then(|| Recorded { event, ..line.clone() })
    });
    changed.collect()
}

/// How many lines about others have a name of this person in them: in what somebody wrote, or as the name of a seat that
/// nobody merged with theirs.
#[must_use]
pub fn mentions(ledger: &[Recorded], person: PersonId) -> usize {
    let seats = seats_of(ledger, person);
    let names: BTreeSet<String> = ledger.iter().filter_map(|line| name_in(&line.event, &seats)).collect();
    let about_others = |line: &&Recorded| without(&line.event, &seats).is_none();
    let has_name = |line: &&Recorded| {
        let Ok(text) = words_in(&line.event) else { return false };
        names.iter().any(|name| has_word(&text, &name.to_lowercase()))
    };
    ledger.iter().filter(about_others).filter(has_name).count()
}

/// The lines of a ledger that change when those are erased who came in with the code only, as they are then. Whoever was
/// merged with a person is that person, and stays.
#[must_use]
pub fn erased_guests(ledger: &[Recorded]) -> Vec<Recorded> {
    let people: BTreeSet<SeatId> =
        taken(ledger).filter(|(_, of)| of.is_some()).map(|(seat, _)| seat).collect();
    let people = with_merged(ledger, people, &BTreeSet::new());
    let guests = taken(ledger).map(|(seat, _)| seat).filter(|seat| !people.contains(seat)).collect();
    changed(ledger, &guests)
}

/// Each seat that was taken, with the person to whom it was given.
fn taken(ledger: &[Recorded]) -> impl Iterator<Item = (SeatId, Option<PersonId>)> {
    ledger.iter().filter_map(|line| match &line.event {
        Event::Care { seat, what: CareEvent::SeatTaken { person, .. } } => Some((*seat, *person)),
        _ => None,
    })
}

/// The person's seats: their own, and those without a person that were merged with it.
fn seats_of(ledger: &[Recorded], person: PersonId) -> BTreeSet<SeatId> {
    let theirs = |of: Option<PersonId>| of == Some(person);
    let seats = taken(ledger).filter(|(_, of)| theirs(*of)).map(|(seat, _)| seat).collect();
    let others = taken(ledger).filter(|(_, of)| of.is_some() && !theirs(*of)).map(|(seat, _)| seat).collect();
    with_merged(ledger, seats, &others)
}

/// These seats, and all that were merged with one of them, whichever way, but for `others`.
fn with_merged(
    ledger: &[Recorded],
    mut seats: BTreeSet<SeatId>,
    others: &BTreeSet<SeatId>,
) -> BTreeSet<SeatId> {
    let merges = || {
        ledger.iter().filter_map(|line| match &line.event {
            Event::Class(ClassEvent::Merged { from, into }) => Some((*from, *into)),
            _ => None,
        })
    };
    loop {
        let before = seats.len();
        for (from, into) in merges() {
            if seats.contains(&from) || seats.contains(&into) {
                seats.extend([from, into].into_iter().filter(|seat| !others.contains(seat)));
            }
        }
        if seats.len() == before {
            return seats;
        }
    }
}

/// The name that a line gives one of these seats.
fn name_in(event: &Event, seats: &BTreeSet<SeatId>) -> Option<String> {
    match event {
        Event::Care { seat, what: CareEvent::SeatTaken { name, .. } } if seats.contains(seat) => {
            Some(name.as_str().to_owned())
        }
        _ => None,
    }
}

fn words_in(event: &Event) -> Result<String, std::fmt::Error> {
    use std::fmt::Write as _;
    let mut text = String::new();
    let mut say = |words: &str| write!(text, "{words} ");
    match event {
        Event::Care { what: CareEvent::SeatTaken { name, .. }, .. } => say(name.as_str())?,
        Event::Care { what: CareEvent::MessageSent { text }, .. } => say(text.as_str())?,
        Event::Care {
            what: CareEvent::Removed { reason } | CareEvent::AttendanceSet { reason, .. }, ..
        } => say(reason.as_str())?,
        Event::Care { what: CareEvent::FollowUpDone { outcome, .. }, .. } => say(outcome.as_str())?,
        Event::Care { what: CareEvent::FollowUpAdded { what, .. }, .. } => say(what.as_str())?,
        Event::Care { what: CareEvent::FormSet { form }, .. } => {
            form.note.iter().try_for_each(|note| say(note.as_str()))?;
        }
        Event::Safety {
            what: SafetyEvent::Reported { said, .. } | SafetyEvent::ReportAmended { said, .. },
            ..
        } => {
            said.words.iter().try_for_each(|words| say(words.as_str()))?;
        }
        Event::Seat { what: SeatEvent::CheckedIn { answers }, .. } => {
            answers.place.iter().chain(&answers.contact).try_for_each(|words| say(words.as_str()))?;
            answers.partner.iter().try_for_each(|partner| say(partner.name.as_str()))?;
        }
        _ => {}
    }
    Ok(text.to_lowercase())
}

/// Whether a text has a name as words of their own: no letter stands before or behind it.
fn has_word(text: &str, name: &str) -> bool {
    text.match_indices(name).any(|(at, found)| {
        let before = text[..at].chars().next_back();
        let behind = text[at + found.len()..].chars().next();
        !before.is_some_and(char::is_alphanumeric) && !behind.is_some_and(char::is_alphanumeric)
    })
}

/// A line about one of these seats without its words; `None` for a line about others.
fn without(event: &Event, seats: &BTreeSet<SeatId>) -> Option<Event> {
    Some(match event {
        Event::Class(_) => return None,
        Event::Seat { seat, .. } | Event::Safety { seat, .. } | Event::Care { seat, .. }
            if !seats.contains(seat) =>
        {
            return None;
        }
        Event::Seat { seat, what } => Event::Seat { seat: *seat, what: of_seat(what) },
        Event::Safety { seat, what } => Event::Safety { seat: *seat, what: of_safety(what) },
        Event::Care { seat, what } => Event::Care { seat: *seat, what: of_care(*seat, what) },
    })
}

fn of_seat(what: &SeatEvent) -> SeatEvent {
    match what {
        SeatEvent::CheckedIn { answers } => {
            let mut answers = answers.clone();
            (answers.place, answers.contact) = (None, None);
            if let Some(partner) = &mut answers.partner {
                partner.name = words("Partner").unwrap_or_else(|| partner.name.clone());
            }
            SeatEvent::CheckedIn { answers }
        }
        SeatEvent::ClueAnswered { step, number, word } => SeatEvent::ClueAnswered {
            step: *step,
            number: *number,
            word: word.as_ref().and_then(|_| Line::try_from(ERASED).ok()),
        },
        SeatEvent::Did { .. }
        | SeatEvent::Undid { .. }
        | SeatEvent::Got { .. }
        | SeatEvent::MouthSaid { .. }
        | SeatEvent::EffortSaid { .. }
        | SeatEvent::MessageRead { .. }
        | SeatEvent::Unchanged
        | SeatEvent::Left
        | SeatEvent::CameBack
        | SeatEvent::Practised { .. } => what.clone(),
    }
}

fn of_safety(what: &SafetyEvent) -> SafetyEvent {
    let silent = |said: &Said| Said { words: None, ..said.clone() };
    match what {
        SafetyEvent::Reported { report, said, during } => {
            SafetyEvent::Reported { report: *report, said: silent(said), during: *during }
        }
        SafetyEvent::ReportAmended { report, said, also } => {
            SafetyEvent::ReportAmended { report: *report, said: silent(said), also: *also }
        }
        SafetyEvent::Stopped { .. }
        | SafetyEvent::StopUndone
        | SafetyEvent::WentOn
        | SafetyEvent::ReportTakenBack { .. } => what.clone(),
    }
}

fn of_care(seat: SeatId, what: &CareEvent) -> CareEvent {
    let sentence = |before: &Sentence| words(ERASED).unwrap_or_else(|| before.clone());
    match what {
        CareEvent::SeatTaken { name, how, perhaps, person } => CareEvent::SeatTaken {
            name: words(&format!("Person {}", seat.0)).unwrap_or_else(|| name.clone()),
            how: *how,
            perhaps: *perhaps,
            person: *person,
        },
        CareEvent::Removed { reason } => CareEvent::Removed { reason: sentence(reason) },
        CareEvent::MessageSent { text } => CareEvent::MessageSent { text: sentence(text) },
        CareEvent::FormSet { form } => {
            let mut form = form.clone();
            form.note = None;
            CareEvent::FormSet { form }
        }
        CareEvent::FollowUpAdded { id, what, owner, due } => {
            CareEvent::FollowUpAdded { id: *id, what: sentence(what), owner: owner.clone(), due: *due }
        }
        CareEvent::FollowUpDone { id, outcome } => {
            CareEvent::FollowUpDone { id: *id, outcome: sentence(outcome) }
        }
        CareEvent::AttendanceSet { minutes, reason } => {
            CareEvent::AttendanceSet { minutes: *minutes, reason: sentence(reason) }
        }
        CareEvent::CameIn
        | CareEvent::NewDevice
        | CareEvent::SentWord { .. }
        | CareEvent::TurnedAway
        | CareEvent::StopSeen
        | CareEvent::ReportHandled { .. }
        | CareEvent::Lost { .. }
        | CareEvent::Found
        | CareEvent::ScreenAway { .. }
        | CareEvent::ScreenBack
        | CareEvent::LostTaken
        | CareEvent::LostClosed
        | CareEvent::RestAsked
        | CareEvent::Marked { .. }
        | CareEvent::SwallowKeptOff
        | CareEvent::SwallowEnded
        | CareEvent::FamilyCleared { .. }
        | CareEvent::FamilyEnded { .. }
        | CareEvent::PrecautionsSet { .. }
        | CareEvent::FormLifted { .. }
        | CareEvent::OffToday { .. } => what.clone(),
    }
}

/// A text of ours, which always fits its kind.
fn words<T: for<'a> TryFrom<&'a str>>(text: &str) -> Option<T> {
    T::try_from(text).ok()
}
