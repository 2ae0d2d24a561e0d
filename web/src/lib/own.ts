// A step as one person does it: the form of the drill that was set for them, and a hold of their own, inside the length
// that the class takes. It is pure.

import { text } from "./messages";
import { stretched } from "./player";
import type { Content, Span, StepForm, Stretch, Timeline } from "./wire/types";

/** The content with the clock of this person's form; the same object where that is the class's. */
export function inForm(content: Content, own: Omit<StepForm, "step"> | null): Content {
  const form = content.forms.find((one) => one.form === own?.form);
  const { timeline, reps } = form ?? content;
  const held = own?.hold_ms === undefined ? timeline : withHold(timeline, own.hold_ms);
  return held === content.timeline ? content : { ...content, reps, timeline: held };
}

/** Holds of at most `holdMs`; what is left of each is a rest, and so is its firmer end. */
function withHold(timeline: Timeline, holdMs: number): Timeline {
  let held = 0;
  const spans = timeline.spans.flatMap((span): Span[] => {
    const isEnd = span.phase === "firm_up";
    if (span.phase !== "hold" && !isEnd) return [span];
    const leftMs = isEnd ? Math.max(0, holdMs - held) : holdMs;
    held = isEnd ? 0 : Math.min(span.len_ms, holdMs);
    if (span.len_ms <= leftMs) return [span];
    const hold: Span = { ...span, len_ms: leftMs, marks: null, held_ms: Math.min(span.held_ms, leftMs) };
    const { say: _, tune: __, ...place } = span;
    const rest: Span = { ...place, phase: "rest", cue: `${text.stage.resting}.`, marks: null, held_ms: 0 };
    rest.start_ms += leftMs;
    rest.len_ms -= leftMs;
    return leftMs > 0 ? [hold, rest] : [rest];
  });
  return { ...timeline, spans: joined(spans) };
}

/** Rests that follow one another are one. */
function joined(spans: readonly Span[]): Span[] {
  const all: Span[] = [];
  for (const span of spans) {
    const before = all.at(-1);
    if (before?.phase !== "rest" || span.phase !== "rest") all.push(span);
    else all[all.length - 1] = { ...before, len_ms: before.len_ms + span.len_ms };
  }
  return all;
}

/**
 * The timeline of `own` where the class has lengthened or shortened some spans of its own, `whole`: what ends where such
 * a span ends, or goes on across its end, becomes as much longer or shorter.
 */
export function stretchedIn(own: Content, whole: Content, stretches: readonly Stretch[]): Timeline {
  if (own.timeline === whole.timeline || stretches.length === 0) return stretched(own.timeline, stretches);
  const changes = stretches.flatMap(({ span, by_ms }) => {
    const changed = whole.timeline.spans[span];
    return changed ? [{ endMs: changed.start_ms + changed.len_ms, byMs: by_ms }] : [];
  });
  /** Where an instant of the unchanged timeline comes to lie; one in a part that was cut off lies where it was cut. */
  const moved = (ms: number): number => {
    let shift = 0;
    for (const { endMs, byMs } of changes) {
      if (ms >= endMs) shift += byMs;
      else if (ms > endMs + byMs) shift += endMs + byMs - ms;
    }
    return ms + shift;
  };
  const spans = own.timeline.spans.map((span) => {
    const startMs = moved(span.start_ms);
    return { ...span, start_ms: startMs, len_ms: moved(span.start_ms + span.len_ms) - startMs };
  });
  return { ...own.timeline, spans, total_ms: moved(own.timeline.total_ms) };
}
