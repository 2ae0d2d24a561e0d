//! What the machine and the program bring: the clock, the library, what operators watch.

pub mod clock;
pub mod house;
pub mod metrics;
