//! What a person does at home: the sheet with what they were given, and what they say they did with it.

mod done;
mod sheet;

pub use done::{AtHome, DrillAtHome, at_home};
pub use sheet::{HomeDrillSheet, HomeSheet, HowLine, Limits, SheetOf, holds_until, home_sheet, loads_of};
