//! The rules of a class, as pure code.
//!
//! Drills and their doses ([`drill`]), the word game ([`clue`]), plans and the timelines made from them ([`plan`]),
//! precautions and house rules ([`people`]), when a group meets ([`week`]), the live session ([`live`]), what a session
//! leaves behind ([`record`]), and what people do at home ([`practice`]).
//! Nothing here knows a clock, a random source, a file or a socket. The time, new ids and the library come in as
//! arguments, so the same inputs give the same session everywhere.

pub mod clue;
pub mod drill;
pub mod file;
pub mod item;
pub mod language;
pub mod letter;
pub mod library;
pub mod live;
pub mod people;
pub mod plan;
pub mod practice;
pub mod record;
pub mod rehearse;
pub mod staff;
pub mod text;
pub mod time;
pub mod versioned;
pub mod week;
