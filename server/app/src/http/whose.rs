//! Whose a group, a plan, a person or a class is, as whoever asks sees it.

use std::collections::BTreeMap;

use samebreath_core::people::person::PersonId;
use samebreath_core::plan::draft::Planned;
use samebreath_core::plan::group::{Group, GroupId};
use samebreath_core::staff::may::{Act, Whose};
use samebreath_core::time::day::Date;
use samebreath_core::versioned::Versioned;
use samebreath_store::sessions::SessionEntry;

use crate::access::staff::Staff;
use crate::app::App;
use crate::failure::Failure;
use crate::http::ask::Reply;

/// The groups as one member of staff sees them.
pub(crate) struct Groups<'a> {
    staff: &'a Staff,
    groups: BTreeMap<GroupId, Group>,
}

impl<'a> Groups<'a> {
    /// Reads the groups.
    pub(crate) async fn of(staff: &'a Staff, app: &App) -> Reply<Self> {
        let groups: Vec<Versioned<Group>> = app.store.documents().await?;
        let groups = groups.into_iter().map(|group| (GroupId(group.id), group.content)).collect();
        Ok(Self { staff, groups })
    }

    /// Whoever asks.
    pub(crate) fn staff(&self) -> &Staff {
        self.staff
    }

    /// All groups, those of others too.
    pub(crate) fn all(&self) -> impl Iterator<Item = (GroupId, &Group)> {
        self.groups.iter().map(|(id, group)| (*id, group))
    }

    /// Whose a class is. One whose group was removed is nobody's any more: its reports are no shared thing.
    pub(crate) fn class(&self, entry: &SessionEntry) -> Whose {
        match entry.group {
            Some(id) if !self.groups.contains_key(&id) => Whose::Others,
            group => self.day(group, entry.of),
        }
    }

    /// Whose something of a group is. What is left of one that was removed is nobody's any more.
    pub(crate) fn of_group(&self, id: GroupId) -> Whose {
        self.groups.get(&id).map_or(Whose::Others, |group| group.whose(self.staff.id()))
    }

    /// Whose the class of a group is that is regularly on this day: also that of whoever stands in. What belongs to no
    /// group is shared.
    pub(crate) fn day(&self, id: Option<GroupId>, of: Option<Date>) -> Whose {
        let group = id.and_then(|id| self.groups.get(&id));
        group.map_or(Whose::Shared, |group| group.whose_on(self.staff.id(), of))
    }

    /// Whose a plan is: that of the class for which it is meant.
    pub(crate) fn plan(&self, plan: &Planned) -> Whose {
        let group = plan.group.and_then(|id| self.groups.get(&id));
        let class = group.zip(plan.day).and_then(|(group, day)| group.series()?.of_day(day));
        self.day(plan.group, class.map(|class| class.of))
    }

    /// Whose a person is: the nearest that any of their groups is.
    pub(crate) fn person(&self, id: PersonId) -> Whose {
        let theirs = self.groups.values().filter(|group| group.people.contains(&id));
        let near = |whose: &Whose| Whose::ALL.iter().position(|known| known == whose);
        theirs.map(|group| group.whose(self.staff.id())).min_by_key(near).unwrap_or(Whose::Shared)
    }

    /// Whether whoever asks may do this with something that is `whose`.
    pub(crate) fn may(&self, act: Act, whose: Whose) -> bool {
        self.staff.account().may(act, whose)
    }

    /// Refuses what whoever asks may not do. What is others' is as if it were not there.
    pub(crate) fn check(&self, act: Act, whose: Whose) -> Reply<()> {
        match (self.may(act, whose), whose) {
            (true, _) => Ok(()),
            (false, Whose::Others) if self.may(act, Whose::Own) => Err(Failure::NotFound),
            (false, _) => Err(Failure::Forbidden),
        }
    }
}
