//! The invented organisation of the demo: two groups with six weeks behind them, so that every page has something to show.
//! All people, places and numbers are invented.

mod kept;
mod notes;

use jiff::Timestamp;
use jiff::tz::TimeZone;
use samebreath_core::drill::Family;
use samebreath_core::library::Library;
use samebreath_core::live::{Event, Recorded, SeatId, Session};
use samebreath_core::people::care::{Condition, Of, PersonalForm, Way};
use samebreath_core::people::person::{Contacts, Decided, Decision, Person, PersonId};
use samebreath_core::plan::StepRequest;
use samebreath_core::plan::draft::{Draft, DraftStep, Planned};
use samebreath_core::plan::group::{Group, GroupId, Roll};
use samebreath_core::plan::history::History;
use samebreath_core::practice::HomeClass;
use samebreath_core::record::had;
use samebreath_core::rehearse::past::Past;
use samebreath_core::rehearse::{Habit, Rehearsed};
use samebreath_core::text::TextError;
use samebreath_core::time::day::Date;
use samebreath_core::versioned::Versioned;
use samebreath_core::week::series::{Occurrence, OtherDay};
use samebreath_core::week::zone::Zone;
use samebreath_store::own_links::Word;

use crate::app::App;
use crate::demo::kept::{add, keep, save};
use crate::host::house;

/// How many weeks lie behind the groups.
const WEEKS: i64 = 6;
/// In which of them, counted from the earliest, a class was cancelled.
const CANCELLED: i64 = 2;
const LED_BY: &str = "Ines";
/// How many drills and breaks of the plan are published for home.
const HOME_STEPS: usize = 8;

/// Somebody of a group.
struct Cast {
    name: &'static str,
    habit: Habit,
    conditions: &'static [Condition],
    cleared: &'static [Family],
    form: Option<(Family, Way)>,
    partner: Option<&'static str>,
}

const fn cast(name: &'static str, habit: Habit) -> Cast {
    Cast { name, habit, conditions: &[], cleared: &[], form: None, partner: None }
}

fn lantern_quay() -> Vec<Cast> {
    vec![
        Cast { conditions: &[Condition::Heart], partner: Some("Greta"), ..cast("Bertram", Habit::Steady) },
        cast("Ifeoma", Habit::Slow),
        Cast {
            conditions: &[Condition::Neck],
            form: Some((Family::Neck, Way::Seated)),
            ..cast("Casimir", Habit::Tired)
        },
        Cast { conditions: &[Condition::Neck], cleared: &[Family::Neck], ..cast("Maelys", Habit::Steady) },
        cast("Tobias", Habit::Steady),
        Cast { partner: Some("Lioba"), ..cast("Anselm", Habit::LosesNetwork) },
        cast("Yuki", Habit::Late),
        cast("Philippa", Habit::Pauses),
    ]
}

fn harbour_steps() -> Vec<Cast> {
    vec![
        cast("Renzo", Habit::Steady),
        Cast { conditions: &[Condition::Lung], ..cast("Sunniva", Habit::Slow) },
        cast("Odhran", Habit::Steady),
        cast("Adaeze", Habit::Quiet),
    ]
}

/// Whoever joined after the last class.
const NEW: &str = "Clelia";

/// Furnishes an empty house.
///
/// # Errors
/// When the store refuses.
pub async fn furnish(app: &App) -> anyhow::Result<()> {
    let store = &*app.store;
    let is_empty =
        store.documents::<Group>().await?.is_empty() && store.documents::<Person>().await?.is_empty();
    if !is_empty {
        return Ok(());
    }
    let now = app.clock.now();
    let zone = here();
    let clock = Timestamp::from_millisecond(now.0)?.to_zoned_datetime(zone.rules().clone());
    let today = Date::from(clock.date());
    // Today's class is still to come, unless it is nearly midnight.
    let start = format!("{:02}:30", (clock.hour() + 2).min(23));
    let quay = Furnished {
        name: "Lantern Quay Voice Circle",
        title: "Voice circle",
        template: "tuesday-at-ten",
        day: today,
        start,
        minutes: 60,
        people: lantern_quay(),
        seed: 11,
    };
    let steps = Furnished {
        name: "Harbour Steps Half Hour",
        title: "Half hour",
        template: "gentle-half-hour",
        day: today.plus_days(2),
        start: "14:00".to_owned(),
        minutes: 30,
        people: harbour_steps(),
        seed: 29,
    };
    let mut shared = None;
    for group in [quay, steps] {
        group.add(app, &zone, today, &mut shared).await?;
    }
    Ok(())
}

/// The zone of this machine, if it is known by name.
fn here() -> Zone {
    let name = TimeZone::try_system().ok().and_then(|zone| zone.iana_name().map(str::to_owned));
    let named = name.and_then(|name| Zone::try_from(name).ok());
    named.unwrap_or_else(Zone::utc)
}

/// A group to be made.
struct Furnished {
    name: &'static str,
    /// What its plans are called, besides the week.
    title: &'static str,
    template: &'static str,
    /// The day of its next class.
    day: Date,
    start: String,
    minutes: u32,
    people: Vec<Cast>,
    seed: u64,
}

impl Furnished {
    /// Makes the group with its people, its past and its plans. `shared` is somebody of the group before, who comes to
    /// this one too.
    async fn add(
        self,
        app: &App,
        zone: &Zone,
        today: Date,
        shared: &mut Option<(PersonId, Person)>,
    ) -> anyhow::Result<()> {
        let store = &*app.store;
        let now = app.clock.now();
        let first = self.day.plus_days(-7 * WEEKS);
        let mut people: Vec<(PersonId, Person, Habit)> = Vec::new();
        for (at, one) in self.people.iter().enumerate() {
            let person = one.person(first.plus_days(-7), at)?;
            let id = PersonId(add(store, person.clone(), now).await?);
            people.push((id, person, one.habit));
        }
        if let Some((id, person)) = shared.take() {
            people.push((id, person, Habit::Steady));
        } else {
            *shared = people.get(4).map(|(id, person, _)| (*id, person.clone()));
        }
        let cancelled = first.plus_days(7 * CANCELLED);
        let mut group = Group {
            name: self.name.try_into()?,
            weekday: Some(self.day.weekday()),
            start: Some(self.start.as_str().try_into()?),
            minutes: self.minutes,
            zone: Some(zone.clone()),
            first: Some(first),
            last: None,
            others: vec![OtherDay {
                of: cancelled,
                cancelled: Some("The hall has no power this morning; we meet again next week.".try_into()?),
                day: None,
                start: None,
                minutes: None,
                led_by: None,
                stand_in: None,
            }],
            weeks_apart: 4,
            notes: true,
            people: people.iter().map(|(id, ..)| *id).collect(),
            entrusted: Vec::new(),
        };
        let id = GroupId(add(store, group.clone(), now).await?);
        let past = self.hold_classes(app, (id, &group), &people, today).await?;
        // What is new since the last class.
        if self.day == today {
            let new = Person { contacts: contacts(NEW, 20, None)?, ..nobody(NEW)? };
            group.people.push(PersonId(add(store, new, now).await?));
            save(store, id.0, group.clone(), now).await?;
            let drafts = house::templates(&app.shelf.library())?;
            if let Some(draft) = template(&drafts, self.template) {
                let library = app.shelf.library();
                let draft = draft.one_notch_on(&library).freshened(&library, &past, group.weeks_apart);
                let draft = self.of_week(draft, 7)?.timed_for(&group, Some(today));
                add(store, Planned { draft, day: Some(today), group: Some(id) }, now).await?;
            }
            self.publish(app, id, today).await?;
            if let Some((person, ..)) = people.get(2) {
                store.send_word(&Word { person: *person, group: id, of: today }, false, now).await?;
            }
        }
        Ok(())
    }

    /// Ten minutes for everybody in the group, to do at home until the next class.
    async fn publish(&self, app: &App, group: GroupId, today: Date) -> anyhow::Result<()> {
        let drafts = house::templates(&app.shelf.library())?;
        let steps = template(&drafts, self.template).map(|draft| draft.steps).unwrap_or_default();
        let is_for_home =
            |step: &DraftStep| matches!(step.what, StepRequest::Drill { .. } | StepRequest::Sip { .. });
        let home = HomeClass {
            title: "Ten minutes at home".try_into()?,
            intro: Some(
                "Sit where you can hold on, with somebody in the house if you can.\n\
                 Stop whenever you like; nothing here is a test."
                    .to_owned()
                    .try_into()?,
            ),
            group,
            person: None,
            steps: steps.into_iter().filter(is_for_home).take(HOME_STEPS).collect(),
            days_a_week: 3,
            from: today.plus_days(-7),
            until: today.plus_days(7),
            by: LED_BY.try_into()?,
        };
        add(&*app.store, home, app.clock.now()).await?;
        Ok(())
    }

    /// The template as the plan of a week: with the question of how much effort it was before the goodbye.
    fn of_week(&self, mut draft: Draft, week: usize) -> Result<Draft, TextError> {
        let asks = |step: &DraftStep| matches!(step.what, StepRequest::Effort);
        if !draft.steps.iter().any(asks) {
            let ask = DraftStep {
                part: None,
                title: Some("How hard was it?".try_into()?),
                note: None,
                what: StepRequest::Effort,
            };
            draft.steps.insert(draft.steps.len().saturating_sub(1), ask);
        }
        Ok(Draft { title: format!("{}, week {week}", self.title).as_str().try_into()?, ..draft })
    }

    /// Holds the classes of the weeks that are past, each from a plan of its own.
    async fn hold_classes(
        &self,
        app: &App,
        (id, group): (GroupId, &Group),
        people: &[(PersonId, Person, Habit)],
        today: Date,
    ) -> anyhow::Result<History> {
        let store = &*app.store;
        let library = app.shelf.library();
        let drafts = house::templates(&library)?;
        let series = group.series();
        let held =
            series.map(|series| series.between(self.day.plus_days(-7 * WEEKS), self.day.plus_days(-1)));
        let mut had = Vec::new();
        for (week, class) in (0_usize..).zip(held.unwrap_or_default()) {
            if class.cancelled.is_some() || class.ends > app.clock.now() {
                continue;
            }
            let history = History::before(class.day, had.clone());
            let Some(draft) = template(&drafts, self.template) else { continue };
            let draft = draft.freshened(&library, &history, group.weeks_apart);
            let draft = self.of_week(draft, week + 1)?.timed_for(group, Some(class.day));
            let planned = Planned { draft: draft.clone(), day: Some(class.day), group: Some(id) };
            add(store, planned, class.starts.plus(-3 * 86_400_000)).await?;
            let plan = draft.plan(&library).map_err(|error| anyhow::anyhow!(error.text))?;
            let title = plan.title.to_string();
            let is_last = class.day.plus_days(7) >= today;
            let begins = Session::begin(plan, app.house.rules.clone(), Some(class.starts), true);
            let ledger = self.play(begins, &library, (week, &class), group, people, is_last)?;
            had.push((class.day, had::had(&ledger)));
            let session = keep(store, (id, &class), title, &ledger).await?;
            // Those of the last class are still to be written.
            if !is_last {
                let zone = group.zone.as_ref().map_or(TimeZone::UTC, |zone| zone.rules().clone());
                notes::sign(store, (session, &ledger), &zone, week).await?;
            }
        }
        Ok(History::before(self.day, had))
    }

    fn play(
        &self,
        begins: Event,
        library: &Library,
        (week, class): (usize, &Occurrence),
        group: &Group,
        people: &[(PersonId, Person, Habit)],
        is_last: bool,
    ) -> anyhow::Result<Vec<Recorded>> {
        // Somebody else is away each week; every other time they sent word.
        let away = (week * 3 + 1) % people.len();
        let word: Vec<PersonId> = if week.is_multiple_of(2) {
            people.get(away).map(|(id, ..)| *id).into_iter().collect()
        } else {
            Vec::new()
        };
        let kept: Vec<Versioned<Person>> = people
            .iter()
            .map(|(id, person, _)| Versioned {
                id: id.0,
                version: 1,
                updated_at: class.starts,
                content: person.clone(),
            })
            .collect();
        let roll = Roll::of(group.clone(), &kept);
        let coming =
            people.iter().enumerate().filter(|(at, _)| *at != away).map(|(at, (_, person, habit))| {
                // Something hurts only in the last class, so that it is still to be followed up.
                let habit = if is_last && at == 3 { Habit::SoreNeck } else { *habit };
                let seat = u32::try_from(at + 1).ok().map(SeatId);
                (Rehearsed { name: person.name.clone(), habit }, seat)
            });
        let follow_up = (
            "Call Maelys: is her neck better? Leave the turns out until then.".try_into()?,
            class.day.plus_days(7),
        );
        Ok(Past {
            begins: std::iter::once(begins).chain(Session::expected(&roll, &word)).collect(),
            people: coming.collect(),
            library,
            seed: self.seed + week as u64,
            made: class.starts.plus(-2 * 86_400_000),
            starts: class.starts,
            led_by: LED_BY.try_into()?,
            follow_up: is_last.then_some(follow_up),
        }
        .ledger())
    }
}

impl Cast {
    fn person(&self, on: Date, at: usize) -> Result<Person, TextError> {
        let decision = |what| Ok(Decision { what, by: LED_BY.try_into()?, on });
        let cleared = self.cleared.iter().map(|family| decision(Decided::Cleared { family: *family }));
        let form = |(family, way)| PersonalForm { of: Of::Family(family), way, note: None };
        Ok(Person {
            conditions: self.conditions.to_vec(),
            decisions: cleared.collect::<Result<_, TextError>>()?,
            forms: self.form.map(form).into_iter().collect(),
            contacts: contacts(self.name, at, self.partner)?,
            ..nobody(self.name)?
        })
    }
}

fn nobody(name: &str) -> Result<Person, TextError> {
    Ok(Person {
        name: name.try_into()?,
        conditions: Vec::new(),
        decisions: Vec::new(),
        forms: Vec::new(),
        contacts: Contacts::default(),
        language: None,
    })
}

/// Numbers of a range that is kept for stories (common practice, no source), and addresses of a domain that is kept for
/// examples (RFC 2606, section 3).
fn contacts(name: &str, at: usize, partner: Option<&str>) -> Result<Contacts, TextError> {
    Ok(Contacts {
        phone: Some(format!("555 01{:02}", 10 + 2 * at).as_str().try_into()?),
        mail: Some(format!("{}@example.org", name.to_lowercase()).as_str().try_into()?),
        place: Some(format!("{} Harbour Steps", 3 + 2 * at).as_str().try_into()?),
        partner: partner.map(TryInto::try_into).transpose()?,
        partner_phone: partner
            .map(|_| format!("555 01{:02}", 11 + 2 * at).as_str().try_into())
            .transpose()?,
    })
}

fn template(drafts: &[(String, Draft)], id: &str) -> Option<Draft> {
    drafts.iter().find(|(known, _)| known == id).map(|(_, draft)| draft.clone())
}
