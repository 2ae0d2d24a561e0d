//! What the machine and the program provide: the clock, what classes are made of, and what operators watch.

pub mod clock;
pub mod house;
pub mod mail;
pub mod metrics;
pub mod regions;
pub mod shelf;
