//! What is sent to people by mail: what for, and its words.

use serde::{Deserialize, Serialize};

use crate::people::link::LinkId;
use crate::plan::group::GroupId;
use crate::text::{LanguageTag, Name, Sentence};
use crate::time::day::Date;

/// What a letter is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "purpose", rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Purpose {
    /// Their lasting link.
    Link {
        /// The link.
        link: LinkId,
    },
    /// A class is cancelled.
    Cancelled {
        /// The group.
        group: GroupId,
        /// The regular day of the class.
        of: Date,
    },
}

/// A letter as somebody reads it. The subject names neither the person nor the group: it is read over shoulders, and by
/// every server on its way.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Words {
    /// The subject.
    pub subject: String,
    /// The text.
    pub text: String,
}

/// Whether somebody reads Spanish rather than English.
fn is_spanish(language: Option<&LanguageTag>) -> bool {
    language.is_some_and(|tag| tag.as_str().split('-').next() == Some("es"))
}

/// The letter with a lasting link.
#[must_use]
pub fn link(name: &Name, language: Option<&LanguageTag>, address: &str) -> Words {
    let (subject, text) = if is_spanish(language) {
        (
            "Su enlace a la clase",
            format!(
                "Hola, {name}:\n\nEste enlace abre su lugar en la clase:\n\n{address}\n\nSirve siempre; no hay nada que \
                 recordar. Guarde este mensaje y no pase el enlace a nadie más. Si alguien más lo tiene, avísenos y lo \
                 anulamos.\n"
            ),
        )
    } else {
        (
            "Your link to the class",
            format!(
                "Hello {name},\n\nThis link opens your place in the class:\n\n{address}\n\nIt works every time; there is \
                 nothing to remember. Keep this message, and pass the link to nobody else. If somebody else has it, tell \
                 us, and we end it.\n"
            ),
        )
    };
    Words { subject: subject.to_owned(), text }
}

/// The letter that says that a class is cancelled. It names the time, not the group, whose name may say what people have.
#[must_use]
pub fn cancelled(
    name: &Name,
    language: Option<&LanguageTag>,
    (day, time): (Date, &str),
    why: &Sentence,
) -> Words {
    let (subject, text) = if is_spanish(language) {
        let day = day_in(day, &DIAS, &MESES, " de ");
        (
            "Su clase se cancela",
            format!(
                "Hola, {name}:\n\nLa clase del {day} a las {time} se cancela.\n\n{why}\n\nNo tiene que hacer nada.\n"
            ),
        )
    } else {
        let day = day_in(day, &DAYS, &MONTHS, " ");
        (
            "Your class is cancelled",
            format!(
                "Hello {name},\n\nThe class of {day} at {time} is cancelled.\n\n{why}\n\nThere is nothing that you need to do.\n"
            ),
        )
    };
    Words { subject: subject.to_owned(), text }
}

fn day_in(day: Date, days: &[&str; 7], months: &[&str; 12], between: &str) -> String {
    let weekday = days[usize::from(day.weekday() - 1)];
    let (date, month) = day.date_and_month();
    format!("{weekday} {date}{between}{}", months[usize::from(month - 1)])
}

const DAYS: [&str; 7] = ["Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"];
const MONTHS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];
const DIAS: [&str; 7] = ["lunes", "martes", "miércoles", "jueves", "viernes", "sábado", "domingo"];
const MESES: [&str; 12] = [
    "enero",
    "febrero",
    "marzo",
    "abril",
    "mayo",
    "junio",
    "julio",
    "agosto",
    "septiembre",
    "octubre",
    "noviembre",
    "diciembre",
];

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test module")]
mod tests {
    use super::*;

    #[test]
    fn a_letter_is_in_the_language_of_whoever_reads_it() {
        let (ada, es) = ("Ada".try_into().unwrap(), "es-MX".try_into().unwrap());
        let day = Date::try_from("2026-11-03".to_owned()).unwrap();
        let why = "No power this morning.".try_into().unwrap();
        let english = cancelled(&ada, None, (day, "10:00"), &why);
        assert!(
            english.text.contains("The class of Tuesday 3 November at 10:00 is cancelled."),
            "{}",
            english.text
        );
        let spanish = cancelled(&ada, Some(&es), (day, "10:00"), &why);
        assert!(
            spanish.text.contains("La clase del martes 3 de noviembre a las 10:00 se cancela."),
            "{}",
            spanish.text
        );
        for words in [english, spanish, link(&ada, None, "x"), link(&ada, Some(&es), "x")] {
            assert!(!words.subject.contains("Ada"), "a subject names nobody");
        }
    }
}
