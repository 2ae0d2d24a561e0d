//! What an organisation tells those who fund it: sums over a period, in which nobody can be found again.
//!
//! A count of people that is small is not shown, nor one from which a small one follows: of a group, of those who are new,
//! or of a month. Who is left out of a line is in the total, so what is left out must itself be no small number; and some
//! people are in two groups, so how many those are must be none either. Once there are figures of the year before, all are
//! rounded: the two years together would tell of whoever joined or left.

use std::collections::BTreeSet;

use serde::{Deserialize, Serialize};

use crate::people::person::PersonId;
use crate::time::day::Date;

/// Small numbers are hidden below this (common statistical practice, no source).
pub const HIDDEN_BELOW: u32 = 5;
/// The stricter threshold: no cell of 1 to 10 (Centers for Medicare and Medicaid Services, cell size policy; resdac.org,
/// node 1506).
pub const HIDDEN_BELOW_STRICT: u32 = 11;
/// What counts of people and attendances, and minutes, are rounded to.
const ROUNDED_TO: u32 = 5;
const MINUTES_ROUNDED_TO: u32 = 60;

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
    /// How many people came at least once; not told of a month.
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
    /// Whether counts are rounded to five, and minutes to hours, because there are figures of the year before.
    pub rounded: bool,
}

/// Adds up a period. `known` are those who had come before it; `rounded` is whether anybody came in the same period of the
/// year before.
#[must_use]
pub fn sums(groups: &[GroupPeriod], known: &BTreeSet<PersonId>, rounded: bool, hidden_below: u32) -> Sums {
    let all: Vec<&Took> = groups.iter().flat_map(|group| &group.took).collect();
    let mut total = line(String::new(), &all, known);
    total.held = groups.iter().map(|group| count(group.held.len())).sum();
    total.cancelled = groups.iter().map(|group| group.cancelled).sum();
    let mut of_groups: Vec<(SumsLine, BTreeSet<PersonId>)> = groups
        .iter()
        .map(|group| {
            let took: Vec<&Took> = group.took.iter().collect();
            let (held, cancelled) = (count(group.held.len()), group.cancelled);
            let people = took.iter().map(|one| one.person).collect();
            (SumsLine { held, cancelled, ..line(group.name.clone(), &took, known) }, people)
        })
        .collect();
    // The largest stand first, so that what is left out are always the last.
    of_groups.sort_by(|(a, _), (b, _)| b.people.cmp(&a.people).then_with(|| a.name.cmp(&b.name)));
    let is_shown = total.people.unwrap_or_default() >= hidden_below;
    let rounded = is_shown && rounded;
    let mut months = months(groups);
    let all_groups = of_groups.len();
    of_groups.truncate(with_line(&of_groups, &total, hidden_below));
    let mut of_groups: Vec<SumsLine> = of_groups.into_iter().map(|(line, _)| line).collect();
    hide_split(&mut of_groups, &mut total, hidden_below);
    hide_months(&mut months, &total, hidden_below);
    if !is_shown {
        // Even that nobody came would be told from one to four.
        hide(&mut total);
        of_groups.clear();
        months.iter_mut().for_each(hide);
    }
    // How many came in a month was needed to hide the small ones. It is not told: the total without it would be those who
    // came in other months only.
    months.iter_mut().for_each(|month| month.people = None);
    if rounded {
        let lines = std::iter::once(&mut total).chain(&mut of_groups).chain(&mut months);
        lines.for_each(|line| round(line, hidden_below));
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

/// How many of the groups, the largest first, have a line: none that is small, and so few that no small number follows for
/// those without one, nor for those who are in several groups.
fn with_line(groups: &[(SumsLine, BTreeSet<PersonId>)], total: &SumsLine, hidden_below: u32) -> usize {
    let union = |of: &[(SumsLine, BTreeSet<PersonId>)]| {
        of.iter().flat_map(|(_, people)| people).copied().collect::<BTreeSet<PersonId>>()
    };
    let fits = |shown: usize| {
        let (in_lines, left_out) = (union(&groups[..shown]), union(&groups[shown..]));
        let lines: Vec<SumsLine> = groups[..shown].iter().map(|(line, _)| line.clone()).collect();
        let added: u32 = lines.iter().filter_map(|line| line.people).sum();
        let follows = [
            count(left_out.len()),
            count(left_out.difference(&in_lines).count()),
            // Who is in two groups with a line is counted in both.
            added - count(in_lines.len()),
            rest(total, &lines, |line| line.attendances),
        ];
        !follows.iter().any(|n| is_small(*n, hidden_below))
    };
    let large = groups.iter().take_while(|(line, _)| line.people >= Some(hidden_below)).count();
    (0..=large).rev().find(|shown| *shown == 0 || fits(*shown)).unwrap_or_default()
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

/// The months of the period in which there was a class.
fn months(groups: &[GroupPeriod]) -> Vec<SumsLine> {
    let month = |day: Date| day.to_string()[..7].to_owned();
    let held = || groups.iter().flat_map(|group| group.held.iter().copied());
    let names: BTreeSet<String> = held().map(month).collect();
    names
        .into_iter()
        .map(|name| {
            let took: Vec<&Took> =
                groups.iter().flat_map(|group| &group.took).filter(|one| month(one.day) == name).collect();
            let classes = count(held().filter(|day| month(*day) == name).count());
            let line = line(name, &took, &BTreeSet::new());
            // Who is new is told once, of the whole period.
            SumsLine { held: classes, new: None, returning: None, ..line }
        })
        .collect()
}

/// Hides the months with few people, and never one alone: it would be the total without the others.
fn hide_months(months: &mut [SumsLine], total: &SumsLine, hidden_below: u32) {
    // Months in which nobody came hide nothing, and need not be hidden.
    let mut order: Vec<usize> = (0..months.len()).filter(|at| months[*at].people != Some(0)).collect();
    order.sort_by_key(|at| months[*at].people);
    let is_few = |at: &&usize| is_small(months[**at].people.unwrap_or_default(), hidden_below);
    let mut hidden = order.iter().filter(is_few).count();
    let left = |hidden: usize| {
        let shown: Vec<SumsLine> = order[hidden..].iter().map(|at| months[*at].clone()).collect();
        rest(total, &shown, |line| line.attendances)
    };
    while hidden > 0 && hidden < order.len() && (hidden < 2 || is_small(left(hidden), hidden_below)) {
        hidden += 1;
    }
    for at in order.into_iter().take(hidden) {
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

fn round(line: &mut SumsLine, hidden_below: u32) {
    let to = |n: u32, unit: u32| (n + unit / 2) / unit * unit;
    let counts = [&mut line.people, &mut line.new, &mut line.returning, &mut line.attendances];
    for cell in counts.into_iter().flatten().filter(|cell| **cell > 0) {
        // No small number stands in the table, rounded or not.
        *cell = to(*cell, ROUNDED_TO).max(hidden_below.next_multiple_of(ROUNDED_TO));
    }
    line.minutes = line.minutes.map(|minutes| to(minutes, MINUTES_ROUNDED_TO));
}
