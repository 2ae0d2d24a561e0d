//! Folds a ledger into the record of its class.

use std::collections::BTreeMap;

use crate::live::{
    Answer, CareEvent, ClassEvent, ContentKind, DeskRole, Event, Form, LiveStep, Place, Recorded,
    SafetyEvent, Seat, SeatEvent, SeatId, Session, StepId, Whose,
};
use crate::plan::timeline::Figures;
use crate::record::attendance::{There, attendance, within};
use crate::record::class::shape::{
    Asked, Attended, ClassRecord, EffortSaid, PersonRecord, ReportRecord, StepRecord, Stopped,
};
use crate::record::holds::{Held, held_in};
use crate::time::EpochMs;

/// The record of a session; `None` for a ledger that does not begin as one.
#[must_use]
pub fn class_record(ledger: &[Recorded]) -> Option<ClassRecord> {
    let (first, rest) = ledger.split_first()?;
    let mut session = Session::from_first(first)?;
    let mut fold = Fold::default();
    fold.plans(&session);
    for line in rest {
        fold.before(&session, line);
        session.apply(line);
        fold.after(&session, line);
    }
    Some(fold.finish(&session, ledger))
}

const DESKS: [DeskRole; 2] = [DeskRole::Facilitator, DeskRole::Helper];

/// What a step asked of somebody when the class left it.
#[derive(Clone, Copy)]
struct AskedThen {
    form: Form,
    hold_ms: Option<i64>,
    target_ms: Option<i64>,
}

/// What has to be remembered on the way, because the session forgets it.
#[derive(Default)]
struct Fold {
    /// What each step was to take and to be, when the class began or the step came into it.
    planned: BTreeMap<StepId, (i64, Figures)>,
    /// Done in doses that were swapped since.
    done: BTreeMap<StepId, Held>,
    /// What steps asked of everybody who was there when the class left them.
    asked: BTreeMap<SeatId, BTreeMap<StepId, AskedThen>>,
    stops: BTreeMap<SeatId, Vec<Stopped>>,
    /// The drill that each effort question was about; none for one before the first drill.
    efforts: BTreeMap<u32, Option<StepId>>,
    /// How often people were lost in the middle of a swallow or a hold.
    lost: BTreeMap<SeatId, u32>,
    /// The last drill that the class came to.
    drill: Option<StepId>,
}

impl Fold {
    fn plans(&mut self, session: &Session) {
        for live in session.steps() {
            // A sip has a timeline too, but is no drill.
            let figures = live.step.drill().map(|_| live.timeline.figures());
            let planned = (live.step.planned_ms(), figures.unwrap_or_default());
            self.planned.entry(live.id).or_insert(planned);
        }
    }

    fn before(&mut self, session: &Session, line: &Recorded) {
        match &line.event {
            Event::Class(ClassEvent::DoseSwapped { step, .. }) => {
                *self.done.entry(*step).or_default() += held_in(session, *step, line.at);
            }
            Event::Class(ClassEvent::Moved { moves, .. }) => {
                let here = session.present_step().map(|live| live.id);
                if moves.last().map(|m| m.step) != here {
                    self.leave(session);
                }
            }
            Event::Class(ClassEvent::Ended) if !session.has_ended() => self.leave(session),
            // Whoever goes before the class goes on was asked all the same.
            Event::Seat { seat, what: SeatEvent::Left }
            | Event::Care { seat, what: CareEvent::Removed { .. } } => {
                let live = session.present_step().filter(|live| live.step.drill().is_some());
                if let (Some(live), Some(of)) = (live, session.seats().get(seat)) {
                    self.ask(session, (*seat, of), live);
                }
            }
            Event::Care { seat, what: CareEvent::Lost { .. } } => {
                *self.lost.entry(*seat).or_default() += 1;
            }
            // A slip of the finger.
            Event::Safety { seat, what: SafetyEvent::StopUndone } => {
                self.stops.get_mut(seat).and_then(Vec::pop);
            }
            Event::Class(_) | Event::Seat { .. } | Event::Safety { .. } | Event::Care { .. } => {}
        }
    }

    /// The class leaves a step: what it asked of everybody who is there.
    fn leave(&mut self, session: &Session) {
        let Some(live) = session.present_step().filter(|live| live.step.drill().is_some()) else { return };
        let here = session.seats().iter().filter(|(_, seat)| seat.is_here());
        here.for_each(|(id, seat)| self.ask(session, (*id, seat), live));
    }

    /// What the step asks of somebody at the moment.
    fn ask(&mut self, session: &Session, (id, seat): (SeatId, &Seat), live: &LiveStep) {
        if let Some(asks) = session.asks(id, live.id) {
            let said = seat.answers.get(&live.id);
            let rests = said.is_none() && (seat.stopped.is_some() || seat.rest_asked);
            let form = match asks.form {
                // They never said that their mouth was empty, so their screen showed no swallow.
                Form::MouthFirst => Form::Rest,
                _ if rests => Form::Rest,
                form => form,
            };
            let of = self.asked.entry(id).or_default();
            // Where the class came to a step twice, what was asked counts, not the rest.
            if form != Form::Rest || !of.contains_key(&live.id) {
                let mark =
                    live.timeline.spans.iter().filter_map(|span| span.marks).map(|m| m.target_ms).max();
                let target_ms = mark.map(|mark| asks.hold_ms.map_or(mark, |most| most.min(mark)));
                of.insert(live.id, AskedThen { form, hold_ms: asks.hold_ms, target_ms });
            }
        }
    }

    fn after(&mut self, session: &Session, line: &Recorded) {
        if matches!(line.event, Event::Class(ClassEvent::StepInserted { .. })) {
            self.plans(session);
        }
        if let Some(live) = session.present_step().filter(|live| live.step.drill().is_some()) {
            self.drill = Some(live.id);
        }
        for number in u32::try_from(self.efforts.len()).unwrap_or(u32::MAX)..session.efforts_asked() {
            self.efforts.insert(number + 1, self.drill);
        }
        if let Event::Class(ClassEvent::Merged { from, into }) = &line.event {
            self.merge(*from, *into);
        }
        if let Some(seat) = line.event.seat() {
            self.stop(session, seat);
        }
    }

    /// Keeps up with a person who stops, says why, or takes it back. Going on ends a stop and does not unmake it.
    fn stop(&mut self, session: &Session, seat: SeatId) {
        let Some(of) = session.seats().get(&seat) else { return };
        let stops = self.stops.entry(seat).or_default();
        let known = of.stopped.and_then(|now| stops.iter_mut().find(|stop| stop.at == now.since));
        match (of.stopped, known) {
            (Some(now), Some(known)) => known.reason = now.reason,
            (Some(now), None) => stops.push(Stopped {
                at: now.since,
                step: session.present_step().map(|live| live.id),
                reason: now.reason,
                whose: now.whose,
            }),
            (None, _) => {}
        }
    }

    fn finish(self, session: &Session, ledger: &[Recorded]) -> ClassRecord {
        let end = session.ended_at().unwrap_or(session.last_at());
        let span = session.started_at().map(|from| (from, from.max(end)));
        let mut there: BTreeMap<SeatId, Vec<There>> = BTreeMap::new();
        for (seat, stretches) in attendance(ledger) {
            let seat = session.seat_of(seat).map_or(seat, |(stayed, _)| stayed);
            there.entry(seat).or_default().extend(stretches);
        }
        let people: Vec<_> = session
            .seats()
            .iter()
            .filter(|(_, seat)| seat.merged_into.is_none())
            .filter(|(_, seat)| !matches!(seat.place, Place::Asking | Place::TurnedAway))
            .map(|(id, _)| self.person(session, *id, there.remove(id).unwrap_or_default(), span))
            // A guest who left before the start, or somebody whom a desk took out, was not in the class.
            .filter(|one| {
                let of = &session.seats()[&one.seat];
                let was_here =
                    one.attended != Attended::No || !one.stops.is_empty() || of.attendance.is_some();
                let is_missed = of.person.is_some() || of.place == Place::Expected;
                was_here || is_missed && !matches!(of.place, Place::Removed(_))
            })
            .collect();
        let steps = session.steps().iter().map(|live| self.step(session, live.id, &people, end)).collect();
        let reports = session.reports().iter().filter_map(|report| {
            Some(ReportRecord {
                id: report.id,
                seat: report.seat,
                name: session.name_of(report.seat, report.said.whose)?,
                at: report.at,
                said: report.said.clone(),
                strength: session.strength(&report.said),
                step: report.during.map(|(step, _)| step),
                state: report.state,
                handled: report.handled.clone(),
                taken_back: report.taken_back,
            })
        });
        ClassRecord {
            title: session.title().clone(),
            started_at: session.started_at(),
            ended_at: session.ended_at(),
            minutes: span.map_or(0, |(from, to)| minutes(to.since(from))),
            home: session.home().to_vec(),
            led_by: DESKS.into_iter().filter_map(|role| session.name_at(role).cloned()).collect(),
            reports: reports.collect(),
            people,
            steps,
        }
    }

    /// What was kept of a seat that becomes part of another belongs to that one.
    fn merge(&mut self, from: SeatId, into: SeatId) {
        for (step, asked) in self.asked.remove(&from).unwrap_or_default() {
            self.asked.entry(into).or_default().entry(step).or_insert(asked);
        }
        let stops = self.stops.remove(&from).unwrap_or_default();
        let of = self.stops.entry(into).or_default();
        of.extend(stops);
        of.sort_by_key(|stop| stop.at);
        *self.lost.entry(into).or_default() += self.lost.remove(&from).unwrap_or_default();
    }

    fn person(
        &self,
        session: &Session,
        id: SeatId,
        there: Vec<There>,
        span: Option<(EpochMs, EpochMs)>,
    ) -> PersonRecord {
        let seat = &session.seats()[&id];
        let there = span.map(|(from, to)| within(there, from, to)).unwrap_or_default();
        let recorded_ms: i64 = there.iter().map(|one| one.to.since(one.from)).sum();
        let corrected = seat.attendance.clone();
        let minutes_there = corrected.as_ref().map_or(minutes(recorded_ms), |set| set.minutes);
        let attended = match (&corrected, there.is_empty()) {
            (Some(set), _) if set.minutes == 0 => Attended::No,
            (Some(_), true) => Attended::ByHand,
            (None, true) => Attended::No,
            (Some(_) | None, false) if seat.by_phone => Attended::Phone,
            (Some(_) | None, false) => Attended::Screen,
        };
        let (first, last) = (there.first().map(|one| one.from), there.last().map(|one| one.to));
        let whole_ms = first.zip(last).map_or(0, |(first, last)| last.since(first));
        let asked = self.asked.get(&id).into_iter().flatten();
        PersonRecord {
            seat: id,
            person: seat.person,
            name: session.name_of(id, Whose::Own).unwrap_or_else(|| seat.name.clone()),
            partner: seat.check_in.as_ref().and_then(|given| Some(given.partner.as_ref()?.name.clone())),
            attended,
            minutes: minutes_there,
            recorded_minutes: minutes(recorded_ms),
            corrected,
            came_at: first.filter(|first| span.is_some_and(|(from, _)| *first > from)),
            left_at: last.filter(|last| span.is_some_and(|(_, to)| *last < to)),
            away_minutes: minutes(whole_ms - recorded_ms),
            gone_minutes: seat
                .away_since
                .filter(|_| seat.is_here())
                .zip(span)
                .map_or(0, |(since, (from, to))| minutes(to.since(since.max(from)))),
            lost: self.lost.get(&id).copied().unwrap_or_default(),
            cannot_come: seat.comes == Some(false),
            steps: asked
                .map(|(step, then)| {
                    let said = seat.answers.get(step);
                    Asked {
                        step: *step,
                        form: then.form,
                        hold_ms: then.hold_ms,
                        target_ms: then.target_ms,
                        answer: said.map(|said| said.answer),
                        far: said.and_then(|said| said.far),
                    }
                })
                .collect(),
            stops: self.stops.get(&id).cloned().unwrap_or_default(),
            check_in: seat.check_in.clone(),
            practised: seat.practised.clone(),
            to_follow_up: session.follow_ups().iter().any(|one| one.seat == id && one.closed_at.is_none()),
            efforts: seat
                .efforts
                .iter()
                .map(|(number, score)| EffortSaid {
                    step: self.efforts.get(number).copied().flatten(),
                    score: *score,
                })
                .collect(),
        }
    }

    fn step(&self, session: &Session, id: StepId, people: &[PersonRecord], end: EpochMs) -> StepRecord {
        let moves = session.moves();
        let took = moves.iter().enumerate().filter(|(_, m)| m.step == id).map(|(index, m)| {
            let until = moves.get(index + 1).map_or(end, |next| next.at.min(end));
            until.since(m.at).max(0)
        });
        let mut done = self.done.get(&id).copied().unwrap_or_default();
        done += held_in(session, id, end);
        let asked = || people.iter().flat_map(|person| &person.steps).filter(|asked| asked.step == id);
        let count = |is: &dyn Fn(&Asked) -> bool| {
            u32::try_from(asked().filter(|one| is(one)).count()).unwrap_or(u32::MAX)
        };
        let questions: Vec<u32> =
            self.efforts.iter().filter(|(_, step)| **step == Some(id)).map(|(number, _)| *number).collect();
        let mut effort = if questions.is_empty() { Vec::new() } else { vec![0; 11] };
        let counted = session.seats().values().filter(|seat| seat.merged_into.is_none());
        for score in counted.flat_map(|seat| questions.iter().filter_map(|n| seat.efforts.get(n))) {
            if let Some(count) = effort.get_mut(usize::from(*score)) {
                *count += 1;
            }
        }
        let live = session.step(id);
        let (planned_ms, planned) = self.planned.get(&id).copied().unwrap_or_default();
        StepRecord {
            step: id,
            title: live.map(|live| live.step.title.clone()).unwrap_or_else(|| session.title().clone()),
            kind: live.map_or(ContentKind::Talk, |live| ContentKind::of(&live.step.body)),
            drill: live.and_then(|live| Some(live.step.drill()?.id.clone())),
            planned_ms,
            planned,
            done,
            took_ms: took.sum(),
            asked: count(&|one| one.form != Form::Rest),
            did: count(&|one| one.form != Form::Rest && one.answer == Some(Answer::Done)),
            stopped: count(&|one| one.answer == Some(Answer::Stopped)),
            rested: count(&|one| one.form == Form::Rest),
            effort,
        }
    }
}

/// Whole minutes, rounded as one says them.
fn minutes(ms: i64) -> u32 {
    u32::try_from((ms + 30_000) / 60_000).unwrap_or(0)
}
