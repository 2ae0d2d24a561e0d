//! Who is asking, and how much they may ask.

pub(crate) mod caller;
pub(crate) mod ceremonies;
pub(crate) mod ends;
pub(crate) mod limits;
pub(crate) mod oidc;
pub(crate) mod own;
pub(crate) mod passes;
pub(crate) mod passkeys;
pub(crate) mod password;
pub(crate) mod second;
pub(crate) mod staff;
pub(crate) mod token;
