//! The record of a class as one person may take it along.

use crate::live::{SeatId, Session, Whose};
use crate::plan::Title;
use crate::record::class::ClassRecord;
use crate::record::note::others::Others;
use crate::record::note::title_for;
use crate::text::Sentence;

/// What stands where a drill is named after another person of the class.
const A_DRILL: &str = "A drill";
/// What stands where somebody's words speak of another person of the class.
const OF_OTHERS: &str = "[these words speak of somebody else of the class]";

/// The record with nobody of the class in it but the person on this seat, whatever was typed; staff are named.
#[must_use]
pub fn alone(session: &Session, record: &ClassRecord, seat: SeatId) -> ClassRecord {
    let others = Others::than(session, Some(seat));
    let people: Vec<_> = record.people.iter().filter(|one| one.seat == seat).cloned().collect();
    let theirs = record.reports.iter().filter(|one| one.seat == seat && one.said.whose == Whose::Own);
    let mut record = ClassRecord {
        title: title_for(session, people.first()),
        people,
        reports: theirs.cloned().collect(),
        steps: record.steps.clone(),
        led_by: record.led_by.clone(),
        home: record.home.clone(),
        ..*record
    };
    for step in record.steps.iter_mut().filter(|step| others.are_in_title(step.title.as_str())) {
        step.title = Title::try_from(A_DRILL).unwrap_or_else(|_| record.title.clone());
    }
    for said in record.reports.iter_mut().map(|report| &mut report.said) {
        if said.words.as_ref().is_some_and(|words| others.are_in(words.as_str())) {
            said.words = Sentence::try_from(OF_OTHERS).ok();
        }
    }
    record
}
