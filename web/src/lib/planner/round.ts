// Edits to a round of the word game. They are pure.

import type { Flaw, RoundLook, WrittenClue, WrittenRound } from "../wire/types";

export const EMPTY_CLUE: WrittenClue = {
  clue: "",
  answer: "",
  accept: [],
  other: "",
  more: "",
  starts: "",
  because: "",
  hints: [],
  level: null,
  source: "",
};

export function withClue(round: WrittenRound): WrittenRound {
  return { ...round, clues: [...round.clues, EMPTY_CLUE] };
}

export function withChangedClue(round: WrittenRound, at: number, change: Partial<WrittenClue>): WrittenRound {
  return { ...round, clues: round.clues.map((clue, i) => (i === at ? { ...clue, ...change } : clue)) };
}

export function withoutClue(round: WrittenRound, at: number): WrittenRound {
  return { ...round, clues: round.clues.filter((_, i) => i !== at) };
}

/** The words of a list that is written with commas. */
export function listed(text: string): string[] {
  return text.split(",").flatMap((word) => word.replace(/\s+/g, " ").trim() || []);
}

/** The lines of a text that have words. */
export function lines(text: string): string[] {
  return text.split("\n").flatMap((line) => line.trim() || []);
}

/** What is missing from the clue at this place, or wrong in it. */
export function flawOf(look: RoundLook | null, at: number): Flaw | null {
  return look?.unfinished.find(({ clue }) => clue === at + 1)?.what ?? null;
}
