//! Reads a drill's file.

use crate::drill::dose::{self, Dose, Hold, Lengths};
use crate::drill::form::{DrillForm, FormPace};
use crate::drill::{
    Between, Drill, DrillId, Each, FAMILIES, ItemUse, PHASES, Phase, PhaseSpec, Reference, Setting, Side,
    Tap, Trust, Tune, Usual,
};
use crate::file::{FileError, Source, Table};
use crate::item::Part;
use crate::text::Line;
use crate::time::{in_seconds, seconds};

const TAPS: [(&str, Tap); 2] = [("rests", Tap::Rests), ("after", Tap::After)];
const PLACES: [(&str, Setting); 2] = [("class", Setting::Class), ("home", Setting::Home)];
const PARTS: [(&str, Part); 2] = [("say", Part::Say), ("then", Part::Then)];
const TUNES: [(&str, Tune); 2] = [("rise", Tune::Rise), ("fall", Tune::Fall)];
const EACH: [(&str, Each); 2] = [("rep", Each::Rep), ("set", Each::Set)];
const PACES: [(&str, FormPace); 2] = [("class", FormPace::Class), ("own", FormPace::Own)];
const TRUSTS: [(&str, Trust); 5] = [
    ("seen", Trust::Seen),
    ("memory", Trust::Memory),
    ("common-practice", Trust::CommonPractice),
    ("arithmetic", Trust::Arithmetic),
    ("judgement", Trust::Judgement),
];

/// Reads one drill; `id` is the name of its file without the ending.
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
    let change = read_dose_change(&dose_table)?;
    let dose = Dose::ONCE.changed(&change).map_err(|e| dose_table.error(e.to_string()))?;
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
        tap: table.choice("tap", &TAPS)?.unwrap_or_default(),
        place: table.choice("place", &PLACES)?.unwrap_or_default(),
        between: read_between(&table)?,
        dose,
        usual: read_usual(&table, &dose)?,
        cautions: table.lines("cautions")?,
        easier: read_form(&table, "easier")?,
        seated: read_form(&table, "seated")?,
        harder: read_form(&table, "harder")?,
        clearance: table.lines("clearance")?,
        needs: table.lines("needs")?,
        evidence: table.line("evidence")?,
        sources: table.tables("source", "source")?.iter().map(read_reference).collect::<Result<_, _>>()?,
        items: read_items(&table)?,
    };
    let shows = drill.phases.iter().any(|spec| spec.item.is_some());
    if shows != drill.items.is_some() {
        return Err(
            table.error("a drill with `items` needs a [[phase]] with `item`, and one without has none")
        );
    }
    for (key, form) in [("easier", &drill.easier), ("seated", &drill.seated), ("harder", &drill.harder)] {
        if let Some((needs_ms, has_ms)) = form.as_ref().and_then(|form| drill.too_short_for(form)) {
            let (needs, has) = (in_seconds(needs_ms), in_seconds(has_ms));
            return Err(table.error_at(key, format!("`{key}` takes {needs} s, but the drill only {has} s")));
        }
    }
    if drill.sources.is_empty() {
        return Err(table.error(
            "a drill needs at least one [[source]]; its trust can be \"common-practice\" or \"memory\"",
        ));
    }
    table.finish()?;
    Ok(drill)
}

fn read_items(table: &Table<'_>) -> Result<Option<ItemUse>, FileError> {
    let (set, each) = (table.line("items")?, table.choice("item_each", &EACH)?);
    match (set, each) {
        (None, Some(_)) => Err(table.error_at("item_each", "only a drill with `items` can have it")),
        (set, each) => Ok(set.map(|set| ItemUse { set, each: each.unwrap_or_default() })),
    }
}

/// Reads `[easier]`, `[seated]` or `[harder]`; a text in its place is the sentence alone.
fn read_form(table: &Table<'_>, key: &'static str) -> Result<Option<DrillForm>, FileError> {
    let sentence = |what| DrillForm { what, phases: Vec::new(), reps: None, pace: FormPace::Class };
    if !table.is_table(key) {
        return Ok(table.line(key)?.map(sentence));
    }
    let Some(form) = table.table(key, "form")? else { return Ok(None) };
    let phases = form.tables("phase", "phase")?.into_iter().map(read_phase).collect::<Result<Vec<_>, _>>()?;
    let read = DrillForm {
        what: form.need_line("what")?,
        phases,
        reps: form.count("reps")?,
        pace: form.choice("pace", &PACES)?.unwrap_or_default(),
    };
    form.finish()?;
    match read.reps {
        Some(0) => Err(form.error_at("reps", "`reps` must be 1 or more")),
        _ if !read.phases.is_empty() => Ok(Some(read)),
        Some(_) => Err(form.error_at("reps", "only a form with a phase of its own can have `reps`")),
        None if form.has("pace") => {
            Err(form.error_at("pace", "only a form with a phase of its own can have `pace`"))
        }
        None => Ok(Some(read)),
    }
}

fn read_phase(table: Table<'_>) -> Result<PhaseSpec, FileError> {
    let phase = table.choice("kind", &PHASES)?.ok_or_else(|| table.missing("kind"))?;
    let lasts = read_hold(&table, "seconds")?.ok_or_else(|| table.missing("seconds"))?;
    if matches!(lasts, Hold::Open { .. }) && phase != Phase::Hold {
        return Err(table.error("only a hold can have floor, target and limit"));
    }
    let firm = match table.seconds("firm_last")? {
        None => None,
        Some(_) if phase != Phase::Hold => {
            return Err(table.error_at("firm_last", "only a hold can end firmer"));
        }
        Some(ms) if ms < seconds(1) || ms >= lasts.clock_ms() => {
            return Err(table.error_at(
                "firm_last",
                "the firmer end must last at least 1 second and be shorter than the hold",
            ));
        }
        Some(ms) => Some((ms, table.need_line("firm_cue")?)),
    };
    let (cue, pose) = (table.need_line("cue")?, table.line("pose")?);
    let (item, tune) = (table.choice("item", &PARTS)?, table.choice("tune", &TUNES)?);
    let beat_ms = table.seconds("beat")?;
    if let Some(beat_ms) = beat_ms {
        dose::length("beat", beat_ms, dose::BEAT_MS).map_err(|e| table.error_at("beat", e.to_string()))?;
        if !phase.needs_notice() {
            return Err(table.error_at("beat", "only a phase in which people do something can have a beat"));
        }
    }
    let spec = PhaseSpec { phase, cue, length: lasts, firm, pose, item, tune, beat_ms };
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
        return Err(table.error("a drill can have at most 8 sides or positions"));
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

/// Reads `sets`, `reps`, `hold`, `rest`, `set_rest`, `switch`, `explain`, `shown` and the lengths of phases, of a
/// drill's dose or a plan step.
///
/// # Errors
/// A value of the wrong kind or a hold out of bounds. Other bounds are checked when the change is applied.
pub fn read_dose_change(table: &Table<'_>) -> Result<dose::DoseChange, FileError> {
    let lengths = Lengths {
        breathe_in_ms: table.seconds("breathe_in")?,
        breathe_out_ms: table.seconds("breathe_out")?,
        voice_ms: table.seconds("voice")?,
        move_ms: table.seconds("move")?,
    };
    Ok(dose::DoseChange {
        sets: table.count("sets")?,
        reps: table.count("reps")?,
        hold: read_hold(table, "hold")?,
        rest_ms: table.seconds("rest")?,
        set_rest_ms: table.seconds("set_rest")?,
        switch_ms: table.seconds("switch")?,
        explain_ms: table.seconds("explain")?,
        shown: table.count("shown")?,
        lengths: (lengths != Lengths::default()).then_some(lengths),
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

/// Reads the ranges of `[usual]`, which must include the drill's own dose.
fn read_usual(table: &Table<'_>, dose: &Dose) -> Result<Usual, FileError> {
    let Some(ranges) = table.table("usual", "usual range")? else { return Ok(Usual::default()) };
    let usual = Usual {
        sets: ranges.range("sets", 1)?.map(narrow),
        reps: ranges.range("reps", 1)?.map(narrow),
        hold_ms: ranges.range("hold", 1000)?,
    };
    ranges.finish()?;
    let holds =
        |range: Option<(u32, u32)>, n: u32| range.is_none_or(|(least, most)| (least..=most).contains(&n));
    if !holds(usual.sets, dose.sets) {
        return Err(ranges.error_at("sets", "the usual range of `sets` must include the drill's own dose"));
    }
    if !holds(usual.reps, dose.reps) {
        return Err(ranges.error_at("reps", "the usual range of `reps` must include the drill's own dose"));
    }
    Ok(usual)
}

fn narrow((least, most): (i64, i64)) -> (u32, u32) {
    (u32::try_from(least).unwrap_or(u32::MAX), u32::try_from(most).unwrap_or(u32::MAX))
}

/// Reads a `[[source]]`.
///
/// # Errors
/// When a key is missing, or `at` does not fit the trust: a source that was seen needs it, and others must not
/// have it.
pub(crate) fn read_reference(table: &Table<'_>) -> Result<Reference, FileError> {
    let reference = Reference {
        what: table.need_line("what")?,
        trust: table.choice("trust", &TRUSTS)?.ok_or_else(|| table.missing("trust"))?,
        at: table.line("at")?,
    };
    table.finish()?;
    match (reference.trust, &reference.at) {
        (Trust::Seen, None) => Err(table.error("a source that was seen needs `at`, which says where")),
        (Trust::Seen, Some(_)) | (_, None) => Ok(reference),
        (_, Some(_)) => Err(table.error_at("at", "only a source that was seen can have `at`")),
    }
}
