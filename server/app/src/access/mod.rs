//! Who is asking, and how much they may ask.

pub(crate) mod caller;
pub(crate) mod limits;
pub(crate) mod passes;
pub(crate) mod token;
