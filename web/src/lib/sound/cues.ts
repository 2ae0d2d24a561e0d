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
  sound: Sound;
  /** The words of the cue, for a voice; nothing where nothing new is asked. */
  words: string | null;
  /** How long these words hold, in milliseconds. */
  lengthMs: number;
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
      sound: span ? soundOf(span, spans) : { kind: "cue", pattern: "stop" },
      words: span?.cue ?? null,
      lengthMs: span?.len_ms ?? 0,
    });
    const all = spans.map((span, at) => cue(`${at}`, span, span.start_ms));
    if (spans.length > 0) all.push(cue("over", null, total_ms));
    // What a move begins in the middle of has sounded already.
    return all.filter(({ at }) => at >= move.at && at < endsAt && at >= fromMs && at < toMs);
  });
}

function soundOf(span: Span, spans: readonly Span[]): Sound {
  if (span.phase === "breathe_in") return { kind: "breath", seconds: span.len_ms / 1000 };
  return { kind: "cue", pattern: patternOf(span, spans) };
}

const PATTERN_OF: Partial<Record<Phase, Pattern>> = {
  change_sides: "change",
  firm_up: "firmer",
  release: "stop",
  breathe_out: "stop",
};

function patternOf(span: Span, spans: readonly Span[]): Pattern {
  if (PATTERN_OF[span.phase]) return PATTERN_OF[span.phase]!;
  if (isRest(span)) return spans.indexOf(span) === 0 ? "start" : "rest";
  return "start";
}
