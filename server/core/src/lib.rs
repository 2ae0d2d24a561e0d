//! The rules of a class, pure.
//!
//! Drills and doses ([`drill`], [`dose`]), the word game ([`clue`]), plans as people write them
//! ([`draft`], [`advice`], [`course`]) and as a session runs them ([`plan`]), the compiler from a step to
//! a timeline ([`timeline`]), the live session ([`live`]) and what a session leaves behind ([`record`],
//! [`history`]).
//! Nothing here knows a clock, a random source, a file or a socket: the time, new ids and the library
//! come in as arguments, so the same inputs give the same session everywhere.

pub mod advice;
pub mod clue;
pub mod course;
pub mod day;
pub mod dose;
pub mod draft;
pub mod drill;
pub mod file;
pub mod group;
pub mod history;
pub mod incidents;
pub mod language;
pub mod library;
pub mod live;
pub mod name;
pub mod plan;
pub mod record;
pub mod rehearse;
pub mod rules;
pub mod text;
pub mod time;
pub mod timeline;
pub mod versioned;
