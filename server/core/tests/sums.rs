//! Sums for those who fund an organisation: right, and nobody is found in them (W-32).

use std::collections::BTreeSet;

use proptest::prelude::{Strategy, any, proptest};
use proptest::test_runner::Config as ProptestConfig;
use proptest::{collection, prop_assert, sample};
use samebreath_core::people::person::PersonId;
use samebreath_core::record::sums::{
    Cell, GroupPeriod, HIDDEN_BELOW, HIDDEN_BELOW_STRICT, Sums, SumsLine, Took, sums,
};
use uuid::Uuid;

use crate::common::roll::day;

fn person(n: u32) -> PersonId {
    PersonId(Uuid::from_u128(u128::from(n)))
}

/// A group of so many people, each at one class on a day of their own month.
fn group(name: &str, people: std::ops::Range<u32>, months: u32) -> GroupPeriod {
    let on = |month: u32| day(&format!("2026-{:02}-06", month + 1));
    let took = people.map(|n| Took { person: person(n), day: on(n % months), minutes: 50 }).collect();
    GroupPeriod { name: name.to_owned(), held: (0..months).map(on).collect(), cancelled: 1, took }
}

fn names(sums: &Sums) -> Vec<(&str, Cell)> {
    sums.groups.iter().map(|line| (line.name.as_str(), line.people)).collect()
}

/// The worked examples of complementary hiding: of 12, 3 and 7 in all 22, 3 and the next smallest go; of 12 and 3 in all 15
/// the total stands alone.
#[test]
fn what_would_give_a_small_number_away_goes_too() {
    let known = BTreeSet::new();
    let three = [group("A", 0..12, 1), group("B", 12..15, 1), group("C", 15..22, 1)];
    let of_three = sums(&three, &known, false, HIDDEN_BELOW);
    assert_eq!((names(&of_three), of_three.without_line), (vec![("A", Some(12))], 2));
    assert_eq!((of_three.total.people, of_three.total.held, of_three.total.cancelled), (Some(22), 3, 3));
    assert_eq!((of_three.total.attendances, of_three.total.minutes), (Some(22), Some(1_100)));
    let of_two = sums(&three[..2], &known, false, HIDDEN_BELOW);
    assert_eq!((names(&of_two), of_two.total.people), (vec![], Some(15)));
    let few = sums(&three[1..2], &known, false, HIDDEN_BELOW);
    assert_eq!(
        (few.total.people, few.total.minutes, few.total.held),
        (None, None, 1),
        "classes are no people"
    );
    let strict = sums(&three, &known, false, HIDDEN_BELOW_STRICT);
    assert_eq!((names(&strict), strict.total.people), (vec![], Some(22)), "10 is small here");
}

#[test]
fn who_is_new_is_told_where_neither_part_is_small() {
    let known: BTreeSet<PersonId> = (0..8).chain(20..33).map(person).collect();
    let groups = [group("A", 0..16, 1), group("B", 20..34, 1)];
    let found = sums(&groups, &known, false, HIDDEN_BELOW);
    assert_eq!((found.total.new, found.total.returning), (Some(9), Some(21)));
    // One new person in B would follow from A's eight.
    assert!(found.groups.iter().all(|line| line.new.is_none()), "{found:?}");
    let alone = sums(&groups[..1], &known, false, HIDDEN_BELOW);
    assert_eq!((alone.groups[0].new, alone.groups[0].returning), (Some(8), Some(8)));
}

#[test]
fn once_there_is_a_year_before_all_counts_are_rounded_and_none_gets_small() {
    let known = BTreeSet::new();
    let of = |people: u32, below: u32| sums(&[group("A", 0..people, 1)], &known, true, below).total;
    let found = [of(23, HIDDEN_BELOW), of(12, HIDDEN_BELOW_STRICT), of(6, HIDDEN_BELOW)];
    let cells = found.map(|line| (line.people, line.attendances, line.minutes));
    assert_eq!(
        cells,
        [(Some(25), Some(25), Some(1_140)), (Some(15), Some(15), Some(600)), (Some(5), Some(5), Some(300))]
    );
    assert_eq!(of(4, HIDDEN_BELOW).people, None);
}

/// Of 8 and 5 people 12 in all, one is in both; with a line of the eight, the four others would follow.
#[test]
fn who_is_in_two_groups_is_not_told_either() {
    let known = BTreeSet::new();
    let small = [group("A", 0..8, 1), group("B", 7..12, 1)];
    let found = sums(&small, &known, false, HIDDEN_BELOW);
    assert_eq!((names(&found), found.total.people, found.without_line), (vec![], Some(12), 2));
    let many = [group("A", 0..20, 1), group("B", 10..25, 1)];
    assert_eq!(names(&sums(&many, &known, false, HIDDEN_BELOW)), [("A", Some(20)), ("B", Some(15))]);
    // All of B are in A too: its attendances would follow.
    let within = [group("A", 0..12, 1), group("B", 0..1, 4)];
    assert_eq!(names(&sums(&within, &known, false, HIDDEN_BELOW)), []);
}

#[test]
fn a_month_with_few_people_takes_another_with_it() {
    // 3 people in January, 10 in February and 10 in March.
    let on = |n: u32| {
        if n < 3 {
            "2026-01-06"
        } else if n < 13 {
            "2026-02-03"
        } else {
            "2026-03-03"
        }
    };
    let took = (0..23).map(|n| Took { person: person(n), day: day(on(n)), minutes: 50 }).collect();
    let held = ["2026-01-06", "2026-02-03", "2026-03-03"].map(day).to_vec();
    let found = sums(
        &[GroupPeriod { name: "A".to_owned(), held, cancelled: 0, took }],
        &BTreeSet::new(),
        false,
        HIDDEN_BELOW,
    );
    let months: Vec<_> =
        found.months.iter().map(|line| (line.name.as_str(), line.held, line.attendances)).collect();
    assert_eq!(months, [("2026-01", 1, None), ("2026-02", 1, None), ("2026-03", 1, Some(10))]);
    assert!(found.months.iter().all(|line| line.people.is_none()), "the others would follow from the total");
}

/// What somebody knows who has the table: equations over the counts of all groups, and the cells that are shown.
struct Reader {
    rows: Vec<Vec<f64>>,
    unknowns: usize,
}

impl Reader {
    /// Four counts of each group, those that have no line as well, then those of the total, then attendances by month.
    fn of(shown: &Sums, groups: usize, months: usize) -> Self {
        let unknowns = 4 * (groups + 1) + months;
        let mut reader = Self { rows: Vec::new(), unknowns };
        let of_total = 4 * groups;
        for of in 0..=groups {
            // Whoever comes is new or returns.
            reader.knows(&[(4 * of, 1.0), (4 * of + 1, -1.0), (4 * of + 2, -1.0)]);
        }
        for part in 0..4 {
            let mut sum: Vec<(usize, f64)> = (0..groups).map(|of| (4 * of + part, 1.0)).collect();
            sum.push((of_total + part, -1.0));
            reader.knows(&sum);
        }
        let mut sum: Vec<(usize, f64)> = (0..months).map(|at| (of_total + 4 + at, 1.0)).collect();
        sum.push((of_total + 3, -1.0));
        reader.knows(&sum);
        let lines = shown.groups.iter().enumerate().chain([(groups, &shown.total)]);
        for (of, line) in lines {
            for (part, cell) in cells(line).into_iter().enumerate() {
                if cell.is_some() {
                    reader.knows(&[(4 * of + part, 1.0)]);
                }
            }
        }
        for (at, line) in shown.months.iter().enumerate() {
            if line.attendances.is_some() {
                reader.knows(&[(of_total + 4 + at, 1.0)]);
            }
        }
        reader
    }

    fn knows(&mut self, equation: &[(usize, f64)]) {
        let mut row = vec![0.0; self.unknowns];
        for (at, factor) in equation {
            row[*at] = *factor;
        }
        self.rows.push(row);
    }

    /// Which unknowns have one value only, by Gauss and Jordan.
    fn works_out(&self) -> Vec<bool> {
        let mut rows = self.rows.clone();
        let (mut rank, mut pivots) = (0, Vec::new());
        for column in 0..self.unknowns {
            let Some(found) = (rank..rows.len()).find(|at| rows[*at][column].abs() > 1e-9) else { continue };
            rows.swap(rank, found);
            let factor = rows[rank][column];
            rows[rank].iter_mut().for_each(|cell| *cell /= factor);
            let pivot = rows[rank].clone();
            for (_, row) in rows.iter_mut().enumerate().filter(|(at, _)| *at != rank) {
                let times = row[column];
                row.iter_mut().zip(&pivot).for_each(|(cell, by)| *cell -= times * by);
            }
            pivots.push((column, rank));
            rank += 1;
        }
        let mut known = vec![false; self.unknowns];
        for (column, rank) in pivots {
            known[column] = rows[rank].iter().enumerate().all(|(at, cell)| at == column || cell.abs() < 1e-9);
        }
        known
    }
}

fn cells(line: &SumsLine) -> [Cell; 4] {
    [line.people, line.new, line.returning, line.attendances]
}

/// Whether somebody had come before, and the months in which they came.
type Came = (bool, Vec<u32>);

/// Groups of few or many people, each of whom came once or several times, some of them known from before.
fn organisation() -> impl Strategy<Value = (Vec<Vec<Came>>, u32)> {
    let person = (any::<bool>(), collection::vec(0..4_u32, 1..4));
    let known_mostly = (proptest::bool::weighted(0.9), collection::vec(0..4_u32, 1..4));
    let group = proptest::prop_oneof![
        collection::vec(person.clone(), 0..8),
        collection::vec(person, 3..30),
        collection::vec(known_mostly, 3..30),
    ];
    (collection::vec(group, 0..6), sample::select(vec![HIDDEN_BELOW, HIDDEN_BELOW_STRICT]))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 600, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn no_small_count_is_shown_or_can_be_worked_out((made, hidden_below) in organisation()) {
        let on = |month: u32| day(&format!("2026-{:02}-06", month + 1));
        let (mut next, mut known, mut groups) = (0, BTreeSet::new(), Vec::new());
        for (at, people) in made.iter().enumerate() {
            let mut took = Vec::new();
            for (is_known, months) in people {
                next += 1;
                if *is_known {
                    known.insert(person(next));
                }
                took.extend(months.iter().map(|month| Took { person: person(next), day: on(*month), minutes: 50 }));
            }
            let held = (0..4).map(on).collect();
            groups.push(GroupPeriod { name: format!("G{at}"), held, cancelled: 0, took });
        }
        let shown = sums(&groups, &known, false, hidden_below);
        let small = |n: u32| (1..hidden_below).contains(&n);
        let lines = shown.groups.iter().chain(&shown.months).chain([&shown.total]);
        for line in lines {
            for cell in cells(line).into_iter().flatten() {
                prop_assert!(!small(cell), "{line:?}");
            }
        }

        // The truth, in the order in which the table has its lines, those without one behind.
        let truth = |group: &GroupPeriod| {
            let people: BTreeSet<PersonId> = group.took.iter().map(|one| one.person).collect();
            let old = people.intersection(&known).count();
            [people.len(), people.len() - old, old, group.took.len()].map(|n| u32::try_from(n).unwrap())
        };
        let at = |name: &str| shown.groups.iter().position(|line| line.name == name).unwrap_or(usize::MAX);
        groups.sort_by_key(|group| at(&group.name));
        let mut all: Vec<u32> = groups.iter().flat_map(truth).collect();
        let total = (0..4).map(|part| groups.iter().map(|group| truth(group)[part]).sum::<u32>());
        all.extend(total.collect::<Vec<_>>());
        for line in &shown.months {
            let came = groups.iter().flat_map(|group| &group.took).filter(|one| one.day.to_string().starts_with(&line.name));
            all.push(u32::try_from(came.count()).unwrap());
        }
        let worked_out = Reader::of(&shown, groups.len(), shown.months.len()).works_out();
        for (at, (value, is_known)) in all.iter().zip(worked_out).enumerate() {
            prop_assert!(!(is_known && small(*value)), "number {at} is {value}, and follows from {shown:?}");
        }
        // What is shown is true.
        for (at, line) in shown.groups.iter().chain([&shown.total]).enumerate() {
            let of = if at < shown.groups.len() { at } else { groups.len() };
            for (part, cell) in cells(line).into_iter().enumerate().filter_map(|(part, cell)| Some((part, cell?))) {
                prop_assert!(cell == all[4 * of + part]);
            }
        }
    }

    /// The same where people are in several groups: what follows from adding up the lines and taking them from the total.
    #[test]
    fn people_in_several_groups_are_not_worked_out(
        made in collection::vec(collection::vec(0..40_u32, 0..30), 0..6),
        hidden_below in sample::select(vec![HIDDEN_BELOW, HIDDEN_BELOW_STRICT]),
    ) {
        let took = |n: u32| Took { person: person(n), day: day("2026-01-06"), minutes: 50 };
        let groups: Vec<GroupPeriod> = made
            .iter()
            .enumerate()
            .map(|(at, people)| GroupPeriod {
                name: format!("G{at}"),
                held: vec![day("2026-01-06")],
                cancelled: 0,
                took: people.iter().collect::<BTreeSet<_>>().into_iter().map(|n| took(*n)).collect(),
            })
            .collect();
        let shown = sums(&groups, &BTreeSet::new(), false, hidden_below);
        let of = |group: &GroupPeriod| group.took.iter().map(|one| one.person).collect::<BTreeSet<_>>();
        let has_line = |group: &&GroupPeriod| shown.groups.iter().any(|line| line.name == group.name);
        let (in_lines, others): (Vec<_>, Vec<_>) = groups.iter().partition(has_line);
        let union = |of_groups: &[&GroupPeriod]| of_groups.iter().flat_map(|group| of(group)).collect::<BTreeSet<_>>();
        let (lines, rest) = (union(&in_lines), union(&others));
        let added: usize = in_lines.iter().map(|group| group.took.len()).sum();
        for follows in [rest.len(), rest.difference(&lines).count(), added - lines.len()] {
            let small = (1..hidden_below as usize).contains(&follows);
            prop_assert!(shown.groups.is_empty() || !small, "{follows} in {shown:?}");
        }
    }
}
