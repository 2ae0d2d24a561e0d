//! A sheet with what somebody's class was given to take along, in their own form and dose, and with nothing on it that is not for
//! them.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use crate::drill::dose::DoseChange;
use crate::drill::form::{DrillForm, Form};
use crate::drill::{DrillId, Family, Phase};
use crate::item::Words;
use crate::language::Language;
use crate::library::Library;
use crate::live::{Content, LiveStep, form_at_home};
use crate::people::person::Person;
use crate::people::rules::Rules;
use crate::plan::choice::ItemChoice;
use crate::plan::course::Load;
use crate::plan::timeline::{Figures, Timeline};
use crate::plan::{Body, ForHome, Step, Title};
use crate::record::class::{ClassRecord, PersonRecord, StepRecord};
use crate::text::{LanguageTag, Line, Name};
use crate::time::day::Date;

/// A person's home sheet.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct HomeSheet {
    /// Whose it is.
    pub name: Name,
    /// The language of the sheet.
    pub language: Option<LanguageTag>,
    /// The day of the class that it comes from.
    pub from: Date,
    /// The day up to which it holds: that of the next class, if that is not far off.
    pub until: Date,
    /// What to do; empty when nothing of it is for this person.
    pub items: Vec<HomeDrillSheet>,
    /// The titles of what is not on it: not for them, over a limit that a clinician set, or not in the library any more. For
    /// staff only.
    pub left_out: Vec<Title>,
}

/// A drill on the sheet.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct HomeDrillSheet {
    /// The drill.
    pub drill: DrillId,
    /// In which form; never a rest.
    pub form: Form,
    /// How long they hold at most, in milliseconds, where that was set for them.
    pub hold_ms: Option<i64>,
    /// How to do that form, in one sentence, where it is not the usual one.
    pub what: Option<Line<120>>,
    /// The pose that its picture shows.
    pub pose: Line<40>,
    /// What to do in one repetition, in order, with the rest before the next.
    pub how: Vec<HowLine>,
    /// The rest after each set, in milliseconds; 0 where there is one set.
    pub set_rest_ms: i64,
    /// The sides or positions, in order, by name; empty for a drill without.
    pub sides: Vec<Line<60>>,
    /// What to say, one after the other; empty for a drill without words of its own.
    pub words: Vec<Words>,
    /// How many repetitions in a set, for each side.
    pub reps: u32,
    /// How many sets.
    pub sets: u32,
    /// How often a day.
    pub times_a_day: u32,
    /// On how many days a week.
    pub days_a_week: u32,
    /// All cautions, the one that matters most first: nobody is there to say them.
    pub cautions: Vec<Line<200>>,
    /// What is needed for it.
    pub needs: Vec<Line<60>>,
    /// The last day on which they said that it hurt, as long as somebody still has to see to them.
    pub hurt: Option<Date>,
    /// What a class screen would show.
    pub content: Content,
}

/// One thing to do in a repetition.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub struct HowLine {
    /// What people do in it.
    pub phase: Phase,
    /// The words.
    pub words: Line<80>,
    /// How long, in milliseconds; of an open hold, its target, or the person's own.
    pub ms: i64,
    /// Whether somebody holds for as long as is good for them, up to that.
    pub up_to: bool,
}

/// A sheet holds for so many days where no next class is known, and at most for so many where it is far off, so that nobody
/// goes on for a whole summer without being looked at (an agreed choice).
const USUAL_DAYS: i64 = 7;
const MOST_DAYS: i64 = 21;

/// Up to which day a sheet from a class on the day `from` holds, where the next class is on the day `next`.
#[must_use]
pub fn holds_until(from: Date, next: Option<Date>) -> Date {
    next.unwrap_or_else(|| from.plus_days(USUAL_DAYS)).min(longest(from))
}

/// The last day up to which something that is given on the day `from` may hold.
#[must_use]
pub fn longest(from: Date) -> Date {
    from.plus_days(MOST_DAYS)
}

/// Where a sheet comes from.
#[derive(Debug)]
pub struct SheetOf<'a> {
    /// What the class was given to take along.
    pub home: &'a [ForHome],
    /// The day of the class.
    pub from: Date,
    /// The day up to which it holds ([`holds_until`]).
    pub until: Date,
}

/// What holds for a person at home besides their own forms: what is left of the limits that a clinician set for their week, and
/// what hurt.
#[derive(Debug)]
pub struct Limits<'a> {
    person: &'a Person,
    spent: Vec<Load>,
    hurt: BTreeMap<DrillId, Date>,
}

impl<'a> Limits<'a> {
    /// The limits after what the person's classes hold.
    #[must_use]
    pub fn after(person: &'a Person, classes: Vec<Load>) -> Self {
        Self { person, spent: classes, hurt: BTreeMap::new() }
    }

    /// The same, with what hurt at home after one of their classes and is not followed up.
    #[must_use]
    pub fn with_hurt<'b>(mut self, of: impl IntoIterator<Item = &'b PersonRecord>) -> Self {
        for log in of.into_iter().filter(|of| of.to_follow_up).flat_map(|of| &of.practised) {
            if log.hurt {
                let day = self.hurt.entry(log.drill.clone()).or_insert(log.day);
                *day = (*day).max(log.day);
            }
        }
        self
    }

    /// How often a day and on how many days a week there is still room for so many repetitions; `None` where even once a week is
    /// too much. What there is room for counts from then on.
    fn take(&mut self, family: Family, reps: u32, often: Often) -> Option<(u32, u32)> {
        let Often { times, days, or_less } = often;
        let limits = self.person.ceilings().filter(|ceiling| ceiling.family == family);
        let Some(most) = limits.map(|ceiling| ceiling.reps_a_week).min() else { return Some((times, days)) };
        let of_family = self.spent.iter().filter(|load| load.family == family);
        let spent: u32 = of_family.map(|load| load.figures.reps).sum();
        let (left, once) = (most.saturating_sub(spent), reps.max(1));
        let (times, days) = [(times, left / (once * times.max(1))), (1, left / once)]
            .into_iter()
            .map(|(times, most_days)| (times, days.min(most_days)))
            .find(|(_, days)| *days > 0)
            .filter(|room| or_less || *room == (often.times, often.days))?;
        let figures = Figures { reps: once * times * days, ..Figures::default() };
        self.spent.push(Load { family, figures });
        Some((times, days))
    }
}

/// What the steps of a class hold, by the families of their drills.
#[must_use]
pub fn loads_of(class: &ClassRecord, library: &Library) -> Vec<Load> {
    let drill = |step: &StepRecord| library.drill(step.drill.as_ref()?.as_str()).ok();
    let steps = class.steps.iter();
    steps.filter_map(|step| Some(Load { family: drill(step)?.family, figures: step.planned })).collect()
}

/// The sheet of one person, from what is known of them now: what a clinician withdrew is not on it.
#[must_use]
pub fn home_sheet(of: &SheetOf<'_>, limits: &mut Limits<'_>, rules: &Rules, library: &Library) -> HomeSheet {
    let (mut items, mut left_out) = (Vec::new(), Vec::new());
    let person = limits.person;
    for home in of.home {
        let often = Often { times: home.times_a_day, days: home.days_a_week, or_less: true };
        let given = home.drill.as_ref().map(|of| Given {
            drill: of.id.as_str(),
            change: &of.change,
            items: None,
            often,
        });
        match given.and_then(|given| drill_sheet(&given, limits, rules, library)) {
            Some(item) => items.push(item),
            None => left_out.push(home.title.clone()),
        }
    }
    HomeSheet {
        name: person.name.clone(),
        language: person.language.clone(),
        from: of.from,
        until: of.until,
        items,
        left_out,
    }
}

/// A drill that somebody is given to do at home.
pub(super) struct Given<'a> {
    pub(super) drill: &'a str,
    pub(super) change: &'a DoseChange,
    pub(super) items: Option<&'a ItemChoice>,
    pub(super) often: Often,
}

/// How often a drill is given.
#[derive(Clone, Copy)]
pub(super) struct Often {
    /// How often a day.
    pub(super) times: u32,
    /// On how many days a week.
    pub(super) days: u32,
    /// Whether it may be less where there is no room for so much.
    pub(super) or_less: bool,
}

/// The drill as this person does it; `None` where it is not for them.
pub(super) fn drill_sheet(
    given: &Given<'_>,
    limits: &mut Limits<'_>,
    rules: &Rules,
    library: &Library,
) -> Option<HomeDrillSheet> {
    let drill = library.drill(given.drill).ok()?;
    let (form, own_hold_ms) = form_at_home(limits.person, drill, rules);
    if form == Form::Rest {
        return None;
    }
    let words = ItemChoice::items(given.items, drill, library).ok()?;
    // At home nobody explains or shows anything first.
    let change = DoseChange { explain_ms: Some(0), shown: Some(0), ..*given.change };
    let step = Step::of_drill(drill, &change, words).ok()?;
    let Body::Drill { dose, items, .. } = &step.body else { return None };
    let own_form: Option<&DrillForm> = match form {
        Form::Easier => drill.easier.as_ref(),
        Form::Seated => drill.seated.as_ref(),
        Form::Harder => drill.harder.as_ref(),
        Form::Full | Form::MouthFirst | Form::Rest => None,
    };
    let content = LiveStep::alone(step.clone()).content();
    // A form with a clock of its own: at home it is as long, and as often, as it would be in class.
    let own = content.forms.iter().find(|one| one.form == form);
    let reps =
        own.map_or(dose.reps, |own| own.reps).min(own_form.and_then(|form| form.reps).unwrap_or(u32::MAX));
    let sides = u32::try_from(drill.sides.len()).unwrap_or(1).max(1);
    let (times_a_day, days_a_week) = limits.take(drill.family, reps * dose.sets * sides, given.often)?;
    let timeline = own.map_or(&content.timeline, |own| &own.timeline);
    let own_pose = own_form.and_then(|form| form.phases.first()?.pose.clone());
    Some(HomeDrillSheet {
        drill: drill.id.clone(),
        form,
        hold_ms: own_hold_ms,
        what: own_form.map(|form| form.what.clone()),
        pose: own_pose.unwrap_or_else(|| drill.pose.clone()),
        how: how(timeline, reps, own_hold_ms),
        set_rest_ms: if dose.sets > 1 { dose.set_rest_ms } else { 0 },
        sides: drill.sides.iter().filter_map(|side| side.name.clone()).collect(),
        words: items.iter().flat_map(|item| std::iter::once(&item.say).chain(&item.then)).cloned().collect(),
        reps,
        sets: dose.sets,
        times_a_day,
        days_a_week,
        cautions: drill.cautions.clone(),
        needs: drill.needs.clone(),
        hurt: limits.hurt.get(&drill.id).copied(),
        content,
    })
}

/// What to do in the first repetition, with the rest that follows if there is another.
fn how(timeline: &Timeline, reps: u32, own_hold_ms: Option<i64>) -> Vec<HowLine> {
    let first = timeline.spans.iter().filter(|span| (span.rep, span.set, span.side) == (1, 1, 0));
    let mut left_ms = own_hold_ms.unwrap_or(i64::MAX);
    let mut lines: Vec<HowLine> = first
        .filter_map(|span| {
            let is_open = span.marks.is_some();
            let mut ms = if is_open { span.held_ms } else { span.len_ms };
            if span.phase.is_held() {
                ms = ms.min(left_ms);
                left_ms -= ms;
            }
            let up_to = is_open || (own_hold_ms.is_some() && span.phase.is_held());
            (ms > 0).then(|| HowLine { phase: span.phase, words: span.cue.clone(), ms, up_to })
        })
        .collect();
    if reps == 1 && lines.last().is_some_and(|line| line.phase == Phase::Rest) {
        lines.pop();
    }
    lines
}

impl HomeSheet {
    /// The same in another language, as far as that has the words.
    #[must_use]
    pub fn said_in(self, language: &Language) -> Self {
        Self { items: self.items.into_iter().map(|item| item.said_in(language)).collect(), ..self }
    }
}

impl HomeDrillSheet {
    /// The same in another language, as far as that has the words.
    #[must_use]
    pub fn said_in(self, language: &Language) -> Self {
        let line = |line: HowLine| HowLine { words: language.say(&line.words), ..line };
        Self {
            what: self.what.as_ref().map(|what| language.say(what)),
            how: self.how.into_iter().map(line).collect(),
            cautions: self.cautions.iter().map(|caution| language.say(caution)).collect(),
            sides: self.sides.iter().map(|side| language.say(side)).collect(),
            words: self.words.iter().map(|words| language.say(words)).collect(),
            needs: self.needs.iter().map(|needs| language.say(needs)).collect(),
            content: self.content.said_in(language),
            ..self
        }
    }
}
