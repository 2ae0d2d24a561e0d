//! An account: a member of staff who signs in.

use serde::{Deserialize, Serialize};
use uuid::Uuid;

use crate::text::{Line, Name, name};

/// The id of an account.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct AccountId(pub Uuid);

/// What somebody types to say who they are when they sign in.
pub type SignInName = Line<60>;

/// A member of staff.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Account {
    /// What colleagues call them.
    pub name: Name,
    /// What they type to sign in. Case and accents do not matter.
    pub sign_in: SignInName,
    /// What they do here.
    pub role: StaffRole,
    /// Their title and licence, if they are a clinician.
    pub clinician: Option<Clinician>,
}

/// What a member of staff does here.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum StaffRole {
    /// Hosts the server, makes accounts and groups, and invites people.
    Coordinator,
    /// Plans and leads classes.
    Facilitator,
    /// Watches the people of a class while somebody else leads it.
    Helper,
}

/// What makes a member of staff a clinician. Being one is a property and no role: a coordinator may be one too.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Clinician {
    /// The professional title.
    pub title: Line<60>,
    /// The licence or registration, as local rules want it written.
    pub licence: Line<80>,
}

impl Account {
    /// The name for signing in, as it is compared.
    #[must_use]
    pub fn folded(&self) -> String {
        name::folded(self.sign_in.as_str())
    }

    /// Checks what the types alone cannot.
    ///
    /// # Errors
    /// A sentence saying what is wrong and what would be right.
    pub fn check(&self) -> Result<(), String> {
        if self.folded().is_empty() {
            return Err(format!(
                "the sign-in name `{}` has no letter and no digit; write at least one",
                self.sign_in
            ));
        }
        if self.role == StaffRole::Helper && self.clinician.is_some() {
            return Err("a helper's account decides nothing clinical; make it a facilitator's".to_owned());
        }
        Ok(())
    }
}
