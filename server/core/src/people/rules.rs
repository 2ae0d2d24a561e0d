//! The house rules of an organisation: which drill families a condition rules out or makes easier, and which word
//! a number from 0 to 10 stands for. A clinician can edit these defaults; a session keeps the rules it began with.

use serde::{Deserialize, Serialize};

use crate::drill::{FAMILIES, Family};
use crate::file::{FileError, Source, Table};
use crate::people::care::Condition;

/// How strong something feels, in three words.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Strength {
    /// A little.
    Little,
    /// Moderate.
    Quite,
    /// Very.
    Very,
}

/// How strong something feels, as the person said it: a word, or a number from 0 to 10. It is kept as said; the
/// house rules turn a number into a word.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
pub enum Felt {
    /// One of three words.
    Word(Strength),
    /// A number from 0 to 10.
    Number(u8),
}

/// What a condition means for a family of drills.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Rule {
    /// The drill as it is.
    #[default]
    Fine,
    /// The drill in its easier form.
    Easier,
    /// Not until a clinician has cleared the person.
    Off,
}

const RULES: [(&str, Rule); 3] = [("fine", Rule::Fine), ("easier", Rule::Easier), ("off", Rule::Off)];

/// The house rules.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Rules {
    /// Every rule that is not [`Rule::Fine`], by family and condition.
    grid: Vec<(Family, Condition, Rule)>,
    /// The smallest number that means *quite*; anything below means *a little*.
    quite_from: u8,
    /// The smallest number that means *very*.
    very_from: u8,
}

impl Rules {
    /// What `condition` means for drills of `family`.
    #[must_use]
    pub fn rule(&self, family: Family, condition: Condition) -> Rule {
        let found = self.grid.iter().find(|(f, c, _)| *f == family && *c == condition);
        found.map_or(Rule::Fine, |(_, _, rule)| *rule)
    }

    /// How strong it is in words; the cut-points turn a number into a word.
    #[must_use]
    pub fn strength(&self, felt: Felt) -> Strength {
        match felt {
            Felt::Word(strength) => strength,
            Felt::Number(n) if n >= self.very_from => Strength::Very,
            Felt::Number(n) if n >= self.quite_from => Strength::Quite,
            Felt::Number(_) => Strength::Little,
        }
    }
}

/// Reads house rules. A family and condition that the file does not name together are fine.
///
/// # Errors
/// The first mistake, with its line.
pub fn read(source: Source<'_>) -> Result<Rules, FileError> {
    let parsed = source.parse()?;
    let table = Table::new(source, "rules file", parsed.span(), parsed.get_ref());
    let cuts = table.table("strength", "strength")?.ok_or_else(|| table.missing("strength"))?;
    let cut = |key| -> Result<u8, FileError> {
        let number = cuts.count(key)?.ok_or_else(|| cuts.missing(key))?;
        let wrong = || cuts.error_at(key, format!("`{key}` is {number}; it must be from 1 to 10"));
        u8::try_from(number).ok().filter(|n| (1..=10).contains(n)).ok_or_else(wrong)
    };
    let (quite_from, very_from) = (cut("quite_from")?, cut("very_from")?);
    if quite_from >= very_from {
        return Err(cuts.error_at("very_from", "`very_from` must be above `quite_from`"));
    }
    cuts.finish()?;
    let mut grid = Vec::new();
    if let Some(families) = table.table("grid", "grid")? {
        for (name, family) in FAMILIES {
            let Some(row) = families.table(name, "grid row")? else { continue };
            for (name, condition) in CONDITIONS {
                let Some(word) = row.line::<80>(name)? else { continue };
                let rule = RULES.iter().find(|(known, _)| *known == word.as_str()).map(|(_, rule)| *rule);
                let rule = rule.ok_or_else(|| {
                    row.error_at(
                        name,
                        format!("`{name}` is `{word}`; it must be \"fine\", \"easier\" or \"off\""),
                    )
                })?;
                if rule != Rule::Fine {
                    grid.push((family, condition, rule));
                }
            }
            row.finish()?;
        }
        families.finish()?;
    }
    table.finish()?;
    Ok(Rules { grid, quite_from, very_from })
}

/// Conditions by the names that rule files use.
pub const CONDITIONS: [(&str, Condition); 14] = [
    ("heart", Condition::Heart),
    ("lung", Condition::Lung),
    ("neck", Condition::Neck),
    ("aspiration", Condition::Aspiration),
    ("jaw", Condition::Jaw),
    ("surgery", Condition::Surgery),
    ("low-pressure", Condition::LowPressure),
    ("thinking", Condition::Thinking),
    ("voice", Condition::Voice),
    ("spine", Condition::Spine),
    ("shoulder", Condition::Shoulder),
    ("mouth", Condition::Mouth),
    ("tracheostomy", Condition::Tracheostomy),
    ("stimulator", Condition::Stimulator),
];
