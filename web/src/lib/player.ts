// From the moves of a stage and the content of a step to what is on now. Pure: the same moves and
// the same instant give the same picture on every screen.

import type { Content, Move, Span, Stretch, Timeline } from "./wire/types";

/** Where the class is. */
export interface Position {
  move: Move;
  /** Milliseconds of the step's timeline; negative while people get ready. */
  offsetMs: number;
  /** Standing still. */
  paused: boolean;
  /** Milliseconds until it runs again, if that is settled. */
  resumesInMs: number | null;
}

/** The position at a server instant; null before the first move. */
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
 * Whether the class waits in a rest: whoever leads is lost, and what they began has run to its end.
 * `counts`: a clue's counter runs.
 */
export function waitsForLead(leadLost: boolean, at: Position, on: On, counts: boolean): boolean {
  return leadLost && !counts && (at.paused || on.kind === "over" || on.kind === "unclocked");
}

/** A timeline with some spans longer. */
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
      /** The work right after `next`, if no rest is between. */
      then: Span | null;
      nextInMs: number;
    }
  | { kind: "over" };

/** What is on at `offsetMs` of a step. `next` is the next work to get ready for, `then` what follows it. */
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

/** The first span after `index` that asks for something, and the work right behind it. */
function nextWork({ spans }: Timeline, index: number): Span[] {
  const first = spans.findIndex((span, at) => at > index && !isRest(span));
  if (first < 0) return [];
  return spans.slice(first, first + 2).filter((span) => !isRest(span));
}

/** Rests, sips and changes of side ask for nothing. */
export function isRest(span: Span): boolean {
  return span.phase === "rest" || span.phase === "sip" || span.phase === "change_sides";
}

/**
 * *Done* is said of a whole drill: after its clock and, where the drill has rests, in the one behind the last
 * repetition; never while voicing or swallowing.
 */
export function asksDone(content: Content, now: On): boolean {
  if (content.kind !== "drill") return false;
  const last = now.kind === "span" && isRest(now.span) && now.next === null;
  return now.kind === "over" || (content.tap === "rests" && last);
}

/** The whole seconds left, as a countdown shows them: 20 begins a span of 20 s and 1 ends it. */
export function wholeSeconds(leftMs: number): number {
  return Math.max(0, Math.ceil(leftMs / 1000));
}
