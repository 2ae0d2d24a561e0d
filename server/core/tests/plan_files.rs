//! Mistakes in files are answered with file, line, what was wrong and what would be right.

use samebreath_core::drill;
use samebreath_core::file::Source;
use samebreath_core::plan::draft;

fn check(steps: &str, expected: &str) {
    let text = format!("title = \"x\"\nminutes = 60\n\n{steps}");
    let error = draft::read_plan(Source::new("p.toml", &text), crate::common::library()).unwrap_err();
    assert_eq!(error.to_string(), expected);
}

#[test]
fn a_mistake_in_a_plan_names_its_line_and_the_remedy() {
    check("", "p.toml:1: this plan needs at least one [[step]]");
    check(
        "[[step]]\ndrill = \"steady-ahh\"",
        "p.toml:5: there is no drill called `steady-ahh`; did you mean `steady-ah`?",
    );
    check(
        "[[step]]\ndrill = \"steady-ah\"\nrepz = 3",
        "p.toml:6: there is no key in a step called `repz`; did you mean `reps`?",
    );
    check(
        "[[step]]\ndril = \"steady-ah\"",
        "p.toml:5: there is no key in a step called `dril`; did you mean `drill`?",
    );
    check("[[step]]\ndrill = \"steady-ah\"\nreps = 0", "p.toml:4: reps is 0; it must be from 1 to 100");
    check(
        "[[step]]\ndrill = \"steady-ah\"\nhold = { floor = 10, target = 30, limit = 25 }",
        "p.toml:6: an open hold needs floor <= target <= limit; found floor 10 s, target 30 s, limit 25 s",
    );
    check(
        "[[step]]\ndrill = \"pucker-smile\"\nhold = 8",
        "p.toml:4: the hold of `pucker-smile` ends firmer for 10 s; it must be longer than that",
    );
    check(
        "[[step]]\nclues = \"alotment\"\nminutes = 5",
        "p.toml:5: there is no clue set called `alotment`; did you mean `allotment`?",
    );
    check("[[step]]\ntalk = \"Hello\"", "p.toml:4: this step needs `minutes`");
    check(
        "[[step]]\ntalk = \"Hello\"\nminutes = \"five\"",
        "p.toml:6: `minutes` is a string; it must be a whole number such as 5",
    );
    check("[[step]]\ntalk = \"x\"\nminutes = 61", "p.toml:6: `minutes` is 61; it must be from 1 to 60");
    check("[[step]]\ntalk = \"x\"\nseconds = 9", "p.toml:6: `seconds` is 9; it must be from 10 to 3600");
    check(
        "[[step]]\ntalk = \"x\"\nminutes = 1\nseconds = 30",
        "p.toml:7: this step has `minutes` too; give its time in one of the two",
    );
    check("[[step]]\nsip = \"A sip\"\nseconds = 2", "p.toml:6: seconds is 2 s; it must be from 5 to 600 s");
    check(
        "[[step]]\ndrill = \"steady-ah\"\ntalk = \"both\"",
        "p.toml:4: a step has exactly one of drill, talk, check_in, sip, effort, clues",
    );
    check("[[step]\n", "p.toml:4: not TOML: unclosed array table, expected `]`");
}

#[test]
fn a_mistake_in_a_drill_names_its_line_and_the_remedy() {
    let good = "name = \"x\"\nfamily = \"voice\"\npurpose = \"x\"\npose = \"tall\"\n[dose]\nreps = 2\n[[phase]]\nkind = \"hold\"\ncue = \"Hold\"\nseconds = 5\n[[source]]\nwhat = \"test\"\ntrust = \"memory\"\n";
    assert!(drill::read("x", Source::new("x.toml", good)).is_ok());
    let check = |from: &str, to: &str, expected: &str| {
        let text = good.replace(from, to);
        let error = drill::read("x", Source::new("x.toml", &text)).unwrap_err();
        assert_eq!(error.to_string(), expected);
    };
    check(
        "\"voice\"",
        "\"voise\"",
        "x.toml:2: there is no family for a drill called `voise`; did you mean `voice`?",
    );
    check(
        "\"hold\"",
        "\"holt\"",
        "x.toml:8: there is no kind for a phase called `holt`; did you mean `hold`?",
    );
    check("seconds = 5", "seconds = 0", "x.toml:10: hold is 0 s; it must be from 0.5 to 600 s");
    check(
        "[[source]]\nwhat = \"test\"\ntrust = \"memory\"\n",
        "",
        "x.toml:1: a drill needs at least one [[source]]; its trust can be \"common-practice\" or \"memory\"",
    );
    check("\"memory\"", "\"seen\"", "x.toml:11: a source that was seen needs `at`, which says where");
    check("\"memory\"", "\"hearsay\"", "x.toml:13: there is no trust for a source called `hearsay`");
    check(
        "[[phase]]",
        "[usual]\nreps = [3, 5]\n[[phase]]",
        "x.toml:8: the usual range of `reps` must include the drill's own dose",
    );
    check(
        "[[phase]]",
        "[usual]\nreps = [5, 3]\n[[phase]]",
        "x.toml:8: `reps` must be two numbers such as [5, 10], the smaller one first",
    );
    check(
        "seconds = 5\n",
        "seconds = 5\nfirm_last = 5\n",
        "x.toml:11: the firmer end must last at least 1 second and be shorter than the hold",
    );
    check(
        "seconds = 5\n",
        "seconds = 5\nbeat = 0.1\n",
        "x.toml:11: beat is 0.1 s; it must be from 0.3 to 3 s",
    );
}

#[test]
fn the_clock_total_is_the_sum_of_its_steps() {
    let plan = crate::common::plan(
        "title = \"x\"\nminutes = 60\n[[step]]\ntalk = \"Hello\"\nseconds = 90\n[[step]]\ndrill = \"sit-tall\"\n[[step]]\nsip = \"A sip\"\nseconds = 30\n",
    );
    let each: Vec<_> = plan.steps.iter().map(|s| s.planned_ms() / 1000).collect();
    assert_eq!(each, [90, 67, 30], "a drill counts its get-ready, here of 7 s");
    assert_eq!(plan.planned_ms(), 187_000);
}
