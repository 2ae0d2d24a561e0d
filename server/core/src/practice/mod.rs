//! What a person does at home: the sheet with what they were given, and what they say they did with it.

mod class;
mod done;
mod sheet;

pub use class::{HomeClass, HomeClassSheet, HomeClassStep, Intro, home_class};
pub use done::{AtHome, ClassAtHome, ClassGiven, DrillAtHome, at_home};
pub use sheet::{
    HomeDrillSheet, HomeSheet, HowLine, Limits, SheetOf, holds_until, home_sheet, loads_of, longest,
};
