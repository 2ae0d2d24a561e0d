//! What clinicians and the house rules set for people.

pub mod care;
pub mod rules;
