//! What a clinician and the house rules set for people.

pub mod rules;
