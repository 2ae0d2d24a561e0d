//! A step's content in another language.

use crate::language::Language;
use crate::live::view::class_frames::{Content, SideContent};
use crate::live::view::form::FormContent;
use crate::plan::timeline::{Span, Timeline};

impl Content {
    /// The same content in `language`.
    #[must_use]
    pub fn said_in(self, language: &Language) -> Self {
        let side = |side: SideContent| SideContent {
            name: side.name.as_ref().map(|name| language.say(name)),
            ..side
        };
        let span = |span: Span| Span {
            cue: language.say(&span.cue),
            say: span.say.as_ref().map(|words| language.say(words)),
            ..span
        };
        let timeline = |timeline: Timeline| Timeline {
            spans: timeline.spans.into_iter().map(span).collect(),
            ..timeline
        };
        let form = |form: FormContent| FormContent { timeline: timeline(form.timeline), ..form };
        Self {
            title: language.say(&self.title),
            purpose: self.purpose.as_ref().map(|line| language.say(line)),
            caution: self.caution.as_ref().map(|line| language.say(line)),
            easier: self.easier.as_ref().map(|line| language.say(line)),
            sides: self.sides.into_iter().map(side).collect(),
            forms: self.forms.into_iter().map(form).collect(),
            timeline: timeline(self.timeline),
            ..self
        }
    }
}
