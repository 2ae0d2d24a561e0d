//! What an organisation tells those who fund it: sums over a period, in which nobody can be found again.
//!
//! A count of people that is small is not shown, nor one from which a small one follows: of a group, of those who are new,
//! or of a month. Who is left out of a line is in the total, so what is left out must itself be no small number.

use std::collections::BTreeSet;

use serde::{Deserialize, Serialize};

use crate::people::person::PersonId;
use crate::time::day::Date;

/// Small numbers are hidden below this (common statistical practice, no source).
pub const HIDDEN_BELOW: u32 = 5;
/// The stricter threshold: no cell of 1 to 10 (Centers for Medicare and Medicaid Services, cell size policy; resdac.org,
/// node 1506).
pub const HIDDEN_BELOW_STRICT: u32 = 11;
/// Counts are rounded to this where a year's difference would tell of few people.
const ROUNDED_TO: u32 = 5;

/// Somebody's part in a group's classes of the period.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Took {
    /// Who.
    pub person: PersonId,
    /// On which day.
    pub day: Date,
    /// For how many minutes.
    pub minutes: u32,
}

/// A group in the period.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct GroupPeriod {
    /// Its name.
    pub name: String,
    /// The days of its classes that were held.
    pub held: Vec<Date>,
    /// How many classes were cancelled.
    pub cancelled: u32,
    /// Who came to which class.
    pub took: Vec<Took>,
}

/// A number that may be hidden: `None` is.
pub type Cell = Option<u32>;

/// A line of sums.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct SumsLine {
    /// What it is of; empty for the total.
    pub name: String,
    /// How many classes were held.
    pub held: u32,
    /// How many were cancelled.
    pub cancelled: u32,
    /// How many people came at least once.
    pub people: Cell,
    /// How many of them had never come before the period.
    pub new: Cell,
    /// How many of them had.
    pub returning: Cell,
    /// How often people came, each class counted.
    pub attendances: Cell,
    /// How many minutes they were there in all.
    pub minutes: Cell,
}

/// The sums of a period.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct Sums {
    /// Below this a count of people is hidden.
    pub hidden_below: u32,
    /// All groups together.
    pub total: SumsLine,
    /// Each group that has a line.
    pub groups: Vec<SumsLine>,
    /// How many groups have none, because it would show a small number or let one be worked out.
    pub without_line: u32,
    /// Each month of the period, named as 2026-10.
    pub months: Vec<SumsLine>,
    /// Whether counts of people are rounded to five, because the year before had nearly the same.
    pub rounded: bool,
}

/// Adds up a period. `known` are those who had come before it, and `year_before` is how many people came in the same period
/// of the year before, if any did.
#[must_use]
pub fn sums(groups: &[GroupPeriod], known: &BTreeSet<PersonId>, year_before: u32, hidden_below: u32) -> Sums {
    let all: Vec<&Took> = groups.iter().flat_map(|group| &group.took).collect();
    let mut total = line(String::new(), &all, known);
    total.held = groups.iter().map(|group| count(group.held.len())).sum();
    total.cancelled = groups.iter().map(|group| group.cancelled).sum();
    let mut of_groups: Vec<SumsLine> = groups
        .iter()
        .map(|group| {
            let took: Vec<&Took> = group.took.iter().collect();
            let (held, cancelled) = (count(group.held.len()), group.cancelled);
            SumsLine { held, cancelled, ..line(group.name.clone(), &took, known) }
        })
        .collect();
    // The largest stand first, so that what is left out are always the last.
    of_groups.sort_by(|a, b| b.people.cmp(&a.people).then_with(|| a.name.cmp(&b.name)));
    let people = total.people.unwrap_or_default();
    let is_shown = people >= hidden_below;
    let rounded = is_shown && year_before > 0 && (1..hidden_below).contains(&people.abs_diff(year_before));
    let mut months = months(groups, known);
    let all_groups = of_groups.len();
    of_groups.truncate(with_line(&of_groups, &total, hidden_below));
    hide_split(&mut of_groups, &mut total, hidden_below);
    hide_months(&mut months, &total, hidden_below);
    if !is_shown {
        // Even that nobody came would be told from one to four.
        hide(&mut total);
        of_groups.clear();
        months.iter_mut().for_each(hide);
    }
    if rounded {
        let lines = std::iter::once(&mut total).chain(&mut of_groups).chain(&mut months);
        lines.for_each(round);
    }
    let without_line = count(all_groups - of_groups.len());
    Sums { hidden_below, total, groups: of_groups, without_line, months, rounded }
}

fn count(n: usize) -> u32 {
    u32::try_from(n).unwrap_or(u32::MAX)
}

fn line(name: String, took: &[&Took], known: &BTreeSet<PersonId>) -> SumsLine {
    let people: BTreeSet<PersonId> = took.iter().map(|one| one.person).collect();
    let returning = people.intersection(known).count();
    SumsLine {
        name,
        held: 0,
        cancelled: 0,
        people: Some(count(people.len())),
        new: Some(count(people.len() - returning)),
        returning: Some(count(returning)),
        attendances: Some(count(took.len())),
        minutes: Some(took.iter().map(|one| one.minutes).sum()),
    }
}

/// Whether a number tells of few people.
fn is_small(n: u32, hidden_below: u32) -> bool {
    (1..hidden_below).contains(&n)
}

/// How many of the groups, the largest first, have a line: none that is small, and so few that the rest, which is the total
/// without the lines, is no small number.
fn with_line(groups: &[SumsLine], total: &SumsLine, hidden_below: u32) -> usize {
    let mut shown = groups.iter().take_while(|group| group.people >= Some(hidden_below)).count();
    let figures: [fn(&SumsLine) -> Cell; 2] = [|line| line.people, |line| line.attendances];
    while shown > 0 && figures.iter().any(|of| is_small(rest(total, &groups[..shown], *of), hidden_below)) {
        shown -= 1;
    }
    shown
}

/// What is left of the total without these lines.
fn rest(total: &SumsLine, lines: &[SumsLine], of: fn(&SumsLine) -> Cell) -> u32 {
    let shown: u32 = lines.iter().filter_map(of).sum();
    of(total).unwrap_or_default().saturating_sub(shown)
}

/// Hides how many are new where that, or how many are not, is small, and where it could be worked out.
fn hide_split(groups: &mut [SumsLine], total: &mut SumsLine, hidden_below: u32) {
    let parts: [fn(&SumsLine) -> Cell; 2] = [|line| line.new, |line| line.returning];
    let small = |line: &SumsLine| parts.iter().any(|of| is_small(of(line).unwrap_or_default(), hidden_below));
    for group in groups.iter_mut().filter(|group| small(group)) {
        (group.new, group.returning) = (None, None);
    }
    if small(total) {
        // Without that of the total, no line says anything about another.
        (total.new, total.returning) = (None, None);
        return;
    }
    // The smallest stand last.
    for at in (0..groups.len()).rev() {
        if !parts.iter().any(|of| is_small(rest(total, groups, *of), hidden_below)) {
            return;
        }
        (groups[at].new, groups[at].returning) = (None, None);
    }
}

/// The months of the period in which there was a class, or one was to be.
fn months(groups: &[GroupPeriod], known: &BTreeSet<PersonId>) -> Vec<SumsLine> {
    let month = |day: Date| day.to_string()[..7].to_owned();
    let held = || groups.iter().flat_map(|group| group.held.iter().copied());
    let names: BTreeSet<String> = held().map(month).collect();
    names
        .into_iter()
        .map(|name| {
            let took: Vec<&Took> =
                groups.iter().flat_map(|group| &group.took).filter(|one| month(one.day) == name).collect();
            let classes = count(held().filter(|day| month(*day) == name).count());
            let line = line(name, &took, known);
            // Who is new is told once, of the whole period.
            SumsLine { held: classes, new: None, returning: None, ..line }
        })
        .collect()
}

/// Hides the months with few people, and as many more as it takes.
fn hide_months(months: &mut [SumsLine], total: &SumsLine, hidden_below: u32) {
    let mut order: Vec<usize> = (0..months.len()).collect();
    order.sort_by_key(|at| months[*at].people);
    let mut hidden: BTreeSet<usize> = order
        .iter()
        .copied()
        .filter(|at| is_small(months[*at].people.unwrap_or_default(), hidden_below))
        .collect();
    for at in order {
        let shown = (0..months.len()).filter(|at| !hidden.contains(at)).map(|at| months[at].clone());
        if !is_small(rest(total, &shown.collect::<Vec<_>>(), |line| line.attendances), hidden_below) {
            break;
        }
        hidden.insert(at);
    }
    for at in hidden {
        hide(&mut months[at]);
    }
}

fn hide(line: &mut SumsLine) {
    *line = SumsLine {
        name: std::mem::take(&mut line.name),
        held: line.held,
        cancelled: line.cancelled,
        ..SumsLine::default()
    };
}

fn round(line: &mut SumsLine) {
    for cell in [&mut line.people, &mut line.new, &mut line.returning].into_iter().flatten() {
        *cell = (*cell + ROUNDED_TO / 2) / ROUNDED_TO * ROUNDED_TO;
    }
}
