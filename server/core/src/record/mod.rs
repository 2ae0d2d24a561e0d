//! What a session leaves behind, folded from its ledger.

pub mod attendance;
pub mod attendance_table;
pub mod class;
pub mod concerns;
pub mod did;
pub mod erase;
pub mod had;
pub mod holds;
pub mod incidents;
pub mod note;
pub mod progress;
pub mod retention;
pub mod since;
pub mod sums;
pub mod usual;
