//! Advice on the people of a group.

use super::because::{CLEARED, GRID};
use super::{Advice, AdviceKind};
use crate::people::rules::{Rule, Rules};
use crate::plan::Plan;
use crate::plan::group::Enrolled;

/// Who rests, one line for all drills in which the same people do.
pub(super) fn on_people(plan: &Plan, people: &[Enrolled], rules: &Rules) -> Vec<Advice> {
    let mut lines: Vec<Line<'_>> = Vec::new();
    for (step, drill) in plan.steps.iter().enumerate().filter_map(|(i, step)| Some((i, step.drill()?))) {
        let off = people.iter().filter(|one| one.person.rule(drill, rules) == Rule::Off);
        let off: Vec<&str> = off.map(|one| one.person.name.as_str()).collect();
        let swallow = drill.family.is_swallow();
        match lines.iter_mut().find(|line| line.off == off && line.swallow == swallow) {
            _ if off.is_empty() => {}
            Some(line) if line.drills.contains(&drill.name.as_str()) => {}
            Some(line) => line.drills.push(drill.name.as_str()),
            None => lines.push(Line { step, swallow, drills: vec![drill.name.as_str()], off }),
        }
    }
    let advice = lines.into_iter().map(|Line { step, swallow, drills, off }| {
        let text = format!("Not cleared for {}: {}. They rest.", drills.join(", "), off.join(", "));
        Advice::new(AdviceKind::NotCleared, Some(step), text, if swallow { CLEARED } else { GRID })
    });
    advice.collect()
}

struct Line<'a> {
    step: usize,
    swallow: bool,
    drills: Vec<&'a str>,
    off: Vec<&'a str>,
}
