//! People, and what clinicians and the house rules set for them.

pub mod care;
pub mod link;
pub mod person;
pub mod rules;
