//! What a session leaves behind, folded from its ledger.

pub mod erase;
pub mod had;
pub mod holds;
pub mod incidents;
pub mod retention;
pub mod since;
