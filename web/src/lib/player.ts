// Works out what is on now, from the moves of a stage and the content of a step. It is pure: the same moves and
// the same instant give the same picture on every screen.

import type { Content, Move, Phase, Span, Stage, Stretch, Timeline } from "./wire/types";

/** Where the class is. */
export interface Position {
  move: Move;
  /** The position in the step's timeline, in milliseconds; negative while people get ready. */
  offsetMs: number;
  /** Whether the class stands still. */
  paused: boolean;
  /** Milliseconds until it runs again, once that is settled. */
  resumesInMs: number | null;
}

/** The position at an instant of the server's clock; null before the first move. */
export function position(moves: readonly Move[], nowMs: number): Position | null {
  const index = moves.findLastIndex((move) => move.at <= nowMs);
  const move = moves[Math.max(index, 0)];
  if (!move) return null;
  const offsetMs = move.running ? move.offset_ms + Math.max(0, nowMs - move.at) : move.offset_ms;
  const next = moves[index + 1];
  const resumes = !move.running && next?.running === true && next.step === move.step;
  return { move, offsetMs, paused: !move.running, resumesInMs: resumes ? next.at - nowMs : null };
}

/**
 * Whether the class waits in a rest because the facilitator's connection is lost and what they began has run to
 * its end. `counts` says whether a clue's countdown is running.
 */
export function waitsForLead(leadLost: boolean, at: Position, on: On, counts: boolean): boolean {
  return leadLost && !counts && (at.paused || on.kind === "over" || on.kind === "unclocked");
}

/** A timeline with some spans lengthened. */
export function stretched(timeline: Timeline, stretches: readonly Stretch[]): Timeline {
  if (stretches.length === 0) return timeline;
  let atMs = 0;
  const spans = timeline.spans.map((span, index) => {
    const by = stretches.filter((s) => s.span === index).reduce((sum, s) => sum + s.by_ms, 0);
    const longer = { ...span, start_ms: atMs, len_ms: span.len_ms + by };
    atMs += longer.len_ms;
    return longer;
  });
  return { ...timeline, spans, total_ms: atMs };
}

/** What is on now. */
export type On =
  | { kind: "unclocked" }
  | { kind: "ready"; leftMs: number; next: Span; then: Span | null }
  | {
      kind: "span";
      index: number;
      span: Span;
      leftMs: number;
      next: Span | null;
      /** The work right after `next`, if there is no rest between. */
      then: Span | null;
      nextInMs: number;
    }
  | { kind: "over" };

/** A step in a move of the class, as the person on this screen does it. */
export interface StepIn {
  content: Content;
  timeline: Timeline;
  /** Names the person's own way of doing it, so that what was begun in another way begins anew. */
  way: string;
}

/** What is on now, for drawing. It is replaced only when something drawn in words changes. */
export interface Scene extends StepIn {
  at: Position;
  on: On;
  /** The whole seconds left or, in an open hold, held so far; null where nothing is counted. */
  seconds: number | null;
  /** Whole seconds until a pause ends, once that is settled. */
  resumesIn: number | null;
}

/** What is on at `offsetMs` of a step. `next` is the next work to get ready for; `then` is what follows it. */
export function on(timeline: Timeline, offsetMs: number): On {
  const first = timeline.spans[0];
  if (!first) return { kind: "unclocked" };
  if (offsetMs < 0) {
    const [next = first, then] = nextWork(timeline, -1);
    return { kind: "ready", leftMs: -offsetMs, next, then: then ?? null };
  }
  const index = timeline.spans.findIndex((span) => offsetMs < span.start_ms + span.len_ms);
  const span = timeline.spans[index];
  if (!span) return { kind: "over" };
  const [next, then] = nextWork(timeline, index);
  return {
    kind: "span",
    index,
    span,
    leftMs: span.start_ms + span.len_ms - offsetMs,
    next: next ?? null,
    then: then ?? null,
    nextInMs: next ? next.start_ms - offsetMs : Infinity,
  };
}

/** The first span after `index` that asks for something, and the work right after it. */
function nextWork({ spans }: Timeline, index: number): Span[] {
  const first = spans.findIndex((span, at) => at > index && !isRest(span));
  if (first < 0) return [];
  return spans.slice(first, first + 2).filter((span) => !isRest(span));
}

const RESTS = new Set<Phase>(["rest", "sip", "change_sides", "watch"]);

/** Whether a span asks nothing of anybody, as rests, sips and changes of side do, and what is shown first. */
export function isRest(span: Span): boolean {
  return RESTS.has(span.phase);
}

/**
 * When *Done* is asked for, which is said of a whole drill: after its clock has run out and, where the drill has
 * rests, in the rest after the last repetition; never while people use their voice or swallow.
 */
export function asksDone(content: Content, now: On): boolean {
  if (content.kind !== "drill") return false;
  const last = now.kind === "span" && isRest(now.span) && now.next === null;
  return now.kind === "over" || (content.tap === "rests" && last);
}

/** The stage of a screen that plays one step on its own, without a class. */
export function stageAlone(moves: Move[], seq: number): Stage {
  return {
    seq,
    phase: "running",
    moves,
    steps: [],
    number: 1,
    of: 1,
    clue: null,
    effort: null,
    lead_lost: false,
    safety_pause: null,
    before: null,
    after: null,
  };
}

/** The whole seconds left, as a countdown shows them: a span of 20 s starts at 20 and ends at 1. */
export function wholeSeconds(leftMs: number): number {
  return Math.max(0, Math.ceil(leftMs / 1000));
}

/** Whether seconds are counted up: those of a hold for as long as the breath lasts, or of one that people count aloud. */
export function countsUp(now: On): boolean {
  if (now.kind !== "span") return false;
  const { marks, phase, beat_ms } = now.span;
  return marks !== null || (phase === "hold" && beat_ms !== undefined);
}

/** The whole seconds of a scene's clock: held so far where that is what matters, or else left; null without a clock. */
export function clockOf(now: On, offsetMs: number): number | null {
  if (now.kind !== "ready" && now.kind !== "span") return null;
  if (now.kind === "span" && countsUp(now)) return heldSeconds(offsetMs - now.span.start_ms);
  return wholeSeconds(now.leftMs);
}

/** The whole seconds held: a hold begins at 0, and says 10 when ten seconds are held. */
export function heldSeconds(heldMs: number): number {
  return Math.max(0, Math.floor(heldMs / 1000));
}
