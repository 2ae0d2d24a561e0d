// A drill as somebody does it alone: cut at its longer rests into parts, each of which begins when they say so. It is pure.

import { isRest, on, type On } from "../player";
import type { Span, Timeline } from "../wire/types";

/** A rest of this length lasts as long as the person likes; shorter ones go by themselves (an agreed choice). */
export const OPEN_REST_MS = 10_000;
/** After such a rest people get ready for so long: time for three, two, one, and as long as every hold needs. */
export const LEAD_MS = 5_000;

/** What is done in one go. */
export interface Part {
  timeline: Timeline;
  /** When each repetition that ends in this part is over, in milliseconds. */
  repEnds: readonly number[];
}

/** The parts of a drill. A rest at its end is left out, since nothing follows. */
export function partsOf(timeline: Timeline): Part[] {
  const last = timeline.spans.findLastIndex((span) => !isRest(span));
  const spans = timeline.spans.slice(0, last + 1);
  const ends = new Set(spans.filter((span, at) => endsRep(spans, span, at)));
  const parts: Span[][] = [[]];
  for (const span of spans) {
    if (isRest(span) && span.len_ms >= OPEN_REST_MS) parts.push([]);
    else parts.at(-1)!.push(span);
  }
  const full = parts.filter((part) => part.some((span) => !isRest(span)));
  return full.map((part, at) => placed(part, ends, at === 0 ? timeline.ready_ms : LEAD_MS));
}

/** A whole drill as it stands, its rests too: in a home class nothing waits. */
export function wholeOf(timeline: Timeline): Part[] {
  const { spans } = timeline;
  const ends = new Set(spans.filter((span, at) => endsRep(spans, span, at)));
  return [placed(spans, ends, timeline.ready_ms)];
}

const isSameRep = (a: Span, b: Span): boolean => a.rep === b.rep && a.set === b.set && a.side === b.side;

/** Whether a repetition ends with this span: nothing of it follows but rests. */
function endsRep(spans: readonly Span[], span: Span, at: number): boolean {
  if (isRest(span) || span.rep === 0) return false;
  return !spans.slice(at + 1).some((later) => isSameRep(later, span) && !isRest(later));
}

function placed(spans: readonly Span[], ends: ReadonlySet<Span>, ready_ms: number): Part {
  const repEnds: number[] = [];
  let atMs = 0;
  const moved = spans.map((span) => {
    const there = { ...span, start_ms: atMs };
    atMs += span.len_ms;
    if (ends.has(span)) repEnds.push(atMs);
    return there;
  });
  return { timeline: { ready_ms, spans: moved, total_ms: atMs }, repEnds };
}

/** How many repetitions of a part are over at `offsetMs`. */
export function repsDone({ repEnds }: Part, offsetMs: number): number {
  return repEnds.filter((end) => end <= offsetMs).length;
}

/**
 * What is left of a part: from the beginning of the repetition in the middle of which `offsetMs` lies, or, in a rest, from the
 * next one; null when nothing is.
 */
export function fromRep(part: Part, offsetMs: number): Part | null {
  const { spans } = part.timeline;
  const now: On = on(part.timeline, Math.max(0, offsetMs));
  if (now.kind !== "span") return null;
  const first = isRest(now.span)
    ? spans.findIndex((span, at) => at > now.index && !isRest(span))
    : spans.findIndex((span) => isSameRep(span, now.span) && !isRest(span));
  return first < 0 ? null : after(part, first);
}

/** The parts up to the end of the `most`th repetition in them. */
export function atMost(parts: readonly Part[], most: number): Part[] {
  const left: Part[] = [];
  let room = most;
  for (const { timeline, repEnds } of parts) {
    if (room <= 0) break;
    const total_ms = repEnds[room - 1] ?? timeline.total_ms;
    const spans = timeline.spans.filter((span) => span.start_ms < total_ms);
    left.push({ timeline: { ...timeline, spans, total_ms }, repEnds: repEnds.slice(0, room) });
    room -= repEnds.length;
  }
  return left;
}

function after({ timeline, repEnds }: Part, index: number): Part {
  const fromMs = timeline.spans[index]?.start_ms ?? 0;
  const spans = timeline.spans.slice(index).map((span) => ({ ...span, start_ms: span.start_ms - fromMs }));
  return {
    timeline: { ready_ms: LEAD_MS, spans, total_ms: timeline.total_ms - fromMs },
    repEnds: repEnds.filter((end) => end > fromMs).map((end) => end - fromMs),
  };
}

/** Where somebody is in a drill: its side, set and repetition. */
export type Place = Pick<Span, "side" | "set" | "rep">;

/** The parts that are left of a drill, perhaps in another form, from a repetition on; none when that form is over there. */
export function partsFrom(parts: readonly Part[], from: Place): Part[] {
  const isBefore = (span: Span): boolean =>
    span.side !== from.side
      ? span.side < from.side
      : span.set !== from.set
        ? span.set < from.set
        : span.rep < from.rep;
  for (const [at, part] of parts.entries()) {
    const index = part.timeline.spans.findIndex((span) => !isRest(span) && !isBefore(span));
    if (index >= 0) return [after(part, index), ...parts.slice(at + 1)];
  }
  return [];
}
