//! The HTTP interface: its routes, and what applies to every request and answer.

mod accounts;
mod ask;
mod assets;
mod audit;
pub(crate) mod body;
mod classes;
mod desk;
mod documents;
pub(crate) mod doors;
mod entry;
mod erasure;
mod feed;
mod handshake;
mod origin;
mod own;
mod own_links;
mod people;
mod place;
mod planner;
mod retention;
mod rounds;
pub(crate) mod routes;
mod staff;
mod today;
mod week;
mod who;
mod whose;
