//! The forms of the drills: their clocks, and whether every cue can be read in its time.

use samebreath_core::drill::dose::{DoseChange, Hold, Lengths};
use samebreath_core::drill::form::FormPace;
use samebreath_core::drill::{self, Drill, Phase};
use samebreath_core::file::Source;
use samebreath_core::item::Item;
use samebreath_core::language;
use samebreath_core::live::{Form, LiveStep};
use samebreath_core::plan::Step;
use samebreath_core::plan::forms::compile_form;
use samebreath_core::plan::timeline::{Timeline, compile_drill};

fn forms(drill: &Drill) -> impl Iterator<Item = &drill::form::DrillForm> {
    [&drill.easier, &drill.seated, &drill.harder].into_iter().flatten().filter(|form| !form.phases.is_empty())
}

/// Where sets and sides begin: what everybody does at the same instant in whatever form.
fn blocks(timeline: &Timeline) -> Vec<(u32, u32, i64)> {
    let mut all: Vec<(u32, u32, i64)> = Vec::new();
    for span in timeline.spans.iter().filter(|span| span.phase != Phase::ChangeSides) {
        if all.last().is_none_or(|(side, set, _)| (*side, *set) != (span.side, span.set)) {
            all.push((span.side, span.set, span.start_ms));
        }
    }
    all
}

proptest::proptest! {
    #![proptest_config(proptest::prelude::ProptestConfig::with_cases(48))]

    /// Whatever the dose, everybody begins and ends each set with the class.
    #[test]
    fn a_form_is_as_long_as_the_drill(
        sets in 1_u32..4, reps in 1_u32..13, hold_s in 1_i64..31, rest_s in 0_i64..31, set_rest_s in 0_i64..31,
    ) {
        let change = DoseChange {
            sets: Some(sets),
            reps: Some(reps),
            hold: Some(Hold::Fixed { ms: hold_s * 1000 }),
            rest_ms: Some(rest_s * 1000),
            set_rest_ms: Some(set_rest_s * 1000),
            ..DoseChange::default()
        };
        for drill in crate::common::library().drills() {
            // A dose of its own, a hold of its own, and both.
            for change in [DoseChange { hold: None, ..change }, change, DoseChange::default()] {
                // A firmer end does not fit into every hold.
                let Ok(dose) = drill.dose.changed(&change) else { continue };
                let firm_ms = drill.phases.iter().find_map(|spec| Some(spec.firm.as_ref()?.0)).unwrap_or(0);
                if dose.hold.is_some_and(|hold| hold.clock_ms() <= firm_ms) {
                    continue;
                }
                let class = compile_drill(drill, &dose, &[]);
                for form in forms(drill) {
                    let own = compile_form(drill, &dose, &[], form).unwrap();
                    proptest::prop_assert_eq!(own.total_ms, class.total_ms, "{}: {}", drill.id, form.what);
                    proptest::prop_assert_eq!(own.ready_ms, class.ready_ms);
                    proptest::prop_assert_eq!(blocks(&own), blocks(&class), "{}: {}", drill.id, form.what);
                    let mut at_ms = 0;
                    for span in &own.spans {
                        proptest::prop_assert_eq!(span.start_ms, at_ms);
                        proptest::prop_assert!(span.len_ms > 0);
                        at_ms = span.end_ms();
                    }
                    proptest::prop_assert_eq!(at_ms, own.total_ms);
                }
            }
        }
    }
}

#[test]
fn every_drill_has_an_easier_form_with_a_clock() {
    for drill in crate::common::library().drills() {
        let easier = drill.easier.as_ref().unwrap();
        assert!(!easier.phases.is_empty(), "{}", drill.id);
        let class = compile_drill(drill, &drill.dose, &[]);
        let own = compile_form(drill, &drill.dose, &[], easier).unwrap();
        assert!(own.figures().held_ms <= class.figures().held_ms, "{}: it holds no longer", drill.id);
        let rests = |timeline: &Timeline| -> i64 {
            let rest = |phase| matches!(phase, Phase::GetReady | Phase::Rest | Phase::Sip);
            timeline.spans.iter().filter(|span| rest(span.phase)).map(|span| span.len_ms).sum()
        };
        // Breaths that are shorter come closer together, with no rest between them; a hunt for words lasts as long.
        let breathes = easier.pace == FormPace::Own && rests(&class) == 0;
        assert!(breathes || rests(&own) >= rests(&class), "{}: it rests no less", drill.id);
    }
}

#[test]
fn a_form_with_the_class_begins_each_repetition_with_it_and_rests_longer() {
    let library = crate::common::library();
    let press = library.drill("chin-press-hold").unwrap();
    let own = compile_form(press, &press.dose, &[], press.easier.as_ref().unwrap()).unwrap();
    let told: Vec<_> = own.spans.iter().map(|s| (s.phase, s.start_ms / 1000, s.len_ms / 1000)).collect();
    let (hold, rest) = (Phase::Hold, Phase::Rest);
    assert_eq!(
        told,
        [(hold, 0, 5), (rest, 5, 15), (hold, 20, 5), (rest, 25, 15), (hold, 40, 5), (rest, 45, 15)]
    );
    // Of thirty presses, ten slow ones at a pace of their own: ten times 2 s and 4 s are the same minute.
    let repeat = library.drill("chin-press-repeat").unwrap();
    let own = compile_form(repeat, &repeat.dose, &[], repeat.easier.as_ref().unwrap()).unwrap();
    assert_eq!((own.figures().reps, own.total_ms), (10, 60_000));
    assert!(own.spans.iter().all(|span| span.phase != Phase::Rest));
    // A plan that holds for 3 holds for no more than 3 in any form that keeps the class's pace.
    let dose =
        press.dose.changed(&DoseChange { hold: Some(Hold::Fixed { ms: 3_000 }), ..DoseChange::default() });
    let own = compile_form(press, &dose.unwrap(), &[], press.easier.as_ref().unwrap()).unwrap();
    assert_eq!(own.spans[0].len_ms, 3_000);
}

#[test]
fn the_screen_gets_the_forms_in_its_own_language() {
    let library = crate::common::library();
    let step =
        Step::of_drill(library.drill("belly-breath").unwrap(), &DoseChange::default(), Vec::new()).unwrap();
    let content = LiveStep::alone(step).content();
    let told: Vec<_> = content.forms.iter().map(|own| (own.form, own.reps)).collect();
    // 60 s hold eight breaths of 7 s, and five of 12 s.
    assert_eq!(told, [(Form::Easier, 8), (Form::Harder, 5)]);
    let (_, path, text) = crate::common::files("languages").remove(0);
    let es = language::read(Source::new(&path, &text)).unwrap();
    let said = content.clone().said_in(&es);
    assert_ne!(said.forms[0].timeline.spans[1].cue, content.forms[0].timeline.spans[1].cue);
}

/// 140 words a minute (rate from memory).
#[test]
fn every_cue_fits_its_phase() {
    let (_, path, text) = crate::common::files("languages").remove(0);
    let es = language::read(Source::new(&path, &text)).unwrap();
    let mut wrong = Vec::new();
    for drill in crate::common::library().drills() {
        let specs = drill.phases.iter().chain(forms(drill).flat_map(|form| &form.phases));
        for spec in specs {
            let ends = spec.firm.iter().map(|(ms, cue)| (*ms, cue));
            let ms = spec.length.clock_ms() - spec.firm.as_ref().map_or(0, |(ms, _)| *ms);
            for (ms, cue) in ends.chain([(ms, &spec.cue)]) {
                for said in [cue.to_string(), es.say(cue).to_string()] {
                    let needs_ms = said.split_whitespace().count() as i64 * 60_000 / 140;
                    if needs_ms > ms {
                        wrong.push(format!("{}: {said} takes {needs_ms} ms of {ms}", drill.id));
                    }
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn a_form_that_takes_longer_than_the_drill_is_refused() {
    let file = |form: &str| {
        format!(
            "name = \"x\"\nfamily = \"neck\"\npurpose = \"x\"\npose = \"x\"\n{form}\n[dose]\nreps = 2\n\
             [[phase]]\nkind = \"hold\"\ncue = \"x\"\nseconds = 10\n\
             [[source]]\nwhat = \"x\"\ntrust = \"memory\"\n"
        )
    };
    let error = |form: &str| drill::read("x", Source::new("x.toml", &file(form))).unwrap_err().to_string();
    let phase = "phase = [{ kind = \"hold\", cue = \"x\", seconds = 12 }]";
    assert_eq!(
        error(&format!("easier = {{ what = \"x\", {phase} }}")),
        "x.toml:5: `easier` takes 12 s, but the drill only 10 s"
    );
    assert_eq!(
        error(&format!("harder = {{ what = \"x\", pace = \"own\", reps = 2, {phase} }}")),
        "x.toml:5: `harder` takes 24 s, but the drill only 20 s"
    );
    assert_eq!(
        error("seated = { what = \"x\", reps = 2 }"),
        "x.toml:5: only a form with a phase of its own can have `reps`"
    );
}

#[test]
fn what_is_explained_and_shown_first_is_part_of_the_dose() {
    let library = crate::common::library();
    let ah = library.drill("steady-ah").unwrap();
    let change = DoseChange { explain_ms: Some(20_000), shown: Some(1), ..DoseChange::default() };
    let step = Step::of_drill(ah, &change, Vec::new()).unwrap();
    let timeline = step.timeline();
    // 20 s of talk and 3 + 15 s shown, then four of 18 s with 20 s between them.
    assert_eq!((timeline.spans[0].phase, timeline.spans[0].len_ms), (Phase::Watch, 38_000));
    assert_eq!(timeline.total_ms, 38_000 + 4 * 18_000 + 3 * 20_000);
    assert_eq!(timeline.figures().reps, 4, "what is only shown is no repetition");
    assert_eq!(timeline.rep_start(2), 1, "again goes back to the first repetition, not to the talk");
    let bare = DoseChange { shown: Some(0), ..DoseChange::default() };
    assert_ne!(Step::of_drill(ah, &bare, Vec::new()).unwrap().timeline().spans[0].phase, Phase::Watch);
    let wrong = Step::of_drill(ah, &DoseChange { shown: Some(4), ..change }, Vec::new()).unwrap_err();
    assert_eq!(wrong, "shown is 4; it must be from 0 to 3");
}

#[test]
fn the_length_of_a_phase_can_be_changed_and_one_that_is_not_there_is_refused() {
    let library = crate::common::library();
    let of = |id: &str, lengths| {
        let change = DoseChange { lengths: Some(lengths), ..DoseChange::default() };
        Step::of_drill(library.drill(id).unwrap(), &change, Vec::new()).map(|step| step.timeline().total_ms)
    };
    let game = Lengths { voice_ms: Some(30_000), ..Lengths::default() };
    assert_eq!(
        of("name-the-kind", game),
        Ok(2 * (5 + 30 + 30) * 1000),
        "half a minute of words in place of one"
    );
    let breath = Lengths { breathe_out_ms: Some(8_000), ..Lengths::default() };
    assert_eq!(of("belly-breath", breath), Ok(6 * (4 + 8) * 1000));
    assert_eq!(
        of("belly-breath", game).unwrap_err(),
        "`belly-breath` has no `voice` to change; of these lengths it has `breathe_in`, `breathe_out`"
    );
    let hold = DoseChange { hold: Some(Hold::Fixed { ms: 5_000 }), ..DoseChange::default() };
    let error = Step::of_drill(library.drill("belly-breath").unwrap(), &hold, Vec::new()).unwrap_err();
    assert!(error.starts_with("`belly-breath` has no `hold` to change"), "{error}");
}

#[test]
fn a_form_keeps_to_shorter_phases_of_a_plan_and_to_the_classs_words() {
    let library = crate::common::library();
    let easier = |id: &str, change: DoseChange| {
        let drill = library.drill(id).unwrap();
        let dose = drill.dose.changed(&change).unwrap();
        let items: Vec<Item> = ["one", "two", "three", "four"]
            .map(|say| Item { say: say.try_into().unwrap(), then: None, pose: None })
            .into();
        let class = compile_drill(drill, &dose, &items);
        (class, compile_form(drill, &dose, &items, drill.easier.as_ref().unwrap()).unwrap())
    };
    let half = Lengths { voice_ms: Some(30_000), ..Lengths::default() };
    let (_, own) = easier("name-the-kind", DoseChange { lengths: Some(half), ..DoseChange::default() });
    let voices = own.spans.iter().filter(|span| span.phase == Phase::Voice);
    assert_eq!(voices.map(|span| span.len_ms).max(), Some(30_000));
    // The same words for a whole set, as in the class.
    let (class, own) = easier("loudness-ladder", DoseChange::default());
    let said = |timeline: &Timeline| {
        let of = timeline
            .spans
            .iter()
            .filter_map(|span| Some((span.set, span.rep, span.say.clone()?.to_string())));
        of.collect::<std::collections::BTreeSet<_>>()
    };
    assert!(said(&own).is_subset(&said(&class)) && said(&own).len() == 6, "{:?}", said(&own));
}
