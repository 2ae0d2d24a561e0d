//! What each member of staff may do: one table for the whole program.

use serde::{Deserialize, Serialize};

use crate::staff::account::{Account, StaffRole};

/// Something that staff do.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Act {
    /// See the week, as far as it is one's own, and look after one's own account.
    SeeWeek,
    /// Read the library, and work out what a draft adds up to.
    ReadLibrary,
    /// Write clue rounds for everybody's plans.
    WriteRounds,
    /// Read and write plans.
    Plan,
    /// Make a new group.
    MakeGroup,
    /// Read and change a group and its schedule.
    Schedule,
    /// Say which members of staff a group belongs to.
    Entrust,
    /// Read, change and enrol people.
    Enrol,
    /// Read people's precautions and what clinicians decided.
    ReadHealth,
    /// Set precautions and decide about people.
    Decide,
    /// Write notes about people after a class, and sign them.
    Sign,
    /// Read sums for those who fund the organisation, in which nobody is found.
    ReadSums,
    /// Begin a class and lead it from the facilitator's desk.
    Lead,
    /// Help in a class from the helper's desk.
    Help,
    /// Read and renew the links of a class.
    ShareLinks,
    /// Erase people, and hold records that must be kept.
    Erase,
    /// Make, change and end accounts.
    RunAccounts,
}

impl Act {
    /// All of them.
    pub const ALL: [Self; 17] = [
        Self::SeeWeek,
        Self::ReadLibrary,
        Self::WriteRounds,
        Self::Plan,
        Self::MakeGroup,
        Self::Schedule,
        Self::Entrust,
        Self::Enrol,
        Self::ReadHealth,
        Self::Decide,
        Self::Sign,
        Self::ReadSums,
        Self::Lead,
        Self::Help,
        Self::ShareLinks,
        Self::Erase,
        Self::RunAccounts,
    ];
}

/// Whose something is: a plan, a person and a class are their group's.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Whose {
    /// It belongs to a group that is entrusted to this account.
    Own,
    /// It belongs to a group that is entrusted to others only.
    Others,
    /// It belongs to no group, or to one that is entrusted to nobody: all staff share it.
    Shared,
}

impl Whose {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Own, Self::Shared, Self::Others];
}

impl Account {
    /// Whether this account may do `act` with something that is `whose`.
    ///
    /// A coordinator runs the organisation: every group, but nobody's health. In the groups that are a coordinator's
    /// own, and in shared ones, they may do what a facilitator may.
    #[must_use]
    pub fn may(&self, act: Act, whose: Whose) -> bool {
        let near = whose != Whose::Others;
        match self.role {
            StaffRole::Coordinator => match act {
                Act::ReadHealth | Act::Lead | Act::Help => near,
                Act::Decide | Act::Sign => near && self.clinician.is_some(),
                _ => true,
            },
            StaffRole::Facilitator => match act {
                Act::SeeWeek | Act::ReadLibrary | Act::WriteRounds | Act::MakeGroup => true,
                Act::Plan
                | Act::Schedule
                | Act::Enrol
                | Act::ReadHealth
                | Act::ReadSums
                | Act::Lead
                | Act::Help
                | Act::ShareLinks => near,
                Act::Decide | Act::Sign => near && self.clinician.is_some(),
                Act::Entrust | Act::Erase | Act::RunAccounts => false,
            },
            StaffRole::Helper => match act {
                Act::SeeWeek => true,
                Act::Help => near,
                _ => false,
            },
        }
    }
}
