// Which sounds come within the next moments, each at its instant on the server's clock. It is pure: it works from
// the moves of the stage and the timeline of its step.

import { text } from "../messages";
import { isRest, type StepIn } from "../player";
import type { Content, Move, Phase, Span } from "../wire/types";
import type { Cue, Sound } from "./cue";
import type { Pattern } from "./score";
import { sayingMs } from "./voice";

/**
 * The sounds from `fromMs` to `toMs`. `stepIn` gives the content of a move's step once it is known, and its timeline
 * in that move.
 */
export function cuesBetween(
  moves: readonly Move[],
  stepIn: (move: Move) => StepIn | null,
  fromMs: number,
  toMs: number,
): Cue[] {
  return moves.flatMap((move, index) => {
    const step = stepIn(move);
    if (!step) return [];
    const { content, timeline, way } = step;
    const named = `${move.step}.${move.rev}.${move.at}.${way}`;
    const endsAt = moves[index + 1]?.at ?? Infinity;
    if (!move.running) return pauseCue(move, moves[index - 1], endsAt, fromMs, toMs);
    const { spans, total_ms } = timeline;
    const instant = (offsetMs: number): number => move.at + offsetMs - move.offset_ms;
    const begins = (at: number): boolean => at === 0 || TURNS.has(spans[at - 1]?.phase ?? "rest");
    const cue = (name: string, span: Span | null, offsetMs: number, words: string | null): Cue => ({
      key: `${named}.${name}`,
      at: instant(offsetMs),
      until: Math.min(endsAt, span ? instant(offsetMs + span.len_ms) : Infinity),
      sound: span ? soundOf(span) : { kind: "cue", pattern: "stop" },
      words,
    });
    const all = spans.map((span, at) =>
      cue(`${at}`, span, span.start_ms, wordsOf(content, span, begins(at))),
    );
    const ready = readyCue(content);
    if (ready !== null) {
      const sound: Sound = { kind: "words" };
      const at = instant(-content.timeline.ready_ms);
      all.unshift({
        key: `${named}.ready`,
        at,
        until: Math.min(endsAt, instant(0)),
        sound,
        words: ready,
      });
    }
    if (spans.length > 0) all.push(cue("over", null, total_ms, null));
    const beside = (name: string, offsetMs: number, pattern: Pattern, lateMs = BESIDE_MS): Cue => ({
      key: `${named}.${name}`,
      at: instant(offsetMs),
      until: Math.min(endsAt, instant(offsetMs) + lateMs),
      sound: { kind: "cue", pattern },
      words: null,
      beside: true,
    });
    for (const offsetMs of ticks(spans, content.timeline.ready_ms)) {
      all.push(beside(`tick.${offsetMs}`, offsetMs, "tick"));
    }
    for (const { start_ms, len_ms, marks, beat_ms = len_ms } of spans) {
      for (let beat = beat_ms; beat < len_ms; beat += beat_ms) {
        all.push(beside(`beat.${start_ms + beat}`, start_ms + beat, "tick", BEAT_LATE_MS));
      }
      for (const markMs of marks ? [marks.floor_ms, marks.target_ms] : []) {
        // A mark at the very end is the end's own sound.
        if (markMs < len_ms) all.push(beside(`mark.${start_ms + markMs}`, start_ms + markMs, "mark"));
      }
    }
    // A span in the middle of which a move begins has already sounded.
    return all.filter(({ at }) => at >= move.at && at < endsAt && at >= fromMs && at < toMs);
  });
}

/** How long a sound beside another one may still be begun late. */
const BESIDE_MS = 500;
/** A beat that comes later than this would be off the beat. */
const BEAT_LATE_MS = 100;
/** A wait of this length ends with three, two, one. */
const COUNTED_MS = 4_000;

/** When three, two, one sound: before work, at the end of a wait that is long enough to be counted. */
function ticks(spans: readonly Span[], readyMs: number): number[] {
  return spans.flatMap((span, at) => {
    const before = spans[at - 1];
    const waitMs = at === 0 ? readyMs : before && isRest(before) ? before.len_ms : 0;
    if (isRest(span) || waitMs < COUNTED_MS) return [];
    return [3, 2, 1].map((seconds) => span.start_ms - seconds * 1_000);
  });
}

/** The sound of a pause that ends what was running; what has stood still before is silent. */
function pauseCue(move: Move, before: Move | undefined, until: number, fromMs: number, toMs: number): Cue[] {
  const interrupts = before?.running === true && before.step === move.step;
  if (!interrupts || move.at < fromMs || move.at >= toMs) return [];
  const key = `${move.step}.${move.rev}.${move.at}.pause`;
  return [{ key, at: move.at, until, sound: { kind: "cue", pattern: "pause" }, words: text.stage.paused }];
}

/** After these a side begins. */
const TURNS = new Set<Phase>(["change_sides", "watch"]);

/**
 * What is said for a span. In a movement, and where a side begins with a hold, where to go comes first, since people are
 * looking away.
 */
function wordsOf(content: Content, span: Span, begins: boolean): string {
  // The words of a repetition are read out while people read them; while they say them, the cue is said.
  if (span.say !== undefined && span.phase !== "voice" && !isRest(span) && span.phase !== "breathe_in") {
    const words = span.say.replaceAll("*", "");
    if (sayingMs(words) <= span.len_ms) return words;
  }
  const side = content.sides[span.side]?.name;
  if (!side || !(span.phase === "move" || (begins && span.phase === "hold"))) return span.cue;
  const whole = `${side}. ${span.cue}`;
  return sayingMs(whole) <= span.len_ms ? whole : side;
}

/** What is said while people get ready: the rule for stopping, if there is time for it. */
function readyCue(content: Content): string | null {
  const { ready_ms: readyMs } = content.timeline;
  if (content.kind !== "drill" || readyMs <= 0) return null;
  const rule = content.caution ?? "";
  const whole = `${text.stage.getReady}. ${rule}`;
  return [whole, rule].find((words) => words && sayingMs(words) <= readyMs) ?? text.stage.getReady;
}

function soundOf(span: Span): Sound {
  if (span.phase === "breathe_in") return { kind: "breath", seconds: span.len_ms / 1000 };
  return { kind: "cue", pattern: PATTERN_OF[span.phase] ?? (isRest(span) ? "rest" : "start") };
}

const PATTERN_OF: Partial<Record<Phase, Pattern>> = {
  change_sides: "change",
  firm_up: "firmer",
  release: "stop",
  breathe_out: "stop",
};
