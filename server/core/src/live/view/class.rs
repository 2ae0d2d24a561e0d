//! What the class screens and one person see. Whatever a participant must not know (other people's answers and
//! reports, clues to come, private notes) is left out here and nowhere else.

use crate::drill::Family;
use crate::live::ids::SeatId;
use crate::live::motion::{self, Move};
use crate::live::state::report::Report;
use crate::live::state::seat::{Answer, Place, Seat};
use crate::live::state::{LiveStep, Session};
use crate::live::view::class_frames::{
    After, Before, ClueFrame, Content, ContentKind, Counter, JoinPoint, Mine, MyClue, MyMessage, MyReport,
    SheetStep, SideContent, Stage, StagePhase, StepRef,
};
use crate::plan::{Body, ForHome, Title};
use crate::text::LanguageTag;
use crate::time::EpochMs;

/// How many of a person's reports that are over are still shown to them.
const OVER_SHOWN: usize = 3;
/// How many of the reports that were added to another are named: the newest, which a page may still be waiting
/// for.
const ALSO_SHOWN: usize = 8;

impl Session {
    /// What the class screens and the wall see at `now`.
    #[must_use]
    pub fn stage(&self, now: EpochMs) -> Stage {
        let first = motion::in_force(&self.moves, now).unwrap_or(0);
        let moves: Vec<Move> = self.moves.get(first..).unwrap_or_default().to_vec();
        let present = self.moves.last().and_then(|m| self.steps.iter().position(|s| s.id == m.step));
        Stage {
            seq: self.stage_seq,
            phase: self.stage_phase(),
            moves,
            steps: self.named_steps(now),
            number: present.map_or(0, |i| count(i + 1)),
            of: count(self.steps.len()),
            clue: self.clue_frame(None),
            effort: self.effort,
            lead_lost: self.lead_lost && self.ended_at.is_none(),
            safety_pause: self.safety_pause.filter(|_| self.ended_at.is_none()),
            before: self.before(),
            after: self.ended_at.map(|_| self.after()),
        }
    }

    /// What is shown before the class has begun.
    pub(in crate::live) fn before(&self) -> Option<Before> {
        let is_before = self.started_at.is_none() && self.ended_at.is_none();
        let is_in = |place: &Place| *place == Place::In;
        is_before.then(|| Before { starts: self.starts, here: in_tens(self.people(is_in)) })
    }

    fn after(&self) -> After {
        let seen = |step: &&LiveStep| self.moves.iter().any(|m| m.step == step.id);
        let mut families: Vec<Family> = Vec::new();
        for drill in self.steps.iter().filter(seen).filter_map(|step| step.step.drill()) {
            if !families.contains(&drill.family) {
                families.push(drill.family);
            }
        }
        let for_all = |of: &&ForHome| {
            of.drill
                .as_ref()
                .is_some_and(|drill| !drill.family.is_swallow() && !drill.family.needs_clearing())
        };
        let home = self.home.iter().filter(for_all).cloned().collect();
        let clues = self.clues_shown.values().sum();
        let took_part = |place: &Place| matches!(place, Place::In | Place::Left);
        After { here: self.people(took_part), families, clues, home }
    }

    /// How many people there are at such a place; two on one device count once.
    fn people(&self, at: impl Fn(&Place) -> bool) -> u32 {
        let counts = |seat: &&Seat| at(&seat.place) && seat.merged_into.is_none();
        count(self.seats.values().filter(counts).count())
    }

    /// The languages into which the clue on the screens has been translated.
    pub fn clue_languages(&self) -> impl Iterator<Item = &LanguageTag> {
        let set = self.clue.and_then(|shown| self.step(shown.step)?.step.clues());
        set.into_iter().flat_map(|set| set.also.iter().map(|other| &other.language))
    }

    /// Like [`Session::stage`], with the clue in `language` where it has been translated.
    #[must_use]
    pub fn stage_in(&self, language: &LanguageTag, now: EpochMs) -> Stage {
        Stage { clue: self.clue_frame(Some(language)), ..self.stage(now) }
    }

    /// The steps whose content may be fetched: those of the moves in force and to come, and the next two.
    fn named_steps(&self, now: EpochMs) -> Vec<StepRef> {
        let first = motion::in_force(&self.moves, now).unwrap_or(0);
        let moves = self.moves.get(first..).unwrap_or_default();
        let present = self.moves.last().and_then(|m| self.steps.iter().position(|s| s.id == m.step));
        let (from, many) = present.map_or((0, 2), |i| (i, 3));
        let ahead = self.steps.iter().skip(from).take(many).map(|s| StepRef { id: s.id, rev: s.rev });
        let mut steps: Vec<StepRef> = Vec::new();
        for step in moves.iter().map(|m| StepRef { id: m.step, rev: m.rev }).chain(ahead) {
            if !steps.contains(&step) {
                steps.push(step);
            }
        }
        steps
    }

    fn stage_phase(&self) -> StagePhase {
        match (self.opened_at, self.started_at, self.ended_at) {
            (_, _, Some(_)) => StagePhase::Ended,
            (_, Some(_), None) => StagePhase::Running,
            (Some(_), None, None) => StagePhase::Waiting,
            (None, None, None) => StagePhase::Closed,
        }
    }

    fn clue_frame(&self, language: Option<&LanguageTag>) -> Option<ClueFrame> {
        let shown = self.clue?;
        let set = self.step(shown.step)?.step.clues()?;
        let at = shown.number as usize - 1;
        let said = set.in_language(language);
        let (own, words) = (set.clues.get(at)?, said.clues.get(at)?);
        let hints = words.hints_at(shown.hints as usize, own.hints.len());
        let letters = words.letters_known(hints, &said.language).filter(|_| !shown.answer);
        Some(ClueFrame {
            number: shown.number,
            of: count(set.clues.len()),
            clue: words.clue.clone(),
            hints: hints.to_vec(),
            letters,
            answer: shown.answer.then(|| words.answer.clone()),
            because: words.because.clone().filter(|_| shown.answer),
            game: set.game,
            from: shown.from,
            counter: set.counter_ms.map(|length_ms| Counter { from: shown.since, length_ms }),
        })
    }

    /// What the person on `seat` sees besides the stage; `None` for a seat that does not exist, or whose person is
    /// not in the class.
    #[must_use]
    pub fn mine(&self, seat: SeatId, now: EpochMs) -> Option<Mine> {
        let (id, seat) = self.seat_of(seat)?;
        if !matches!(seat.place, Place::In | Place::Left) {
            return None;
        }
        let present = self.present_step();
        let answered = present.and_then(|step| seat.answers.get(&step.id));
        let clue = present.and_then(|step| {
            let ((_, number), said) = seat.clues.range((step.id, 0)..=(step.id, u32::MAX)).next_back()?;
            Some(MyClue { number: *number, word: said.verdict })
        });
        let mut over = 0;
        let recent = self.reports.iter().rev().filter(|r| r.seat == id).filter(|r| {
            over += usize::from(!r.is_open());
            r.is_open() || over <= OVER_SHOWN
        });
        let mut own: Vec<MyReport> = recent.map(my_report).collect();
        own.reverse();
        let steps = self.named_steps(now).into_iter().filter_map(|of| self.step(of.id));
        let unread = seat.messages.iter().find(|m| m.read_at.is_none());
        let done = seat.answers.values().filter(|answered| answered.answer == Answer::Done);
        let did = u32::try_from(done.count()).unwrap_or(u32::MAX);
        Some(Mine {
            seat: id,
            name: seat.name.clone(),
            partner: seat.check_in.as_ref().and_then(|c| c.partner.as_ref()).map(|p| p.name.clone()),
            checked_in: seat.check_in.is_some(),
            joins: self.join_point(seat),
            step: present.map(|step| step.id),
            answer: answered.map(|a| a.answer),
            far: answered.and_then(|a| a.far),
            did,
            forms: steps.map(|step| self.step_form(seat, step)).collect(),
            stopped: seat.stopped.is_some(),
            reason_given: seat.stopped.is_some_and(|s| s.reason.is_some()),
            rest_asked: seat.rest_asked,
            reports: own,
            message: unread.map(|m| MyMessage { id: m.id, text: m.text.clone(), from: m.by }),
            clue,
            mouth_empty: seat.mouth_empty,
            effort_said: seat.efforts.keys().next_back().copied(),
            home: if self.ended_at.is_some() { self.home_of(seat) } else { Vec::new() },
        })
    }

    /// Where a person who joined in the middle of a span begins to take part.
    fn join_point(&self, seat: &Seat) -> Option<JoinPoint> {
        let position = self.position(seat.joined_at).filter(|p| p.of.at <= seat.joined_at)?;
        // A person who has seen another step since they joined is no latecomer any more.
        if self.moves.iter().any(|m| m.at > seat.joined_at && m.step != position.of.step) {
            return None;
        }
        let step = self.step(position.of.step)?;
        let timeline = step.timeline.stretched(&position.of.stretch);
        let span = timeline.at(position.offset_ms)?;
        Some(JoinPoint { step: step.id, offset_ms: timeline.spans[span].end_ms() })
    }

    /// The run sheet.
    #[must_use]
    pub fn sheet(&self) -> Vec<SheetStep> {
        self.steps.iter().map(LiveStep::sheet).collect()
    }
}

impl LiveStep {
    fn sheet(&self) -> SheetStep {
        let drill = self.step.drill();
        let dose = match &self.step.body {
            Body::Drill { dose, .. } => Some(*dose),
            Body::Talk { .. }
            | Body::CheckIn { .. }
            | Body::Sip { .. }
            | Body::Effort { .. }
            | Body::Clues { .. } => None,
        };
        SheetStep {
            id: self.id,
            rev: self.rev,
            kind: ContentKind::of(&self.step.body),
            family: drill.map(|d| d.family),
            inserted: self.inserted,
            title: self.step.title.clone(),
            note: self.step.note.clone(),
            planned_ms: self.step.planned_ms(),
            dose,
            cautions: drill.map(|d| d.cautions.clone()).unwrap_or_default(),
            clearance: drill.map(|d| d.clearance.clone()).unwrap_or_default(),
            sources: drill.map(|d| d.sources.clone()).unwrap_or_default(),
            evidence: drill.and_then(|d| d.evidence.clone()),
            harder: drill.and_then(|d| Some(d.harder.as_ref()?.what.clone())),
        }
    }

    /// The words, pictures and timeline for a class screen, with a clue round's title translated where it can be,
    /// unless the plan gives the step its own title. Clues and private notes are left out.
    #[must_use]
    pub fn content_in(&self, language: Option<&LanguageTag>) -> Content {
        let set = self.step.clues().filter(|set| set.theme.as_str() == self.step.title.as_str());
        let theme = set.and_then(|set| Title::try_from(set.in_language(language).theme.as_str()).ok());
        let content = self.content();
        Content { title: theme.unwrap_or_else(|| content.title.clone()), ..content }
    }

    /// The same in the plan's own language.
    #[must_use]
    pub fn content(&self) -> Content {
        let drill = self.step.drill();
        let (reps, sets) = match &self.step.body {
            Body::Drill { dose, .. } => (dose.reps, dose.sets),
            Body::Talk { .. }
            | Body::CheckIn { .. }
            | Body::Sip { .. }
            | Body::Effort { .. }
            | Body::Clues { .. } => (1, 1),
        };
        let sides = drill.map(|d| d.sides.as_slice()).unwrap_or_default();
        Content {
            id: self.id,
            rev: self.rev,
            kind: ContentKind::of(&self.step.body),
            title: self.step.title.clone(),
            purpose: drill.map(|d| d.purpose.clone()),
            caution: drill.and_then(|d| d.cautions.first().cloned()),
            easier: drill.and_then(|d| Some(d.easier.as_ref()?.what.clone())),
            forms: self.forms(),
            pose: drill.map(|d| d.pose.clone()),
            sides: sides.iter().map(|s| SideContent { name: s.name.clone(), pose: s.pose.clone() }).collect(),
            reps,
            sets,
            eyes_away: drill.is_some_and(|d| d.eyes_away),
            tap: drill.map(|d| d.tap).unwrap_or_default(),
            swallow: drill.is_some_and(|d| d.family.is_swallow()),
            timeline: self.timeline.clone(),
        }
    }
}

impl ContentKind {
    pub(crate) fn of(body: &Body) -> Self {
        match body {
            Body::Drill { .. } => Self::Drill,
            Body::Talk { .. } => Self::Talk,
            Body::CheckIn { .. } => Self::CheckIn,
            Body::Sip { .. } => Self::Sip,
            Body::Effort { .. } => Self::Effort,
            Body::Clues { .. } => Self::Clues,
        }
    }
}

fn my_report(report: &Report) -> MyReport {
    let seen_by = report.seen_by();
    let last = report.handled.last().filter(|_| seen_by.is_some());
    MyReport {
        id: report.id,
        also: report.also.iter().rev().take(ALSO_SHOWN).copied().collect(),
        at: report.at,
        said: report.said.clone(),
        state: report.state,
        seen_by,
        seen_by_name: last.and_then(|handled| handled.name.clone()),
        over: !report.is_open(),
    }
}

pub(in crate::live) fn count(n: usize) -> u32 {
    u32::try_from(n).unwrap_or(u32::MAX)
}

/// Exactly up to 20, then the full tens.
fn in_tens(people: u32) -> u32 {
    if people < 20 { people } else { people / 10 * 10 }
}
