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
    let mut record = record.clone();
    record.people.retain(|one| one.seat == seat);
    record.title = title_for(session, record.people.first());
    for step in record.steps.iter_mut().filter(|step| others.are_in_title(step.title.as_str())) {
        step.title = Title::try_from(A_DRILL).unwrap_or_else(|_| record.title.clone());
    }
    record.reports.retain(|report| report.seat == seat && report.said.whose == Whose::Own);
    for said in record.reports.iter_mut().map(|report| &mut report.said) {
        if said.words.as_ref().is_some_and(|words| others.are_in(words.as_str())) {
            said.words = Sentence::try_from(OF_OTHERS).ok();
        }
    }
    record
}
