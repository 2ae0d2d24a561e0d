//! What a class was, once it is over: who was there and for how long, what was asked of everybody and done, who stopped and
//! what was reported. All of it is folded from the ledger; nobody types it.

mod fold;
mod shape;

pub use fold::class_record;
pub use shape::{Asked, Attended, ClassRecord, EffortSaid, PersonRecord, ReportRecord, StepRecord, Stopped};
