// Which sounds come within the next moments, each at its instant on the server's clock. Pure: from the
// moves of the stage and the timeline of its step.

import { isRest, stretched } from "../player";
import type { Content, Move, Phase, Span } from "../wire/types";
import type { Pattern } from "./score";

export type Sound = { kind: "cue"; pattern: Pattern } | { kind: "breath"; seconds: number };

export interface Cue {
  /** The same for the same sound, however often it is asked for. */
  key: string;
  /** When it begins, in milliseconds of the server's clock. */
  at: number;
  /** When what it asks for ends, also because the class takes another turn; same clock. */
  until: number;
  sound: Sound;
  /** The words of the cue, for a voice; nothing after the end. */
  words: string | null;
}

/**
 * The sounds from `fromMs` up to `toMs`. `contentOf` gives the content of a step, once it is known.
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
      words: span?.cue ?? null,
    });
    const all = spans.map((span, at) => cue(`${at}`, span, span.start_ms));
    if (spans.length > 0) all.push(cue("over", null, total_ms));
    // What a move begins in the middle of has sounded already.
    return all.filter(({ at }) => at >= move.at && at < endsAt && at >= fromMs && at < toMs);
  });
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
