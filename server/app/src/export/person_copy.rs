//! A person's own copy of what is kept of them: for reading, and for another program.

use std::io::{Cursor, Write as _};

use samebreath_core::live::{Ease, HomeLog};
use samebreath_core::plan::Title;
use samebreath_core::practice::Intro;
use samebreath_core::record::class::Attended;
use samebreath_core::record::note::{Fact, NoteContent, SignedNote};
use samebreath_core::text::Name;
use samebreath_core::time::day::Date;
use serde::Serialize;
use uuid::Uuid;
use zip::ZipWriter;
use zip::write::SimpleFileOptions;

use crate::export::words::{kind_of, signed_by};

/// The form of the file for another program; `schemas/person-1.json` says what is in it.
pub(crate) const FORMAT: &str = "samebreath.person/1";
/// The schema, which goes along.
const SCHEMA: &str = include_str!("../../schemas/person-1.json");

/// All that is kept of one person.
#[derive(Debug, Serialize)]
pub(crate) struct PersonCopy {
    /// [`FORMAT`].
    pub format: &'static str,
    /// When it was made.
    pub made_at: String,
    /// Who they are.
    pub person: Whom,
    /// The names of their groups.
    pub groups: Vec<String>,
    /// Their classes, the earliest first.
    pub classes: Vec<ClassCopy>,
    /// The classes for home that were made for them alone.
    pub home_classes: Vec<HomeClassCopy>,
    /// The notes about them as they were signed.
    pub notes: Vec<NoteCopy>,
    /// Their lasting links, without what opens them.
    pub links: Vec<LinkCopy>,
    /// Who read or changed what is kept of them.
    pub looked_at: Vec<Look>,
}

/// Who somebody is.
#[derive(Debug, Serialize)]
pub(crate) struct Whom {
    pub id: Uuid,
    pub name: String,
    pub language: Option<String>,
    pub phone: Option<String>,
    pub mail: Option<String>,
    pub place: Option<String>,
    pub partner: Option<String>,
    pub partner_phone: Option<String>,
    pub precautions: Vec<String>,
    pub decisions: Vec<DecisionCopy>,
    pub forms: Vec<String>,
}

/// What a clinician decided.
#[derive(Debug, Serialize)]
pub(crate) struct DecisionCopy {
    pub what: String,
    pub by: String,
    pub on: Date,
}

/// A class of theirs.
#[derive(Debug, Serialize)]
pub(crate) struct ClassCopy {
    pub id: Uuid,
    pub day: Date,
    pub title: Title,
    pub minutes: u32,
    pub attended: Attended,
    pub there_minutes: u32,
    pub facts: Vec<Fact>,
    pub at_home: Vec<HomeLog>,
}

/// A class for home.
#[derive(Debug, Serialize)]
pub(crate) struct HomeClassCopy {
    pub title: Title,
    pub intro: Option<Intro>,
    pub by: Name,
    pub from: Date,
    pub until: Date,
}

/// A note, or what was added to one.
#[derive(Debug, Serialize)]
pub(crate) struct NoteCopy {
    pub id: Uuid,
    pub sha256: String,
    pub signed: SignedNote,
}

/// A lasting link.
#[derive(Debug, Serialize)]
pub(crate) struct LinkCopy {
    pub kept_on: String,
    pub made_at: String,
    pub used_at: Option<String>,
}

/// A look at what is kept of them, or a change of it.
#[derive(Debug, Serialize)]
pub(crate) struct Look {
    pub at: String,
    pub by: Option<String>,
    pub act: String,
}

/// The file: a page to read and to print, the same for another program, and its schema.
pub(crate) fn zipped(copy: &PersonCopy) -> anyhow::Result<Vec<u8>> {
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    let json = serde_json::to_string_pretty(copy)?;
    for (name, text) in
        [("read-me.html", &page(copy)), ("copy.json", &json), ("copy.schema.json", &SCHEMA.to_owned())]
    {
        zip.start_file(name, SimpleFileOptions::default())?;
        zip.write_all(text.as_bytes())?;
    }
    Ok(zip.finish()?.into_inner())
}

const HEAD: &str = "<!doctype html>\n<html lang=\"en\">\n<meta charset=\"utf-8\">\n\
    <meta name=\"viewport\" content=\"width=device-width\">\n<title>What is kept of you</title>\n\
    <style>body{font:20px/1.5 sans-serif;max-width:42rem;margin:1rem auto;padding:0 1rem;color:#111;background:#fff}\
    h1{font-size:1.8em}h2{margin-top:2em;border-top:2px solid}h3{margin-bottom:.2em}li{margin:.3em 0}\
    .words{white-space:pre-line}@media print{h2,h3{break-after:avoid}li{break-inside:avoid}}</style>\n";

/// What is kept and not in the copy.
const NOT_IN_IT: &str = "<p>Not in this copy are: messages between the desk and you during a class, answers to word games, \
    mail that was sent to you, word that you cannot come, drafts of notes that nobody has signed, and backups. Ask for them if \
    you want them.</p>\n";

/// The page, in large print. It needs nothing from anywhere.
fn page(copy: &PersonCopy) -> String {
    let person = &copy.person;
    let mut page = HEAD.to_owned();
    let known = [
        ("Telephone", &person.phone),
        ("Mail", &person.mail),
        ("Where you take part", &person.place),
        ("Whom to call for you", &person.partner),
        ("Their telephone", &person.partner_phone),
        ("Language", &person.language),
    ];
    page += &format!(
        "<h1>What is kept of you, {}</h1>\n<p>Made on {}.</p>\n",
        safe(&person.name),
        day(&copy.made_at)
    );
    page += NOT_IN_IT;
    page += "<h2>Who you are</h2>\n";
    page += &list(known.iter().filter_map(|(name, text)| Some(format!("{name}: {}", safe(text.as_ref()?)))));
    page += &list([
        format!("Groups: {}", safe(&or_none(&copy.groups))),
        format!("Precautions: {}", safe(&or_none(&person.precautions))),
    ]);
    page += &list(
        person
            .decisions
            .iter()
            .map(|one| safe(&format!("Decided by {} on {}: {}", one.by, one.on, one.what))),
    );
    page += &list(person.forms.iter().map(|form| safe(form)));
    page += "<h2>Your classes</h2>\n";
    for class in &copy.classes {
        page += &format!("<h3>{}, {}</h3>\n", class.day, safe(class.title.as_str()));
        page += &list(class.facts.iter().map(|fact| safe(&fact.text)));
        page += &list(class.at_home.iter().map(|log| safe(&home_words(log))));
    }
    page += "<h2>Classes for home that were made for you</h2>\n";
    page += &list(copy.home_classes.iter().map(|one| {
        let intro = one.intro.as_ref().map(|intro| format!(": {}", intro.as_str())).unwrap_or_default();
        safe(&format!("{}, from {} to {}, by {}{intro}", one.title, one.from, one.until, one.by))
    }));
    page += "<h2>Notes about you</h2>\n";
    copy.notes.iter().for_each(|note| page += &written(&note.signed));
    page += "<h2>Your links</h2>\n";
    page += &list(copy.links.iter().map(|link| {
        let used = link
            .used_at
            .as_ref()
            .map_or_else(|| "never used".to_owned(), |at| format!("last used on {}", day(at)));
        format!("{}: made on {}, {used}", safe(&link.kept_on), day(&link.made_at))
    }));
    page += "<h2>Who looked at this</h2>\n";
    page += &list(copy.looked_at.iter().map(|look| {
        let by = look.by.as_deref().unwrap_or("somebody who was not signed in");
        safe(&format!("{} at {} (UTC), {by} {}", day(&look.at), time(&look.at), look.act))
    }));
    page + "</html>\n"
}

/// What they said they did at home, as a sentence.
fn home_words(log: &HomeLog) -> String {
    let HomeLog { day, drill, asked, .. } = log;
    let done = log.done.map_or_else(|| "some".to_owned(), |done| done.to_string());
    let ease = match log.ease {
        Some(Ease::Easy) => " It was easy.",
        Some(Ease::Right) => " It was just right.",
        Some(Ease::Hard) => " It was hard.",
        None => "",
    };
    let hurt = if log.hurt { " It hurt." } else { "" };
    let of = log.run.as_ref().map(|run| format!(" in “{}”", run.title)).unwrap_or_default();
    format!("At home on {day}{of}: {drill}, {done} of {} repetitions.{ease}{hurt}", asked.reps)
}

/// A note as it was signed.
fn written(note: &SignedNote) -> String {
    let mut body = match &note.content {
        NoteContent::Note { facts, words, .. } => {
            let texts = words.parts().into_iter().filter_map(|(.., text)| Some(paragraph(text?.as_str())));
            list(facts.iter().map(|fact| safe(&fact.text))) + &texts.collect::<String>()
        }
        NoteContent::Addition { text, .. } | NoteContent::Correction { text, .. } => paragraph(text.as_str()),
    };
    body += &paragraph(&signed_by(note));
    let kind = kind_of(note);
    format!("<h3>{kind}, class of {}</h3>\n{body}", note.about.day)
}

fn paragraph(text: &str) -> String {
    format!("<p class=\"words\">{}</p>\n", safe(text))
}

fn list(lines: impl IntoIterator<Item = String>) -> String {
    let lines: String = lines.into_iter().map(|line| format!("<li>{line}</li>\n")).collect();
    if lines.is_empty() { String::new() } else { format!("<ul>\n{lines}</ul>\n") }
}

fn or_none(words: &[String]) -> String {
    if words.is_empty() { "none".to_owned() } else { words.join(", ") }
}

/// The time of day of an instant.
fn time(at: &str) -> String {
    at.chars().skip(11).take(5).collect()
}

/// The day of an instant.
fn day(at: &str) -> String {
    at.chars().take(10).collect()
}

/// Text in which HTML finds nothing of its own.
fn safe(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "tests")]
mod tests {
    use samebreath_core::time::EpochMs;

    use samebreath_core::live::{AskedAtHome, Form, HomeRun, NotedBy};

    use super::*;
    use crate::export::words::instant;

    /// W-29: what is handed out is as its schema says, and a field that the schema does not know is refused. What somebody
    /// typed is no markup.
    #[test]
    fn a_copy_keeps_to_its_schema_and_shows_words_as_words() {
        let text = |text: &str| Some(text.to_owned());
        let copy = PersonCopy {
            format: FORMAT,
            made_at: instant(EpochMs(1_800_000_000_000)),
            person: Whom {
                id: Uuid::nil(),
                name: "Ada".to_owned(),
                language: text("es"),
                phone: None,
                mail: None,
                place: text("<script>alert(1)</script> & more"),
                partner: None,
                partner_phone: None,
                precautions: vec!["neck".to_owned()],
                decisions: vec![DecisionCopy {
                    what: "cleared for neck".to_owned(),
                    by: "Ines".to_owned(),
                    on: "2026-10-20".to_owned().try_into().unwrap(),
                }],
                forms: Vec::new(),
            },
            groups: vec!["Lantern Quay".to_owned()],
            classes: vec![ClassCopy {
                id: Uuid::nil(),
                day: "2026-10-06".to_owned().try_into().unwrap(),
                title: "Voice".try_into().unwrap(),
                minutes: 45,
                attended: Attended::Screen,
                there_minutes: 45,
                facts: Vec::new(),
                at_home: vec![HomeLog {
                    id: Uuid::nil(),
                    drill: "strong-ah".try_into().unwrap(),
                    form: Form::Easier,
                    asked: AskedAtHome { reps: 5, times_a_day: 1, days_a_week: 5 },
                    done: Some(6),
                    ease: Some(Ease::Hard),
                    hurt: true,
                    noted: NotedBy::Screen,
                    day: "2026-10-07".to_owned().try_into().unwrap(),
                    offset_minutes: -60,
                    run: Some(HomeRun {
                        class: Uuid::nil(),
                        title: "Evening hour".try_into().unwrap(),
                        run: Uuid::nil(),
                        drills: 2,
                    }),
                }],
            }],
            home_classes: vec![HomeClassCopy {
                title: "Evening hour".try_into().unwrap(),
                intro: Some("Slowly.".to_owned().try_into().unwrap()),
                by: "Ines".try_into().unwrap(),
                from: "2026-10-06".to_owned().try_into().unwrap(),
                until: "2026-10-13".to_owned().try_into().unwrap(),
            }],
            notes: Vec::new(),
            links: vec![LinkCopy {
                kept_on: "tablet".to_owned(),
                made_at: instant(EpochMs(1_800_000_000_000)),
                used_at: None,
            }],
            looked_at: vec![Look { at: instant(EpochMs(0)), by: None, act: "read: people".to_owned() }],
        };
        let schema: serde_json::Value = serde_json::from_str(SCHEMA).unwrap();
        let schema = jsonschema::validator_for(&schema).unwrap();
        let mut value = serde_json::to_value(&copy).unwrap();
        assert!(schema.is_valid(&value), "{:?}", schema.iter_errors(&value).next());
        value["person"]["unknown"] = 1.into();
        assert!(!schema.is_valid(&value));
        let page = page(&copy);
        assert!(
            page.contains("&lt;script&gt;alert(1)&lt;/script&gt; &amp; more") && !page.contains("<script")
        );
        let done =
            "At home on 2026-10-07 in “Evening hour”: strong-ah, 6 of 5 repetitions. It was hard. It hurt.";
        assert!(page.contains(done));
        assert!(page.contains("Evening hour, from 2026-10-06 to 2026-10-13, by Ines: Slowly."));
        assert!(zipped(&copy).unwrap().starts_with(b"PK"));
    }
}
