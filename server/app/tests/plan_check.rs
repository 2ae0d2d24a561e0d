//! `plan check`, `plan tidy` and an organisation's own library, through the real binary.

use std::path::Path;
use std::process::{Command, Output};

use serde_json::{Value, json};

fn samebreath(args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_samebreath")).args(args).output().unwrap()
}

fn write(folder: &Path, name: &str, text: &str) -> String {
    let path = folder.join(name);
    std::fs::create_dir_all(path.parent().unwrap()).unwrap();
    std::fs::write(&path, text).unwrap();
    path.display().to_string()
}

const HEAD: &str = "title = \"x\"\nminutes = 60\n";

/// Ten plans: five that can be read, and five that are refused in different ways.
#[test]
fn ten_plans_are_checked() {
    let folder = tempfile::tempdir().unwrap();
    let check = |name: &str, steps: &str| {
        let path = write(folder.path(), name, &format!("{HEAD}{steps}"));
        let output = samebreath(&["plan", "check", "--json", &path]);
        (output.status.success(), serde_json::from_slice::<Value>(&output.stdout).unwrap())
    };
    // The clock totals are those of the worked examples, plus the time in which the words on the screen are read while
    // people get ready, at 140 words a minute and 5 s at least: 18, 19, 9 and 30 words.
    let right = [
        ("w1.toml", "[[step]]\ndrill = \"head-lift-hold\"\n", 300.0 + 8.0, 180.0),
        ("w2c.toml", "[[step]]\ndrill = \"trainer-breaths\"\n", 665.0 + 9.0, 0.0),
        ("w5.toml", "[[step]]\ndrill = \"jaw-open-fast\"\n", 140.0 + 5.0, 0.0),
        ("w22.toml", "[[step]]\ndrill = \"look-over-shoulder\"\n", 143.0 + 13.0, 120.0),
        (
            "mixed.toml",
            "[[step]]\npart = \"Begin\"\ntalk = \"a\"\nminutes = 5\n[[step]]\neffort = \"How hard?\"\n[[step]]\nsip = \"A sip\"\nseconds = 30\n[[step]]\nclues = \"kitchen\"\nonly = [1, 2]\nminutes = 4\n[[home]]\ndrill = \"sit-tall\"\n",
            600.0,
            0.0,
        ),
    ];
    for (name, steps, clock_s, held_s) in right {
        let (fine, found) = check(name, steps);
        assert!(fine, "{found}");
        assert_eq!(
            (found["clock_s"].as_f64(), found["held_s"].as_f64()),
            (Some(clock_s), Some(held_s)),
            "{name}"
        );
        assert!(found["advice"].as_array().unwrap().iter().any(|a| a["kind"] == "under_time"), "{found}");
    }
    let wrong = [
        (
            "name.toml",
            "[[step]]\ndrill = \"head-lift-holt\"\n",
            4,
            "there is no drill called `head-lift-holt`; did you mean `head-lift-hold`?",
        ),
        (
            "key.toml",
            "[[step]]\ndrill = \"sit-tall\"\nrepetitions = 3\n",
            5,
            "there is no key in a step called `repetitions`",
        ),
        (
            "dose.toml",
            "[[step]]\ndrill = \"sit-tall\"\nreps = 500\n",
            3,
            "reps is 500; it must be from 1 to 100",
        ),
        ("toml.toml", "[[step]\n", 3, "not TOML: unclosed array table, expected `]`"),
        (
            "clue.toml",
            "[[step]]\nclues = \"kitchen\"\nonly = [13]\nminutes = 5\n",
            5,
            "`kitchen` has no clue 13; its clues are 1 to 12",
        ),
    ];
    for (name, steps, line, error) in wrong {
        let (fine, found) = check(name, steps);
        assert!(!fine, "{name}");
        let file = folder.path().join(name).display().to_string();
        assert_eq!(found, json!({ "file": file, "line": line, "error": error }));
    }
}

#[test]
fn the_plans_to_start_from_need_no_advice() {
    let plans = std::fs::read_dir(concat!(env!("CARGO_MANIFEST_DIR"), "/../plans")).unwrap();
    let paths: Vec<_> = plans.map(|entry| entry.unwrap().path().display().to_string()).collect();
    assert!(paths.len() >= 3);
    for path in paths {
        let found = samebreath(&["plan", "check", "--json", &path]);
        let found: Value = serde_json::from_slice(&found.stdout).unwrap();
        // What people must have with them is said of every plan.
        let advice = found["advice"].as_array().unwrap().iter().filter(|one| one["kind"] != "equipment");
        assert_eq!(advice.count(), 0, "{path}: {}", found["advice"]);
    }
}

#[test]
fn a_tidy_plan_stays_as_it_is() {
    let folder = tempfile::tempdir().unwrap();
    let shipped = concat!(env!("CARGO_MANIFEST_DIR"), "/../plans/tuesday-at-ten.toml");
    let once = samebreath(&["plan", "tidy", shipped]).stdout;
    let path = write(folder.path(), "once.toml", std::str::from_utf8(&once).unwrap());
    assert_eq!(samebreath(&["plan", "tidy", &path]).stdout, once);
    let check = |path: &str| samebreath(&["plan", "check", "--json", path]).stdout;
    assert_eq!(check(shipped), check(&path), "the tidy plan adds up to the same");
}

#[test]
fn an_own_library_adds_and_replaces_and_a_wrong_file_stops_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let drill = "name = \"Own\"\nfamily = \"voice\"\npurpose = \"x\"\npose = \"tall\"\n[dose]\nreps = 2\n[[phase]]\nkind = \"voice\"\ncue = \"Say it.\"\nseconds = 10\n[[source]]\nwhat = \"ours\"\ntrust = \"judgement\"\n";
    write(folder.path(), "own/drills/our-call.toml", drill);
    write(folder.path(), "own/drills/sit-tall.toml", &drill.replace("seconds = 10", "seconds = 30"));
    write(folder.path(), "own/drills/zz-broken.toml", &drill.replace("seconds = 10", "seconds = \"ten\""));
    let plan = write(
        folder.path(),
        "plan.toml",
        &format!(
            "{HEAD}[[step]]\ndrill = \"our-call\"\n[[step]]\ndrill = \"sit-tall\"\n[[step]]\ndrill = \"swell\"\n"
        ),
    );
    let own = folder.path().join("own").display().to_string();
    let output = samebreath(&["plan", "check", "--json", &plan, "--library", &own]);
    let found: Value = serde_json::from_slice(&output.stdout).unwrap();
    let clocks: Vec<_> =
        found["steps"].as_array().unwrap().iter().map(|s| s["clock_s"].as_f64().unwrap()).collect();
    assert_eq!(clocks, [25.0, 65.0, 92.0], "one drill of the organisation's own, one replaced, one built in");
    let said = String::from_utf8(output.stderr).unwrap();
    let file = folder.path().join("own/drills/zz-broken.toml").display().to_string();
    assert_eq!(
        said,
        format!(
            "samebreath: left out: {file}:10: `seconds` is a string; it must be a number of seconds such as 20 or 2.5\n"
        )
    );
    let missing = samebreath(&["plan", "check", &plan, "--library", "no-such-folder"]);
    assert!(!missing.status.success());
    assert!(String::from_utf8(missing.stderr).unwrap().contains("no-such-folder is not a folder"));
}
