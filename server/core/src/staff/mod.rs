//! The members of staff: their accounts, and what each may do.

pub mod account;
pub mod may;
