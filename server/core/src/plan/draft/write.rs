//! Writes a plan's file.

use std::fmt::Write;

use crate::drill::dose::{DoseChange, Hold};
use crate::plan::choice::ItemChoice;
use crate::plan::draft::Draft;
use crate::plan::minutes::Minutes;
use crate::plan::{self, StepRequest};
use crate::time::in_seconds;

impl Draft {
    /// Writes the plan's file. Reading it gives the same draft again, as long as the draft has a step; the same
    /// draft always gives the same bytes.
    #[must_use]
    pub fn write(&self) -> String {
        let mut out = Out::default();
        out.text("title", self.title.as_str());
        out.raw("minutes", self.minutes);
        if let Some(start) = &self.start {
            out.text("start", start.as_str());
        }
        for step in &self.steps {
            out.head("step");
            if let Some(part) = &step.part {
                out.text("part", part.as_str());
            }
            let title = step.title.as_ref().map(|title| title.as_str());
            match &step.what {
                StepRequest::Drill { drill, change, items } => {
                    out.text("drill", drill.as_str());
                    out.some("title", title);
                    out.change(change);
                    if let Some(ItemChoice { set, only, words }) = items.as_deref() {
                        out.some("items", set.as_ref().map(|set| set.as_str()));
                        if !only.is_empty() {
                            out.raw("only", format!("{only:?}"));
                        }
                        if !words.is_empty() {
                            let words: Vec<_> = words.iter().map(|words| words.as_str()).collect();
                            out.raw("words", toml::Value::from(words));
                        }
                    }
                }
                StepRequest::Talk { title, minutes } => {
                    out.text("talk", title.as_str());
                    out.minutes(*minutes);
                }
                StepRequest::CheckIn { title, minutes } => {
                    out.text("check_in", title.as_str());
                    out.minutes(*minutes);
                }
                StepRequest::Sip { seconds } => {
                    out.text("sip", title.unwrap_or(plan::SIP));
                    out.raw("seconds", seconds);
                }
                StepRequest::Effort => out.text("effort", title.unwrap_or(plan::EFFORT)),
                StepRequest::Clues { set, only, minutes } => {
                    out.text("clues", set.as_str());
                    out.some("title", title);
                    if !only.is_empty() {
                        out.raw("only", format!("{only:?}"));
                    }
                    out.minutes(*minutes);
                }
            }
            out.some("note", step.note.as_ref().map(|note| note.as_str()));
        }
        for item in &self.home {
            out.head("home");
            out.text("drill", item.drill.as_str());
            out.change(&item.change);
            out.raw("times_a_day", item.times_a_day);
            out.raw("days_a_week", item.days_a_week);
        }
        out.0
    }
}

#[derive(Default)]
struct Out(String);

impl Out {
    fn head(&mut self, key: &str) {
        // Writing to a String cannot fail.
        let _ = writeln!(self.0, "\n[[{key}]]");
    }

    fn raw(&mut self, key: &str, value: impl std::fmt::Display) {
        let _ = writeln!(self.0, "{key} = {value}");
    }

    fn minutes(&mut self, minutes: Minutes) {
        let (key, value) = minutes.written();
        self.raw(key, value);
    }

    fn text(&mut self, key: &str, text: &str) {
        self.raw(key, toml::Value::from(text));
    }

    fn some(&mut self, key: &str, text: Option<&str>) {
        if let Some(text) = text {
            self.text(key, text);
        }
    }

    fn change(&mut self, change: &DoseChange) {
        for (key, count) in [("sets", change.sets), ("reps", change.reps), ("shown", change.shown)] {
            if let Some(count) = count {
                self.raw(key, count);
            }
        }
        match change.hold {
            None => {}
            Some(Hold::Fixed { ms }) => self.raw("hold", in_seconds(ms)),
            Some(Hold::Open { floor_ms, target_ms, limit_ms }) => {
                let marks = [floor_ms, target_ms, limit_ms].map(in_seconds);
                let [floor, target, limit] = marks;
                self.raw("hold", format!("{{ floor = {floor}, target = {target}, limit = {limit} }}"));
            }
        }
        let pauses = [
            ("rest", change.rest_ms),
            ("set_rest", change.set_rest_ms),
            ("switch", change.switch_ms),
            ("explain", change.explain_ms),
        ];
        let lengths = change.lengths.unwrap_or_default().named().map(|(key, _, ms)| (key, ms));
        for (key, ms) in pauses.into_iter().chain(lengths) {
            if let Some(ms) = ms {
                self.raw(key, in_seconds(ms));
            }
        }
    }
}
