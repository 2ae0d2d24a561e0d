//! Golden cases of which clues a new round gets, as the core chooses them. The web chooses when a round is added to a
//! draft; its tests read this file (`web/src/lib/draft.test.ts`). `SAMEBREATH_WRITE=1 cargo test -p samebreath-wire`
//! writes it anew.

use std::path::Path;

use crate::common::{check_file, here};

use samebreath_core::clue;
use samebreath_core::file::Source;
use samebreath_core::library::Library;
use samebreath_core::plan::StepRequest;
use samebreath_core::plan::draft::{Draft, DraftStep};
use samebreath_core::plan::history::{Had, History};
use samebreath_core::plan::minutes::Minutes;
use samebreath_core::time::day::Date;
use serde_json::{Value, json};

const ROUND: &str = "toolbox";
/// For how many weeks no clue comes again.
const WEEKS: u32 = 4;

fn round(only: &[u32]) -> DraftStep {
    let set = ROUND.try_into().unwrap();
    let what = StepRequest::Clues { set, only: only.to_vec(), minutes: Minutes::whole(10).unwrap() };
    DraftStep { part: None, title: None, note: None, what }
}

fn chosen(step: &DraftStep) -> Vec<u32> {
    let StepRequest::Clues { only, .. } = &step.what else { panic!("a round") };
    only.clone()
}

#[test]
fn which_clues_a_new_round_gets_is_written_down_for_the_web() {
    let mut library = Library::default();
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../clues/toolbox.toml");
    let text = std::fs::read_to_string(path).unwrap();
    library.add_clue_set(clue::read(ROUND, Source::new("toolbox.toml", &text)).unwrap()).unwrap();
    let set = library.clue_set(ROUND).unwrap();
    let day = |text: &str| Date::try_from(text.to_owned()).unwrap();
    let cases: [(&[u32], &[&[u32]]); 6] = [
        (&[], &[]),
        (&[1, 2, 3], &[]),
        (&[1, 2, 3], &[&[4, 5]]),
        (&[], &[&[1, 2, 3], &[4]]),
        (&[2, 4, 6, 8], &[&[1], &[3, 5]]),
        (&[1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12], &[]),
    ];
    let cases: Vec<Value> = cases
        .iter()
        .map(|(lately, others)| {
            let mut had = Had::default();
            lately.iter().for_each(|number| had.add_clue(set, *number));
            let history = History::before(day("2027-03-09"), [(day("2027-03-02"), had)]);
            let steps: Vec<_> = others.iter().map(|only| round(only)).chain([round(&[])]).collect();
            let title = "Golden".try_into().unwrap();
            let draft = Draft { title, minutes: 60, start: None, steps, home: Vec::new() };
            let fresh = draft.freshened(&library, &history, WEEKS);
            json!({
                "clues": set.clues.len(),
                "left": history.left(set, WEEKS),
                "others": others,
                "only": chosen(fresh.steps.last().unwrap()),
            })
        })
        .collect();
    let text = serde_json::to_string_pretty(&cases).unwrap() + "\n";
    check_file(&here("golden/rounds.json"), &text);
}
