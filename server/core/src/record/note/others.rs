//! The names that stand in no note about one person: those of everybody else in the class.

use std::collections::BTreeSet;

use crate::live::{SeatId, Session};
use crate::text::name::folded;

/// Words of a name that are no name, such as between two people on one screen.
const BETWEEN: [&str; 6] = ["and", "or", "y", "et", "und", "e"];

/// Whose names may not be named, without case and accents.
pub(super) struct Others {
    /// Each word of them.
    words: BTreeSet<String>,
    /// Those of several words, whole: of two people of one first name, the initial tells who is meant.
    whole: Vec<String>,
}

impl Others {
    /// Everybody but the person on this seat: on other seats, and beside them on theirs; all for `None`. It also counts whoever
    /// was turned away or taken out. A word that is of the person's own name too may be named.
    pub(super) fn than(session: &Session, own: Option<SeatId>) -> Self {
        let is_own = |id: SeatId| own.is_some() && session.seat_of(id).map(|(seat, _)| seat) == own;
        let seats = || session.seats().iter();
        let theirs = seats().filter(|(id, _)| !is_own(**id)).map(|(_, seat)| seat.name.as_str());
        let beside =
            seats().filter_map(|(_, seat)| Some(seat.check_in.as_ref()?.partner.as_ref()?.name.as_str()));
        let names: Vec<&str> = theirs.chain(beside).collect();
        let whole = names.iter().map(|name| folded(name)).filter(|name| name.contains(' ')).collect();
        let mut words: BTreeSet<String> = names.into_iter().flat_map(words_of).collect();
        for (_, seat) in seats().filter(|(id, _)| is_own(**id)) {
            words_of(seat.name.as_str()).for_each(|word| {
                words.remove(&word);
            });
        }
        Self { words, whole }
    }

    /// Whether somebody's sentence names one of them.
    pub(super) fn are_in(&self, text: &str) -> bool {
        let text = format!(" {} ", folded(text));
        let is_whole = self.whole.iter().any(|name| text.contains(&format!(" {name} ")));
        is_whole || text.split(' ').any(|word| self.words.contains(word))
    }

    /// Whether a title does. It is no sentence: one with the word “grace” in it does not speak of Grace.
    pub(super) fn are_in_title(&self, title: &str) -> bool {
        let words = title.split(|c: char| !c.is_alphanumeric());
        let names = words.filter(|word| word.starts_with(char::is_uppercase));
        names.map(folded).any(|word| self.words.contains(&word))
    }
}

/// The words of a name that may stand for it; an initial or a number does not.
fn words_of(name: &str) -> impl Iterator<Item = String> {
    let words: Vec<String> = folded(name).split(' ').map(str::to_owned).collect();
    words.into_iter().filter(|word| {
        word.chars().count() > 1 && !word.chars().all(char::is_numeric) && !BETWEEN.contains(&word.as_str())
    })
}
