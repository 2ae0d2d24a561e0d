//! Drills: what an exercise is, read from one TOML file each.

use serde::{Deserialize, Serialize};

use crate::dose::{self, Dose, Hold};
use crate::file::{FileError, Source, Table};
use crate::text::Line;
use crate::time::seconds;

/// The name of a drill's file without its ending, such as `steady-ah`.
pub type DrillId = Line<60>;

/// Families share cautions and clearance (the rows of the precaution grid).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
#[allow(missing_docs, reason = "the names are the trade's own")]
pub enum Family {
    Posture,
    Breath,
    Cough,
    Trainer,
    Voice,
    EffortfulSwallow,
    TongueHold,
    HoldAtTop,
    HeadLift,
    ChinTuck,
    JawOpening,
    Neck,
    LipsFace,
    Words,
}

pub(crate) const FAMILIES: [(&str, Family); 14] = [
    ("posture", Family::Posture),
    ("breath", Family::Breath),
    ("cough", Family::Cough),
    ("trainer", Family::Trainer),
    ("voice", Family::Voice),
    ("effortful-swallow", Family::EffortfulSwallow),
    ("tongue-hold", Family::TongueHold),
    ("hold-at-top", Family::HoldAtTop),
    ("head-lift", Family::HeadLift),
    ("chin-tuck", Family::ChinTuck),
    ("jaw-opening", Family::JawOpening),
    ("neck", Family::Neck),
    ("lips-face", Family::LipsFace),
    ("words", Family::Words),
];

impl Family {
    /// Swallow drills are off for a person until a clinician turns them on.
    #[must_use]
    pub fn is_swallow(self) -> bool {
        matches!(self, Self::EffortfulSwallow | Self::TongueHold | Self::HoldAtTop)
    }
}

/// What a timed part of a repetition asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[cfg_attr(feature = "ts-rs", derive(ts_rs::TS))]
#[allow(missing_docs, reason = "the names are the trade's own")]
pub enum Phase {
    GetReady,
    BreatheIn,
    BreatheOut,
    Move,
    Voice,
    Hold,
    /// The firmer last seconds of a hold.
    FirmUp,
    Swallow,
    Release,
    Rest,
    /// A rest in which a sip is fine for those whose plan allows it.
    Sip,
    ChangeSides,
}

const PHASES: [(&str, Phase); 12] = [
    ("get-ready", Phase::GetReady),
    ("breathe-in", Phase::BreatheIn),
    ("breathe-out", Phase::BreatheOut),
    ("move", Phase::Move),
    ("voice", Phase::Voice),
    ("hold", Phase::Hold),
    ("firm-up", Phase::FirmUp),
    ("swallow", Phase::Swallow),
    ("release", Phase::Release),
    ("rest", Phase::Rest),
    ("sip", Phase::Sip),
    ("change-sides", Phase::ChangeSides),
];

impl Phase {
    /// Held seconds are those of a hold and of its firmer end.
    #[must_use]
    pub fn is_held(self) -> bool {
        matches!(self, Self::Hold | Self::FirmUp)
    }

    /// Phases before which a person needs notice: a jump never lands in one without warning.
    #[must_use]
    pub fn needs_notice(self) -> bool {
        matches!(self, Self::Hold | Self::FirmUp | Self::Swallow | Self::Voice | Self::Move)
    }
}

/// One phase of a repetition as the drill's file gives it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct PhaseSpec {
    /// What it asks for.
    pub phase: Phase,
    /// The words on the screen.
    pub cue: Line<80>,
    /// How long, and the marks of an open hold.
    pub length: Hold,
    /// The firmer end of a hold: its length and words. Shorter than the hold.
    pub firm: Option<(i64, Line<80>)>,
}

/// What is shown between two repetitions.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Between {
    /// [`Phase::Rest`] or [`Phase::Sip`].
    pub phase: Phase,
    /// The words on the screen.
    pub cue: Line<80>,
}

/// An exercise of the library.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Drill {
    /// Its id: the file's name.
    pub id: DrillId,
    /// Its name on screens.
    pub name: Line<60>,
    /// Its family.
    pub family: Family,
    /// What it is for, in one plain line.
    pub purpose: Line<200>,
    /// The pose of its picture.
    pub pose: Line<40>,
    /// Whether eyes leave the screen, so that sound must carry the cues.
    pub eyes_away: bool,
    /// Sides or positions in order, each with its name; at least one, a single unnamed one for
    /// drills without sides.
    pub sides: Vec<Side>,
    /// The phases of one repetition, in order; at least one.
    pub phases: Vec<PhaseSpec>,
    /// What is shown between repetitions.
    pub between: Between,
    /// The usual dose.
    pub dose: Dose,
    /// Cautions, the one that matters most first.
    pub cautions: Vec<Line<200>>,
    /// The easier form, in one plain sentence.
    pub easier: Option<Line<120>>,
    /// Who should not do it without being cleared.
    pub clearance: Vec<Line<200>>,
    /// Where the dose and the cautions come from, each with its trust mark.
    pub sources: Vec<Line<300>>,
}

/// A side or position.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Side {
    /// Its name on the screen; `None` where there is only one.
    pub name: Option<Line<60>>,
    /// The pose of its picture; `None` for the drill's own.
    pub pose: Option<Line<40>>,
}

/// Reads one drill; `id` is the file's name without its ending.
///
/// # Errors
/// The first mistake, with its line.
pub fn read(id: &str, source: Source<'_>) -> Result<Drill, FileError> {
    let parsed = source.parse()?;
    let table = Table::new(source, "drill", parsed.span(), parsed.get_ref());
    let id = DrillId::try_from(id).map_err(|e| table.error(format!("the file's name: {e}")))?;
    let phases =
        table.tables("phase", "phase")?.into_iter().map(read_phase).collect::<Result<Vec<_>, _>>()?;
    if phases.is_empty() {
        return Err(table.error("this drill needs at least one [[phase]]"));
    }
    let dose_table = table.table("dose", "dose")?.ok_or_else(|| table.missing("dose"))?;
    let no_rest = Dose { sets: 1, reps: 1, hold: None, rest_ms: 0, set_rest_ms: 0, switch_ms: 0 };
    let change = read_dose_change(&dose_table)?;
    let dose = no_rest.changed(&change).map_err(|e| dose_table.error(e.to_string()))?;
    dose_table.finish()?;
    let drill = Drill {
        id,
        name: table.need_line("name")?,
        family: table.choice("family", &FAMILIES)?.ok_or_else(|| table.missing("family"))?,
        purpose: table.need_line("purpose")?,
        pose: table.need_line("pose")?,
        eyes_away: table.flag("eyes_away")?,
        sides: read_sides(&table)?,
        phases,
        between: read_between(&table)?,
        dose,
        cautions: table.lines("cautions")?,
        easier: table.line("easier")?,
        clearance: table.lines("clearance")?,
        sources: table.lines("sources")?,
    };
    if drill.sources.is_empty() {
        return Err(
            table.error("a drill needs `sources`; write \"common practice, no source\" when there is none")
        );
    }
    table.finish()?;
    Ok(drill)
}

fn read_phase(table: Table<'_>) -> Result<PhaseSpec, FileError> {
    let phase = table.choice("kind", &PHASES)?.ok_or_else(|| table.missing("kind"))?;
    let length = read_hold(&table, "seconds")?.ok_or_else(|| table.missing("seconds"))?;
    if matches!(length, Hold::Open { .. }) && phase != Phase::Hold {
        return Err(table.error("only a hold can have floor, target and limit"));
    }
    let firm = match table.seconds("firm_last")? {
        None => None,
        Some(_) if phase != Phase::Hold => {
            return Err(table.error_at("firm_last", "only a hold can end firmer"));
        }
        Some(ms) if ms < seconds(1) || ms >= length.clock_ms() => {
            return Err(table.error_at(
                "firm_last",
                "the firmer end must last at least 1 second and be shorter than the hold",
            ));
        }
        Some(ms) => Some((ms, table.need_line("firm_cue")?)),
    };
    let spec = PhaseSpec { phase, cue: table.need_line("cue")?, length, firm };
    table.finish()?;
    Ok(spec)
}

fn read_sides(table: &Table<'_>) -> Result<Vec<Side>, FileError> {
    let mut sides = Vec::new();
    for side in table.tables("side", "side")? {
        sides.push(Side { name: Some(side.need_line("name")?), pose: side.line("pose")? });
        side.finish()?;
    }
    if sides.is_empty() {
        sides.push(Side { name: None, pose: None });
    }
    if sides.len() > 8 {
        return Err(table.error("a drill has at most 8 sides or positions"));
    }
    Ok(sides)
}

fn read_between(table: &Table<'_>) -> Result<Between, FileError> {
    let Some(between) = table.table("between", "between")? else {
        let cue = Line::try_from("Rest. Breathe easy.").map_err(|e| table.error(e.to_string()))?;
        return Ok(Between { phase: Phase::Rest, cue });
    };
    let phase = if between.flag("sip")? { Phase::Sip } else { Phase::Rest };
    let cue = between.need_line("cue")?;
    between.finish()?;
    Ok(Between { phase, cue })
}

/// Reads `sets`, `reps`, `hold`, `rest`, `set_rest` and `switch` of a drill's dose or a plan step.
///
/// # Errors
/// A value of the wrong kind or a hold out of bounds; the rest is checked when the change is
/// applied.
pub fn read_dose_change(table: &Table<'_>) -> Result<dose::DoseChange, FileError> {
    Ok(dose::DoseChange {
        sets: table.count("sets")?,
        reps: table.count("reps")?,
        hold: read_hold(table, "hold")?,
        rest_ms: table.seconds("rest")?,
        set_rest_ms: table.seconds("set_rest")?,
        switch_ms: table.seconds("switch")?,
    })
}

fn read_hold(table: &Table<'_>, key: &'static str) -> Result<Option<Hold>, FileError> {
    let hold = if table.is_table(key) {
        table.table(key, "hold")?.map(|marks| read_marks(&marks)).transpose()?
    } else {
        table.seconds(key)?.map(|ms| Hold::Fixed { ms })
    };
    if let Some(hold) = hold {
        dose::check_hold(hold).map_err(|e| table.error_at(key, e.to_string()))?;
    }
    Ok(hold)
}

fn read_marks(table: &Table<'_>) -> Result<Hold, FileError> {
    let need = |key| table.seconds(key)?.ok_or_else(|| table.missing(key));
    let hold = Hold::Open { floor_ms: need("floor")?, target_ms: need("target")?, limit_ms: need("limit")? };
    table.finish()?;
    Ok(hold)
}
