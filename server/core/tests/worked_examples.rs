//! The compiler and the record against published worked examples.
//!
//! Each case names its source. E is the published sum: sides x [sets x (reps x rep + (reps-1) x
//! rest) + (sets-1) x set rest] + (sides-1) x switch, with no trailing rest.

use samebreath_core::drill::dose::{self, DoseChange};
use samebreath_core::drill::{self, Drill};
use samebreath_core::file::Source;
use samebreath_core::library::Library;
use samebreath_core::live::{Actor, Context, DeskCommand, DeskRole, Presence, Recorded, Session};
use samebreath_core::live::{Command, Event};
use samebreath_core::plan::timeline::{self, Timeline};
use samebreath_core::plan::{Plan, Step, Title};
use samebreath_core::record::holds::Held;
use samebreath_core::record::holds::held_in;
use samebreath_core::time::EpochMs;

fn drill_of(text: &str) -> Drill {
    let head = "name = \"x\"\nfamily = \"voice\"\npurpose = \"x\"\npose = \"tall\"\n";
    let source = "[[source]]\nwhat = \"test\"\ntrust = \"judgement\"\n";
    drill::read("x", Source::new("x.toml", &format!("{head}{text}{source}"))).unwrap()
}

fn compile(text: &str) -> Timeline {
    let drill = drill_of(text);
    let timeline = timeline::compile_drill(&drill, &drill.dose, &[]);
    assert_eq!(timeline.total_ms, timeline::total_ms(&drill, &drill.dose), "sum and spans agree");
    let mut at_ms = 0;
    for span in &timeline.spans {
        assert_eq!(span.start_ms, at_ms, "no gaps");
        at_ms = span.end_ms();
    }
    timeline
}

const LONG_HEAD_LIFT: &str =
    "[dose]\nreps = 3\nrest = 60\n[[phase]]\nkind = \"hold\"\ncue = \"Lift\"\nseconds = 60\n";
const JAW_HOLD: &str =
    "[dose]\nreps = 5\nrest = 10\n[[phase]]\nkind = \"hold\"\ncue = \"Open\"\nseconds = 10\n";

/// W1. Three holds of 60 s with 60 s rests, then 30 short lifts: Shaker et al. 1997, Am J Physiol
/// 272:G1518 (dose text seen at fcd.mcw.edu); the 2 s a lift is arithmetic.
#[test]
fn w1_head_lift() {
    let long = compile(LONG_HEAD_LIFT);
    assert_eq!(long.total_ms, 300_000, "no rest after the last hold: 300 s, not 360 s");
    assert_eq!((long.figures().holds, long.figures().held_ms), (3, 180_000));
    let short = compile(
        "[dose]\nreps = 30\n[[phase]]\nkind = \"move\"\ncue = \"Up\"\nseconds = 1\n[[phase]]\nkind = \"move\"\ncue = \"Down\"\nseconds = 1\n",
    );
    assert_eq!((short.total_ms, short.figures().reps), (60_000, 30));
    assert_eq!(long.total_ms + 60_000 + short.total_ms, 420_000, "60 s between the two parts");
    let per_day = 3;
    assert_eq!(long.figures().held_ms * per_day, 540_000);
    assert_eq!(long.figures().held_ms * per_day * 7 * 6, 22_680_000, "six weeks: 6 h 18 min");
}

/// W2c. Five sets of five breaths (Troche et al. 2010, Neurology 75:1912, 5 x 5 from memory), with
/// 15 s between breaths and 60 s between sets: arithmetic.
#[test]
fn w2c_expiratory_strength() {
    let text = "[dose]\nsets = 5\nreps = 5\nrest = 15\nset_rest = 60\n[[phase]]\nkind = \"breathe-in\"\ncue = \"In\"\nseconds = 3\n[[phase]]\nkind = \"breathe-out\"\ncue = \"Blow\"\nseconds = 2\n";
    let timeline = compile(text);
    assert_eq!(timeline.total_ms, 665_000, "11 min 05 s");
    assert_eq!(timeline.figures().reps, 25);
    let first_set = timeline.spans.iter().filter(|s| s.set == 1).map(|s| s.len_ms).sum::<i64>();
    assert_eq!(first_set - 60_000, 85_000, "a set without the rest that follows it");
}

/// W4. Five holds of 10 s with 10 s rests, two sets a day, four weeks: Wada et al. 2012, Arch Phys
/// Med Rehabil 93:1995 (seen at archives-pmr.org).
#[test]
fn w4_jaw_opening_hold() {
    let set = compile(JAW_HOLD);
    assert_eq!(set.total_ms, 90_000, "100 s only with a trailing rest");
    let both = compile(&JAW_HOLD.replace("reps = 5", "reps = 5\nsets = 2\nset_rest = 10"));
    assert_eq!(both.total_ms, 190_000);
    assert_eq!((both.figures().holds, both.figures().held_ms), (10, 100_000));
    assert_eq!(both.figures().held_ms * 28, 2_800_000, "28 days: 46 min 40 s");
}

/// W5. Three sets of 20 with 10 s between sets, twice a day, four weeks: Matsubara et al. 2018, Clin
/// Interv Aging 13:125 (seen at dovepress.com); 2 s each is arithmetic.
#[test]
fn w5_fast_jaw_opening() {
    let timeline = compile(
        "[dose]\nsets = 3\nreps = 20\nset_rest = 10\n[[phase]]\nkind = \"move\"\ncue = \"Open\"\nseconds = 1\n[[phase]]\nkind = \"move\"\ncue = \"Close\"\nseconds = 1\n",
    );
    assert_eq!((timeline.total_ms, timeline.figures().reps), (140_000, 60));
    assert_eq!(timeline.figures().reps * 2 * 28, 3_360);
}

/// W9. 60 s per stretch and side, in 2 to 4 repetitions: ACSM guidelines, 11th ed., table 5.6 (seen
/// at acsm.org, 2021/03/18). Turn and side-bend on both sides are four stretches: 240 s held.
#[test]
fn w9_static_stretch() {
    for (hold, reps) in [(30, 2), (20, 3), (15, 4)] {
        let text = format!(
            "[dose]\nreps = {reps}\n[[side]]\nname = \"Right\"\n[[side]]\nname = \"Left\"\n[[phase]]\nkind = \"hold\"\ncue = \"Turn\"\nseconds = {hold}\n"
        );
        let one = compile(&text).figures();
        assert_eq!(one.held_ms, 2 * 60_000, "{hold} s x {reps}");
        assert_eq!(2 * one.held_ms, 240_000, "turn and side-bend");
    }
}

/// W22. Look over the shoulder: 30 s and 5 s, twice, both sides, 3 s to switch: ACSM as in W9.
#[test]
fn w22_sides() {
    let timeline = compile(
        "[dose]\nreps = 2\nswitch = 3\n[[side]]\nname = \"Right\"\n[[side]]\nname = \"Left\"\n[[phase]]\nkind = \"hold\"\ncue = \"Turn\"\nseconds = 30\n[[phase]]\nkind = \"move\"\ncue = \"Middle\"\nseconds = 5\n",
    );
    assert_eq!((timeline.total_ms, timeline.figures().held_ms), (143_000, 120_000));
}

/// A live class of one drill, driven by hand with no lead and without the get-ready.
struct Class {
    session: Session,
    library: Library,
    presence: Presence,
    now: EpochMs,
}

impl Class {
    fn of(text: &str) -> Self {
        let step = Step::of_drill(&drill_of(text), &Default::default(), Vec::new()).unwrap();
        let plan = Plan {
            title: Title::try_from("x").unwrap(),
            class_ms: 3_600_000,
            steps: vec![step],
            start: None,
            home: Vec::new(),
        };
        let first = Recorded {
            seq: 1,
            at: EpochMs(0),
            by: Actor::Entry,
            cause: None,
            event: Session::begin(plan, crate::common::rules(), None, false),
        };
        let session = Session::from_first(&first).unwrap();
        let mut class =
            Self { session, library: Library::default(), presence: Presence::default(), now: EpochMs(0) };
        class.tell(DeskCommand::Start);
        class.now = class.now.plus(timeline::READY_MS);
        class
    }

    fn tell(&mut self, command: DeskCommand) {
        let by = Actor::Desk(DeskRole::Facilitator);
        let ctx = Context {
            now: self.now,
            lead_time_ms: 0,
            library: &self.library,
            presence: &self.presence,
            pressed: None,
        };
        let events: Vec<Event> = self.session.decide(&ctx, by, &Command::Desk(command)).unwrap();
        for event in events {
            let seq = self.session.seq() + 1;
            self.session.apply(&Recorded { seq, at: self.now, by, cause: None, event });
        }
    }

    fn wait(&mut self, seconds: i64) {
        self.now = self.now.plus(seconds * 1000);
    }

    fn offset_s(&self) -> i64 {
        self.session.position(self.now).unwrap().offset_ms / 1000
    }

    fn held(&self) -> Held {
        held_in(&self.session, self.session.steps()[0].id, self.now)
    }
}

/// W20. W1's long part paused for 37 s during the first rest: every later boundary is 37 s later,
/// the held seconds are the same. Arithmetic.
#[test]
fn w20_pause() {
    let mut class = Class::of(LONG_HEAD_LIFT);
    let start = class.now;
    class.wait(80);
    class.tell(DeskCommand::Pause);
    class.wait(37);
    assert_eq!(class.offset_s(), 80, "standing still in the first rest");
    class.tell(DeskCommand::GoOn);
    class.now = start.plus(337_000);
    assert_eq!(class.offset_s(), 300, "the end is at 337 s");
    assert_eq!(class.held(), Held { reps: 3, held_ms: 180_000, completed: 3, partial: 0 });
}

/// W21. W4's set, the third hold cut at 4 s: 44 s held, 4 complete and 1 partial, which counts its
/// seconds but is not a repetition. Arithmetic.
#[test]
fn w21_cut_short() {
    let mut class = Class::of(JAW_HOLD);
    class.wait(40 + 4);
    class.tell(DeskCommand::CutShort);
    assert_eq!(class.offset_s(), 50, "at the rest that follows");
    class.wait(40);
    assert_eq!(class.offset_s(), 90);
    assert_eq!(class.held(), Held { reps: 4, held_ms: 44_000, completed: 4, partial: 1 });
}

/// The shipped drills in the doses that group leaders use: common practice, no source.
#[test]
fn common_practice_doses() {
    let library = crate::common::library();
    let check = |id: &str, holds: u32, held_s: i64, reps: u32| {
        let drill = library.drill(id).unwrap();
        let figures = timeline::compile_drill(drill, &drill.dose, &[]).figures();
        assert_eq!((figures.holds, figures.held_ms / 1000, figures.reps), (holds, held_s, reps), "{id}");
    };
    check("steady-ah", 4, 4 * 10, 4);
    let ah = library.drill("steady-ah").unwrap();
    assert_eq!(ah.dose.shown, 1, "once shown, then 4 or 5 more");
    let about_20 = DoseChange {
        reps: Some(5),
        hold: Some(dose::Hold::Open { floor_ms: 10_000, target_ms: 20_000, limit_ms: 25_000 }),
        ..DoseChange::default()
    };
    let timeline = timeline::compile_drill(ah, &ah.dose.changed(&about_20).unwrap(), &[]);
    assert_eq!(timeline.figures().held_ms, 5 * 20_000, "whoever leads can still ask for about 20 s");
    // One is shown first: 6 x (3 + 25) s, and 4 rests of 20 s.
    assert_eq!(timeline.total_ms, 6 * 28_000 + 4 * 20_000);
    check("high-ee", 5, 5 * 5, 5);
    check("tongue-hold-swallow", 0, 0, 5);
    check("hold-at-top-swallow", 5, 5 * 3, 5);
    check("neck-five", 5, 5 * 20, 5);
    check("pucker-smile", 2, 2 * 60, 2);
    let pucker = library.drill("pucker-smile").unwrap();
    let spans = timeline::compile_drill(pucker, &pucker.dose, &[]).spans;
    let lengths: Vec<_> = spans.iter().map(|s| (s.phase, s.len_ms / 1000)).collect();
    use samebreath_core::drill::Phase::{ChangeSides, FirmUp, Hold, Sip, Swallow};
    assert_eq!(lengths, [(Hold, 50), (FirmUp, 10), (ChangeSides, 15), (Hold, 50), (FirmUp, 10)]);
    let swallow = library.drill("tongue-hold-swallow").unwrap();
    let spans = timeline::compile_drill(swallow, &swallow.dose, &[]).spans;
    let count = |phase| spans.iter().filter(|s| s.phase == phase).count();
    assert_eq!((count(Swallow), count(Sip)), (5, 0), "dry swallows, without a sip between them");
}

/// The printed totals of the 46 class shapes, as group leaders' tables add them up (arithmetic: phases
/// summed a repetition, rest only between repetitions and sets).
const PRINTED_S: [(&str, i64); 46] = [
    ("sit-tall", 60),
    ("shoulder-rolls", 67),
    ("shoulder-drop", 100),
    ("belly-breath", 60),
    ("narrow-lips", 60),
    ("long-hiss", 75),
    ("count-one-breath", 90),
    ("clearing-cough", 60),
    ("trainer-breaths", 665),
    ("strong-ah", 150),
    ("glide-up", 90),
    ("glide-down", 80),
    ("swell", 85),
    ("straw-hum", 90),
    ("strong-phrases", 120),
    ("question-statement", 72),
    ("move-the-stress", 72),
    ("loudness-ladder", 115),
    ("phrase-breaks", 56),
    ("effortful-swallow", 125),
    ("tongue-hold-swallow", 150),
    ("hold-at-top-swallow", 150),
    ("head-lift-hold", 300),
    ("head-lift-short", 60),
    ("chin-press-hold", 60),
    ("chin-press-repeat", 60),
    ("jaw-open-hold", 100),
    ("jaw-open-fast", 140),
    ("tongue-press", 100),
    ("look-over-shoulder", 143),
    ("ear-to-shoulder", 153),
    ("chin-glide", 80),
    ("nod-down", 80),
    ("lip-seal", 100),
    ("pucker-spread", 90),
    ("cheek-puff", 60),
    ("tongue-corners", 60),
    ("even-syllables", 65),
    ("whole-face", 80),
    ("show-and-say", 72),
    ("word-from-clue", 288),
    ("name-the-kind", 190),
    ("letter-words", 190),
    ("switch-lists", 75),
    ("finish-saying", 96),
    ("odd-one-out", 160),
];

#[test]
fn printed_totals() {
    let library = crate::common::library();
    for (id, seconds) in PRINTED_S {
        let drill = library.drill(id).unwrap();
        // The table has ten phrases; our own dose is eight.
        let reps = (id == "strong-phrases").then_some(10);
        let dose = drill.dose.changed(&DoseChange { reps, ..DoseChange::default() }).unwrap();
        assert_eq!(timeline::compile_drill(drill, &dose, &[]).total_ms, seconds * 1000, "{id}");
    }
    let others: Vec<_> = library
        .drills()
        .map(|drill| drill.id.as_str())
        .filter(|id| PRINTED_S.iter().all(|(printed, _)| printed != id))
        .collect();
    let checked = ["high-ee", "neck-five", "pucker-smile", "steady-ah", "strong-sentences"];
    assert_eq!(others, checked, "each has a check above, or here");
    // No printed dose; arithmetic: 6 x (5 + 2 + 6 + 5) s.
    let ours = library.drill("strong-sentences").unwrap();
    assert_eq!(timeline::compile_drill(ours, &ours.dose, &[]).total_ms, 108_000);
}

#[test]
fn the_shipped_plan_fills_its_hour() {
    let plan = crate::common::shipped_plan();
    assert!(plan.steps.len() >= 14);
    let total_ms = plan.planned_ms();
    assert!((57 * 60_000..=60 * 60_000).contains(&total_ms), "{} s", total_ms / 1000);
}
