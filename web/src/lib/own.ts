// A step as one person does it: the form of the drill that was set for them, and a hold of their own, inside the length
// that the class takes. It is pure.

import { text } from "./messages";
import { isRest, stretched } from "./player";
import type { Content, Move, Span, StepForm, Timeline } from "./wire/types";

type Own = Omit<StepForm, "step"> | null;

/** The content with the clock of this person's form; the same object where that is the class's. */
export function inForm(content: Content, own: Own): Content {
  const form = content.forms.find((one) => one.form === own?.form);
  return form ? { ...content, reps: form.reps, timeline: form.timeline } : content;
}

/**
 * The timeline of `own` in a move of the class, whose own timeline is that of `whole`: with the time that was added, from
 * the repetition that begins after a jump on, and with the holds of this person.
 */
export function timelineIn(own: Content, whole: Content, move: Move, holdMs: number | undefined): Timeline {
  const theirs = own === whole ? stretched(whole.timeline, move.stretch) : followed(own, whole, move);
  return holdMs === undefined ? theirs : withHold(theirs, holdMs);
}

function followed(own: Content, whole: Content, move: Move): Timeline {
  const longer = stretchedLike(own.timeline, whole.timeline, move);
  const classes = stretched(whole.timeline, move.stretch);
  return landed(longer, classes, move.offset_ms);
}

/**
 * `own` with the time that the class has added. What is the same phase in the class is as much longer; other work keeps its
 * length, and a rest follows it.
 */
function stretchedLike(own: Timeline, whole: Timeline, { stretch }: Move): Timeline {
  const added = stretch.flatMap(({ span, by_ms }) => {
    const longer = whole.spans[span];
    return longer ? [{ longer, endMs: longer.start_ms + longer.len_ms, by_ms }] : [];
  });
  const spans = own.spans.flatMap((span): Span[] => {
    const endMs = span.start_ms + span.len_ms;
    const within = added.filter((one) => span.start_ms < one.endMs && one.endMs <= endMs);
    const byMs = within.reduce((sum, one) => sum + one.by_ms, 0);
    if (byMs === 0) return [span];
    const isLike = within.every(
      ({ longer }) => longer.phase === span.phase && longer.start_ms === span.start_ms,
    );
    return isLike || isRest(span) ? [{ ...span, len_ms: span.len_ms + byMs }] : [span, restAfter(span, byMs)];
  });
  return placed(own, spans);
}

/**
 * `own` where the class has jumped to `offsetMs`, the beginning of one of its own spans: whoever would be in the middle of
 * something else rests until their next repetition.
 */
function landed(own: Timeline, whole: Timeline, offsetMs: number): Timeline {
  const at = own.spans.findIndex((s) => s.start_ms < offsetMs && offsetMs < s.start_ms + s.len_ms);
  const into = own.spans[at];
  if (!into || isRest(into) || whole.spans.every((span) => span.start_ms !== offsetMs)) return own;
  const isOther = (s: Span): boolean => s.rep !== into.rep || s.set !== into.set || s.side !== into.side;
  const next = own.spans.findIndex((span, index) => index > at && isOther(span));
  const rest = own.spans.slice(next < 0 ? own.spans.length : next);
  const untilMs = rest[0]?.start_ms ?? own.total_ms;
  const before = { ...into, len_ms: offsetMs - into.start_ms };
  return placed(own, [...own.spans.slice(0, at), before, restAfter(into, untilMs - offsetMs), ...rest]);
}

/** Holds of at most `holdMs`. Who has held so long comes back at once, and rests until the class goes on. */
function withHold(timeline: Timeline, holdMs: number): Timeline {
  const spans: Span[] = [];
  let leftMs = holdMs;
  let cutMs = 0;
  for (const [index, span] of timeline.spans.entries()) {
    const next = timeline.spans[index + 1]?.phase;
    if (span.phase === "hold") leftMs = holdMs;
    if (span.phase === "hold" || span.phase === "firm_up") {
      const heldMs = Math.min(span.len_ms, leftMs);
      leftMs -= heldMs;
      cutMs += span.len_ms - heldMs;
      const held = { ...span, len_ms: heldMs, marks: null, held_ms: Math.min(span.held_ms, heldMs) };
      if (heldMs > 0) spans.push(heldMs < span.len_ms ? held : span);
    } else if (span.phase === "rest" && cutMs > 0) {
      spans.push({ ...span, len_ms: span.len_ms + cutMs });
      cutMs = 0;
    } else {
      spans.push(span);
    }
    if (cutMs > 0 && next !== "firm_up" && next !== "release" && next !== "rest") {
      spans.push(restAfter(span, cutMs));
      cutMs = 0;
    }
  }
  return placed(timeline, spans);
}

function restAfter(span: Span, len_ms: number): Span {
  const { start_ms, set, rep, side } = span;
  const cue = `${text.stage.resting}.`;
  return { start_ms, len_ms, phase: "rest", cue, set, rep, side, marks: null, held_ms: 0 };
}

/** The spans one after another; rests that follow one another are one. */
function placed(timeline: Timeline, spans: readonly Span[]): Timeline {
  const all: Span[] = [];
  let atMs = 0;
  for (const span of spans) {
    const before = all.at(-1);
    if (before?.phase === "rest" && span.phase === "rest")
      all[all.length - 1] = { ...before, len_ms: before.len_ms + span.len_ms };
    else all.push({ ...span, start_ms: atMs });
    atMs += span.len_ms;
  }
  return { ...timeline, spans: all, total_ms: atMs };
}
