//! The week around the class: when a group meets, and its calendar file.

pub mod calendar;
pub mod series;
mod yearly;
pub mod zone;

/// Checks how long a class is booked for.
pub(crate) fn check_minutes(minutes: u32) -> Result<(), String> {
    if (1..=240).contains(&minutes) {
        Ok(())
    } else {
        Err(format!("`minutes` is {minutes}; it must be from 1 to 240"))
    }
}
