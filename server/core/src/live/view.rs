//! What each audience sees. Whatever a participant must not know (other people's answers and
//! reports, clues to come, private notes) is left out here and nowhere else.

use crate::live::frames::{
    ClueFrame, Content, ContentKind, DeskClue, DeskFrame, DeskReport, Form, JoinPoint, Mine, MyReport, Pace,
    SheetStep, SideContent, Stage, StagePhase, StepRef,
};
use crate::live::motion::{self, Move};
use crate::live::state::{LiveStep, Seat, Session};
use crate::live::{Counts, Presence, SeatId};
use crate::plan::Body;
use crate::time::EpochMs;

impl Session {
    /// What the class screens and the wall see at `now`.
    #[must_use]
    pub fn stage(&self, now: EpochMs) -> Stage {
        let first = motion::in_force(&self.moves, now).unwrap_or(0);
        let moves: Vec<Move> = self.moves.get(first..).unwrap_or_default().to_vec();
        let present = self.moves.last().and_then(|m| self.steps.iter().position(|s| s.id == m.step));
        let ahead = present.map_or(0..2, |i| i..i + 3);
        let mut steps: Vec<StepRef> = moves.iter().map(|m| StepRef { id: m.step, rev: m.rev }).collect();
        let ahead = self.steps.iter().skip(ahead.start).take(ahead.len());
        steps.extend(ahead.map(|s| StepRef { id: s.id, rev: s.rev }));
        let mut seen = Vec::new();
        steps.retain(|step| {
            !seen.contains(step) && {
                seen.push(*step);
                true
            }
        });
        Stage {
            seq: self.stage_seq,
            phase: self.stage_phase(),
            moves,
            steps,
            number: present.map_or(0, |i| count(i + 1)),
            of: count(self.steps.len()),
            clue: self.clue_frame(),
        }
    }

    fn stage_phase(&self) -> StagePhase {
        match (self.opened_at, self.started_at, self.ended_at) {
            (_, _, Some(_)) => StagePhase::Ended,
            (_, Some(_), None) => StagePhase::Running,
            (Some(_), None, None) => StagePhase::Waiting,
            (None, None, None) => StagePhase::Closed,
        }
    }

    fn clue_frame(&self) -> Option<ClueFrame> {
        let shown = self.clue?;
        let set = self.step(shown.step)?.step.clues()?;
        let words = set.clues.get(shown.number as usize - 1)?;
        Some(ClueFrame {
            number: shown.number,
            of: count(set.clues.len()),
            clue: words.clue.clone(),
            hints: words.hints.iter().take(shown.hints as usize).cloned().collect(),
            answer: shown.answer.then(|| words.answer.clone()),
        })
    }

    /// What the person on `seat` sees besides the stage; `None` for a seat nobody took.
    #[must_use]
    pub fn mine(&self, seat: SeatId) -> Option<Mine> {
        let (id, seat) = self.seat_of(seat)?;
        let present = self.present_step();
        let answered = present.and_then(|step| seat.answers.get(&step.id));
        let own = self.reports.iter().filter(|r| r.seat == id);
        let clue_answered =
            present.and_then(|step| seat.clues.keys().filter(|(s, _)| *s == step.id).map(|(_, n)| *n).max());
        Some(Mine {
            seat: id,
            name: seat.name.clone(),
            checked_in: seat.check_in.is_some(),
            joins: self.join_point(seat),
            step: present.map(|step| step.id),
            answer: answered.map(|a| a.answer),
            far: answered.and_then(|a| a.far),
            form: if present.is_some_and(|step| self.is_not_for(seat, step)) {
                Form::Rest
            } else {
                Form::Full
            },
            stopped: seat.stopped.is_some(),
            reason_given: seat.stopped.is_some_and(|s| s.reason.is_some()),
            rest_asked: seat.rest_asked,
            reports: own.map(|r| MyReport { id: r.id, state: r.state, taken_back: r.taken_back }).collect(),
            message: seat.messages.first().cloned(),
            clue_answered,
            removed: seat.removed.is_some(),
        })
    }

    /// Swallow drills are off for a person until a clinician turns them on.
    pub(super) fn is_not_for(&self, seat: &Seat, step: &LiveStep) -> bool {
        step.step.drill().is_some_and(|drill| drill.family.is_swallow()) && !seat.swallow_cleared
    }

    /// Where somebody who joined in the middle of a span begins to take part.
    fn join_point(&self, seat: &Seat) -> Option<JoinPoint> {
        let position = self.position(seat.joined_at).filter(|p| p.of.at <= seat.joined_at)?;
        let step = self.step(position.of.step)?;
        let timeline = step.timeline.stretched(&position.of.stretch);
        let span = timeline.at(position.offset_ms)?;
        Some(JoinPoint { step: step.id, offset_ms: timeline.spans[span].end_ms() })
    }

    /// What the desks see at `now`.
    #[must_use]
    pub fn desk(&self, now: EpochMs, presence: &Presence) -> DeskFrame {
        let rows = self.roster(now, presence);
        let shown = self.reports.iter().filter(|r| r.is_open() || r.is_unseen());
        DeskFrame {
            seq: self.seq,
            lead: self.lead,
            lead_here: presence.desk_is_here(self.lead),
            counts: Counts::of(&rows),
            rows,
            reports: shown.filter_map(|r| self.desk_report(r)).collect(),
            clue: self.desk_clue(),
            pace: Pace {
                class_ms: self.class_ms,
                started_at: self.started_at,
                step_at: self.entered_at(),
                ended_at: self.ended_at,
            },
            sheet_rev: self.sheet_rev,
        }
    }

    fn entered_at(&self) -> Option<EpochMs> {
        let present = self.moves.last()?.step;
        let since = self.moves.iter().rev().take_while(|m| m.step == present);
        since.last().map(|m| m.at)
    }

    fn desk_report(&self, report: &crate::live::Report) -> Option<DeskReport> {
        let seat = self.seats.get(&report.seat)?;
        let check_in = seat.check_in.as_ref();
        Some(DeskReport {
            id: report.id,
            seat: report.seat,
            name: seat.name.clone(),
            at: report.at,
            place: report.place,
            strength: report.strength,
            urgent: report.urgent,
            words: report.words.clone(),
            during: report.during.map(|(step, _)| step),
            during_ms: report.during.map(|(_, offset_ms)| offset_ms),
            state: report.state,
            taken_back: report.taken_back,
            location: check_in.and_then(|c| c.place.clone()),
            contact: check_in.and_then(|c| c.contact.clone()),
        })
    }

    fn desk_clue(&self) -> Option<DeskClue> {
        let present = self.present_step()?;
        let set = present.step.clues()?;
        let shown = self.clue.filter(|clue| clue.step == present.id);
        let number = shown.map_or(0, |clue| clue.number);
        let words = set.clues.get((number as usize).saturating_sub(1))?;
        let answered = self.seats.values().filter(|s| s.clues.contains_key(&(present.id, number)));
        Some(DeskClue {
            number,
            of: count(set.clues.len()),
            clue: words.clue.clone(),
            hints: words.hints.clone(),
            hints_shown: shown.map_or(0, |clue| clue.hints),
            answer: words.answer.clone(),
            answer_shown: shown.is_some_and(|clue| clue.answer),
            answered: count(answered.count()),
        })
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
            Body::Talk { .. } | Body::CheckIn { .. } | Body::Sip { .. } | Body::Clues { .. } => None,
        };
        SheetStep {
            id: self.id,
            rev: self.rev,
            kind: ContentKind::of(&self.step.body),
            title: self.step.title.clone(),
            note: self.step.note.clone(),
            planned_ms: self.step.planned_ms(),
            dose,
            cautions: drill.map(|d| d.cautions.clone()).unwrap_or_default(),
            clearance: drill.map(|d| d.clearance.clone()).unwrap_or_default(),
            sources: drill.map(|d| d.sources.clone()).unwrap_or_default(),
        }
    }

    /// The words, pictures and timeline for a class screen. Holds no clue and no private note.
    #[must_use]
    pub fn content(&self) -> Content {
        let drill = self.step.drill();
        let (reps, sets) = match &self.step.body {
            Body::Drill { dose, .. } => (dose.reps, dose.sets),
            Body::Talk { .. } | Body::CheckIn { .. } | Body::Sip { .. } | Body::Clues { .. } => (1, 1),
        };
        let sides = drill.map(|d| d.sides.as_slice()).unwrap_or_default();
        Content {
            id: self.id,
            rev: self.rev,
            kind: ContentKind::of(&self.step.body),
            title: self.step.title.clone(),
            purpose: drill.map(|d| d.purpose.clone()),
            caution: drill.and_then(|d| d.cautions.first().cloned()),
            pose: drill.map(|d| d.pose.clone()),
            sides: sides.iter().map(|s| SideContent { name: s.name.clone(), pose: s.pose.clone() }).collect(),
            reps,
            sets,
            eyes_away: drill.is_some_and(|d| d.eyes_away),
            swallow: drill.is_some_and(|d| d.family.is_swallow()),
            timeline: self.timeline.clone(),
        }
    }
}

impl ContentKind {
    fn of(body: &Body) -> Self {
        match body {
            Body::Drill { .. } => Self::Drill,
            Body::Talk { .. } => Self::Talk,
            Body::CheckIn { .. } => Self::CheckIn,
            Body::Sip { .. } => Self::Sip,
            Body::Clues { .. } => Self::Clues,
        }
    }
}

fn count(n: usize) -> u32 {
    u32::try_from(n).unwrap_or(u32::MAX)
}
