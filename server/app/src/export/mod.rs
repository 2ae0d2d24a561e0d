//! Records as files: for reading, for a spreadsheet, and for another program.

pub(crate) mod fhir;
pub(crate) mod incidents_csv;
pub(crate) mod person_copy;
pub(crate) mod records;
pub(crate) mod table;
pub(crate) mod words;
