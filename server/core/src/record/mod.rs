//! What a session leaves behind, folded from its ledger.

pub mod holds;
pub mod incidents;
