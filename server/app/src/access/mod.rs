//! Who asks, and how much they may.

pub(crate) mod caller;
pub(crate) mod limits;
pub(crate) mod passes;
pub(crate) mod token;
