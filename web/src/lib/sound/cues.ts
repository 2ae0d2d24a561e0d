// Which sounds come within the next moments, each at its instant on the server's clock. It is pure: it works from
// the moves of the stage and the timeline of its step.

import { text } from "../messages";
import { isRest, stretched } from "../player";
import type { Content, Move, Phase, Span } from "../wire/types";
import type { Cue, Sound } from "./cue";
import type { Pattern } from "./score";
import { sayingMs } from "./voice";

/**
 * The sounds from `fromMs` to `toMs`. `contentOf` gives the content of a step once it is known.
 */
export function cuesBetween(
  moves: readonly Move[],
  contentOf: (move: Move) => Content | null,
  fromMs: number,
  toMs: number,
): Cue[] {
  return moves.flatMap((move, index) => {
    const content = move.running ? contentOf(move) : null;
    if (!content) return [];
    const endsAt = moves[index + 1]?.at ?? Infinity;
    const { spans, total_ms } = stretched(content.timeline, move.stretch);
    const instant = (offsetMs: number): number => move.at + offsetMs - move.offset_ms;
    const cue = (name: string, span: Span | null, offsetMs: number): Cue => ({
      key: `${move.step}.${move.rev}.${move.at}.${name}`,
      at: instant(offsetMs),
      until: Math.min(endsAt, span ? instant(offsetMs + span.len_ms) : Infinity),
      sound: span ? soundOf(span) : { kind: "cue", pattern: "stop" },
      words: span ? wordsOf(content, span) : null,
    });
    const all = spans.map((span, at) => cue(`${at}`, span, span.start_ms));
    const ready = readyCue(content);
    if (ready !== null) {
      const sound: Sound = { kind: "words" };
      const at = instant(-content.timeline.ready_ms);
      all.unshift({
        key: `${move.step}.${move.rev}.${move.at}.ready`,
        at,
        until: Math.min(endsAt, instant(0)),
        sound,
        words: ready,
      });
    }
    if (spans.length > 0) all.push(cue("over", null, total_ms));
    // A span in the middle of which a move begins has already sounded.
    return all.filter(({ at }) => at >= move.at && at < endsAt && at >= fromMs && at < toMs);
  });
}

/** What is said for a span. In a movement, where to go comes first, since people are looking away. */
function wordsOf(content: Content, span: Span): string {
  const side = content.sides[span.side]?.name;
  if (span.phase !== "move" || !side) return span.cue;
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
