//! What the record of a class says about one person, and about the class without names.

use crate::live::{Answer, CheckIn, FollowUp, Form, Session, StepId, Whose};
use crate::plan::ForHome;
use crate::plan::Title;
use crate::record::class::{
    Asked, Attended, ClassRecord, EffortSaid, PersonRecord, ReportRecord, StepRecord, Stopped,
};
use crate::record::note::others::Others;
use crate::record::note::{Fact, NotePart, words};
use crate::time::EpochMs;

/// What stands where somebody wrote of another person of the class.
const OF_OTHERS: &str = "[their words speak of somebody else; they are in the record of the class]";
/// What stands where a drill is named after another person of the class.
const A_STEP: &str = "a drill";

/// What the record says about one person, in the order of a note. It names nobody else of the class, whatever was typed;
/// staff are named.
#[must_use]
pub fn facts_about(session: &Session, record: &ClassRecord, person: &PersonRecord) -> Vec<Fact> {
    let about = About { record, person, others: Others::than(session, Some(person.seat)) };
    let said = [
        person.check_in.as_ref().map(|said| about.check_in(said)),
        person.check_in.as_ref().and_then(|said| about.place(said)),
    ];
    let reports: Vec<&ReportRecord> = record
        .reports
        .iter()
        .filter(|report| report.seat == person.seat && report.said.whose == Whose::Own)
        .collect();
    let subjective = said
        .into_iter()
        .flatten()
        .chain(reports.iter().map(|report| about.report(report)))
        .chain(about.efforts())
        .map(|text| Fact { part: NotePart::Subjective, text });
    let steps = person.steps.iter().map(|asked| about.step(asked));
    let stops = person.stops.iter().filter(|stop| stop.whose == Whose::Own).map(|stop| about.stop(stop));
    let objective = [about.attended(), at_the_desks(record)]
        .into_iter()
        .chain(steps)
        .chain(stops)
        .chain(reports.iter().filter_map(|report| about.handled(report)))
        .map(|text| Fact { part: NotePart::Objective, text });
    let follow_ups = session.follow_ups().iter().filter(|one| one.seat == person.seat);
    let plan = follow_ups
        .map(|one| about.follow_up(one))
        .chain((!session.home().is_empty()).then(|| about.home(session.home())))
        .map(|text| Fact { part: NotePart::Plan, text });
    subjective.chain(objective).chain(plan).collect()
}

/// What the record says about the class as a whole. It names nobody but staff.
#[must_use]
pub fn facts_of_class(session: &Session, record: &ClassRecord) -> Vec<Fact> {
    let others = Others::than(session, None);
    let enrolled = || record.people.iter().filter(|one| one.person.is_some());
    let came = |one: &&PersonRecord| one.attended != Attended::No;
    let guests = record.people.iter().filter(|one| one.person.is_none()).filter(came).count();
    let stops: usize = record.people.iter().map(|person| person.stops.len()).sum();
    let urgent = record.reports.iter().filter(|report| report.said.urgent.is_some()).count();
    let begin = [
        Some(format!("The class took {}.", minutes(record.minutes))),
        Some(format!("{} of {} who are enrolled came.", enrolled().filter(came).count(), enrolled().count())),
        (guests > 0).then(|| format!("Guests: {guests}.")),
        Some(at_the_desks(record)),
    ];
    let drills = record.steps.iter().filter(|step| step.drill.is_some());
    let steps = drills.map(|step| {
        let title = shown(Some(step.title.as_str()), &others);
        match dose_words(step) {
            None => format!("{title}: left out."),
            Some(dose) if step.asked == 0 => format!("{title}: {dose}; a rest for everybody."),
            Some(dose) => format!("{title}: {dose}; {} of {} said that they did it.", step.did, step.asked),
        }
    });
    let end = format!("Stops: {stops}. Reports: {}, urgent among them: {urgent}.", record.reports.len());
    let all = begin.into_iter().flatten().chain(steps).chain([end]);
    all.map(|text| Fact { part: NotePart::Objective, text }).collect()
}

/// The title of a step, unless it names somebody.
fn shown(title: Option<&str>, others: &Others) -> String {
    title.filter(|title| !others.are_in_title(title)).unwrap_or(A_STEP).to_owned()
}

/// The title of a class as it stands in a note about one person, or about the class: one that names somebody else does not.
#[must_use]
pub fn title_for(session: &Session, person: Option<&PersonRecord>) -> Title {
    let others = Others::than(session, person.map(|person| person.seat));
    let title = session.title();
    let plain = if others.are_in_title(title.as_str()) { Title::try_from("Class").ok() } else { None };
    plain.unwrap_or_else(|| title.clone())
}

struct About<'a> {
    record: &'a ClassRecord,
    person: &'a PersonRecord,
    others: Others,
}

impl About<'_> {
    /// What somebody typed, unless it names another person of the class.
    fn typed(&self, text: &str) -> String {
        if self.others.are_in(text) { OF_OTHERS.to_owned() } else { format!("“{text}”") }
    }

    /// Who looks after something, as it was typed.
    fn staff<'b>(&self, owner: &'b str) -> &'b str {
        if self.others.are_in(owner) { OF_OTHERS } else { owner }
    }

    fn titled(&self, step: Option<&StepRecord>) -> String {
        shown(step.map(|step| step.title.as_str()), &self.others)
    }

    fn step_record(&self, step: StepId) -> Option<&StepRecord> {
        self.record.steps.iter().find(|one| one.step == step)
    }

    /// When and where in the class something was.
    fn when(&self, at: EpochMs, step: Option<StepId>) -> String {
        let minute = match self.record.started_at {
            Some(from) if at.since(from) >= 0 => format!("in minute {}", at.since(from) / 60_000 + 1),
            Some(_) | None => "before the class began".to_owned(),
        };
        match step {
            Some(step) => format!("{minute}, in {}", self.titled(self.step_record(step))),
            None => minute,
        }
    }

    fn check_in(&self, said: &CheckIn) -> String {
        let yes_no = |answer: Option<bool>, yes: &str, no: &str| {
            answer.map(|is| if is { yes.to_owned() } else { no.to_owned() })
        };
        let parts = [
            said.feeling.map(|feeling| words::feeling(feeling).to_owned()),
            yes_no(said.seated, "sat upright in a stable chair", "did not sit upright in a stable chair"),
            yes_no(said.mouth_empty, "mouth empty", "mouth not empty"),
            yes_no(said.water, "water at hand", "no water at hand"),
            said.must_not_drink.then(|| "must not drink".to_owned()),
            said.company.map(|company| words::company(company).to_owned()),
            yes_no(said.news, "something is new since the last class", "nothing new since the last class"),
            said.easier.then(|| "wanted the easier forms".to_owned()),
        ];
        let parts: Vec<String> = parts.into_iter().flatten().collect();
        if parts.is_empty() {
            return "Checked in and answered no question.".to_owned();
        }
        format!("At check-in: {}.", parts.join("; "))
    }

    fn place(&self, said: &CheckIn) -> Option<String> {
        Some(format!("Where they were: {}.", self.typed(said.place.as_ref()?.as_str())))
    }

    fn report(&self, report: &ReportRecord) -> String {
        let what = words::said(&report.said);
        let typed = report.said.words.as_ref().map(|words| format!(" {}", self.typed(words.as_str())));
        let back = if report.taken_back { " They took it back." } else { "" };
        let when = self.when(report.at, report.step);
        format!("Reported {when}: {what}.{}{back}", typed.unwrap_or_default())
    }

    fn efforts(&self) -> Option<String> {
        let of = |one: &EffortSaid| match one.step {
            Some(step) => {
                format!("{} of 10 after {}", one.score, self.titled(self.step_record(step)))
            }
            None => format!("{} of 10", one.score),
        };
        let said: Vec<String> = self.person.efforts.iter().map(of).collect();
        (!said.is_empty()).then(|| format!("Effort, by their own word: {}.", said.join("; ")))
    }

    fn attended(&self) -> String {
        let PersonRecord { attended, minutes: there, corrected, .. } = self.person;
        let all = minutes(self.record.minutes);
        let mut text = match attended {
            Attended::No if self.person.cannot_come => "Did not come, and had said so.".to_owned(),
            Attended::No => "Did not come.".to_owned(),
            Attended::Screen => format!("In class for {there} of {all}, by screen."),
            Attended::Phone => format!("In class for {there} of {all}, by telephone."),
            Attended::ByHand => format!("In class for {there} of {all}, written down by hand."),
        };
        if let Some(set) = corrected {
            let recorded = minutes(self.person.recorded_minutes);
            let reason = self.typed(set.reason.as_str());
            text.push_str(&format!(" Put right by hand; the record said {recorded}: {reason}."));
        }
        // What was put right holds; the times that were recorded may not.
        if corrected.is_none() && *attended != Attended::No {
            text.push_str(&self.times());
        }
        if self.person.partner.is_some() && *attended != Attended::No {
            text.push_str(" Somebody took part beside them.");
        }
        text
    }

    /// When they came and went, in whole minutes.
    fn times(&self) -> String {
        let whole = |from: Option<EpochMs>, to: Option<EpochMs>| {
            let ms = from.zip(to).map_or(0, |(from, to)| to.since(from));
            u32::try_from((ms + 30_000) / 60_000).unwrap_or(0)
        };
        let came = whole(self.record.started_at, self.person.came_at);
        let left = whole(self.person.left_at, self.record.ended_at);
        let without = self.person.away_minutes + self.person.gone_minutes;
        let parts = [
            (came > 0).then(|| format!(" Came {} after the start.", minutes(came))),
            (left > 0).then(|| format!(" Left {} before the end.", minutes(left))),
            (without > 0).then(|| format!(" Their screen was away for {}.", minutes(without))),
        ];
        parts.into_iter().flatten().collect()
    }

    fn step(&self, asked: &Asked) -> String {
        let step = self.step_record(asked.step);
        let title = self.titled(step);
        if asked.form == Form::Rest {
            return format!("{title}: a rest for them.");
        }
        let form = match asked.form {
            Form::Seated => Some("seated".to_owned()),
            Form::Easier => Some("easier form".to_owned()),
            Form::Harder => Some("harder form".to_owned()),
            Form::Full | Form::MouthFirst | Form::Rest => None,
        };
        let hold = asked.hold_ms.map(|ms| format!("holds of at most {} s", (ms + 500) / 1000));
        let answer = match asked.answer {
            Some(Answer::Done) => "said done",
            Some(Answer::Stopped) => "stopped",
            None => "no answer",
        };
        let far = asked.far.map(|far| format!("{} by their own word", words::far(far)));
        let class = step.and_then(dose_words);
        let parts: Vec<String> =
            class.into_iter().chain(form).chain(hold).chain([answer.to_owned()]).chain(far).collect();
        format!("{title}: {}.", parts.join("; "))
    }

    fn stop(&self, stop: &Stopped) -> String {
        format!("Stopped {}: {}.", self.when(stop.at, stop.step), words::stop_reason(stop.reason))
    }

    /// What desks did about a report.
    fn handled(&self, report: &ReportRecord) -> Option<String> {
        let first = report.handled.first()?;
        let seconds = first.at.since(report.at) / 1000;
        let after = if seconds < 120 {
            format!("{seconds} s")
        } else {
            minutes(u32::try_from((seconds + 30) / 60).unwrap_or(u32::MAX))
        };
        let name = first.name.as_ref().map_or("a desk", |name| name.as_str());
        let did = words::first(first.to);
        let (when, state) = (self.when(report.at, None), words::state(report.state));
        Some(format!("The report {when} was first {did} by {name}, after {after}; in the end: {state}."))
    }

    fn follow_up(&self, one: &FollowUp) -> String {
        let what = self.typed(one.what.as_str());
        match (&one.outcome, one.closed_at) {
            (Some(outcome), _) => {
                format!("Follow-up {what}, done: {}", self.typed(outcome.as_str()))
            }
            (None, Some(_)) => format!("Follow-up {what}, done."),
            (None, None) => format!("Follow-up {what}: {}, by {}.", self.staff(one.owner.as_str()), one.due),
        }
    }

    fn home(&self, home: &[ForHome]) -> String {
        let each = home.iter().map(|one| {
            let title = shown(Some(one.title.as_str()), &self.others);
            format!("{title}, {} × a day on {} days a week", one.times_a_day, one.days_a_week)
        });
        let each: Vec<String> = each.collect();
        format!("The class was given to take home: {}.", each.join("; "))
    }
}

/// Who was at the desks.
fn at_the_desks(record: &ClassRecord) -> String {
    let names: Vec<&str> = record.led_by.iter().map(|name| name.as_str()).collect();
    if names.is_empty() {
        return "Nobody said their name at a desk.".to_owned();
    }
    format!("At the desks: {}.", names.join(", "))
}

/// What the class did of a step, and what was planned where that differs; `None` when it was left out.
fn dose_words(step: &StepRecord) -> Option<String> {
    let planned = words::dose(step.planned.reps, step.planned.holds, step.planned.held_ms);
    let done = words::done(step.done);
    if step.took_ms <= 0 {
        None
    } else if planned == done {
        Some(format!("the class did {done}, as planned"))
    } else {
        Some(format!("the class did {done} (planned: {planned})"))
    }
}

fn minutes(n: u32) -> String {
    if n == 1 { "1 minute".to_owned() } else { format!("{n} minutes") }
}
