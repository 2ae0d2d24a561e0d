//! Golden cases of what is on the screens: the position, the span and what comes, as the core works them out. The web
//! works out the same from the same stage; its tests read this file (`web/src/lib/player.golden.test.ts`).
//! `SAMEBREATH_WRITE=1 cargo test -p samebreath-wire` writes it anew.

use std::path::Path;

use crate::common::{check_file, here};

use samebreath_core::drill;
use samebreath_core::file::Source;
use samebreath_core::library::Library;
use samebreath_core::live::{
    Actor, Command, Context, DeskCommand, DeskRole, Presence, Recorded, Session, StepId,
};
use samebreath_core::people::rules::Rules;
use samebreath_core::plan::draft;
use samebreath_core::time::EpochMs;
use serde_json::{Value, json};

const PLAN: &str = "title = \"Golden\"\nminutes = 60\n\
    [[step]]\ndrill = \"steady-ah\"\nreps = 2\n\
    [[step]]\ndrill = \"ear-to-shoulder\"\n\
    [[step]]\ntalk = \"News\"\nminutes = 2\n\
    [[step]]\nsip = \"A sip\"\nseconds = 20\n";

/// A class that is led, instant by instant.
struct Led {
    session: Session,
    library: Library,
    now: i64,
    cases: Vec<Value>,
}

impl Led {
    fn new() -> Self {
        let mut library = Library::default();
        for id in ["steady-ah", "ear-to-shoulder"] {
            let file = format!("{id}.toml");
            let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../drills").join(&file);
            let text = std::fs::read_to_string(path).unwrap();
            library.add_drill(drill::read(id, Source::new(&file, &text)).unwrap());
        }
        let plan = draft::read_plan(Source::new("plan.toml", PLAN), &library).unwrap();
        let event = Session::begin(plan, Rules::default(), None, false);
        let first = Recorded { seq: 1, at: EpochMs(0), by: Actor::Entry, cause: None, event };
        Self { session: Session::from_first(&first).unwrap(), library, now: 0, cases: Vec::new() }
    }

    /// What a desk does `after_ms` later; then what is on at instants until `for_ms` after that.
    fn does(&mut self, after_ms: i64, command: DeskCommand, for_ms: i64) {
        self.now += after_ms;
        let (now, presence) = (EpochMs(self.now), Presence::since(EpochMs(0)));
        let context =
            Context { now, lead_time_ms: 400, library: &self.library, presence: &presence, pressed: None };
        let by = Actor::Desk(DeskRole::Facilitator);
        let told = serde_json::to_value(&command).unwrap();
        for event in self.session.decide(&context, by, &Command::Desk(command)).unwrap() {
            let seq = self.session.seq() + 1;
            self.session.apply(&Recorded { seq, at: now, by, cause: None, event });
        }
        let stage = self.session.stage(now);
        let many = 12;
        let at: Vec<Value> = (0..=many).map(|i| self.on(self.now + for_ms * i / many)).collect();
        self.cases.push(json!({ "after": told, "moves": stage.moves, "at": at }));
    }

    fn on(&self, now: i64) -> Value {
        let position = self.session.position(EpochMs(now)).unwrap();
        let timeline = self.session.step(position.of.step).unwrap().timeline.stretched(&position.of.stretch);
        let span = timeline.at(position.offset_ms);
        json!({
            "now": now,
            "step": position.of.step,
            "offset_ms": position.offset_ms,
            "running": position.of.running,
            "span": span,
            "left_ms": span.map(|index| timeline.spans[index].end_ms() - position.offset_ms),
            "total_ms": timeline.total_ms,
        })
    }
}

#[test]
fn what_is_on_is_written_down_for_the_web() {
    let mut led = Led::new();
    led.does(1_000, DeskCommand::Start, 40_000);
    led.does(9_000, DeskCommand::MoreTime { seconds: 10 }, 60_000);
    led.does(3_000, DeskCommand::Pause, 5_000);
    led.does(6_000, DeskCommand::GoOn, 70_000);
    led.does(20_000, DeskCommand::AgainRep, 60_000);
    led.does(30_000, DeskCommand::PauseForSafety, 5_000);
    led.does(8_000, DeskCommand::Resume, 90_000);
    led.does(2_000, DeskCommand::Next, 120_000);
    led.does(7_000, DeskCommand::CutShort, 60_000);
    led.does(60_000, DeskCommand::Next, 5_000);
    led.does(5_000, DeskCommand::GoTo { step: StepId(4) }, 40_000);
    led.does(60_000, DeskCommand::Back, 3_000);
    let timelines: Vec<Value> = led
        .session
        .steps()
        .iter()
        .map(|step| {
            let works = step.timeline.spans.iter().map(|span| span.phase.needs_notice());
            json!({ "step": step.id, "timeline": step.timeline, "needs_notice": works.collect::<Vec<_>>() })
        })
        .collect();
    let golden = json!({ "timelines": timelines, "cases": led.cases });
    let text = serde_json::to_string_pretty(&golden).unwrap() + "\n";
    check_file(&here("golden/positions.json"), &text);
}
