//! The week around the class: when a group meets.

pub mod series;
pub mod zone;
