import { expect, test } from "vitest";
import * as r from "./round";
import type { WrittenRound } from "../wire/types";

const ROUND: WrittenRound = { theme: "a", game: "clue", language: "en", counter_ms: null, clues: [] };

test("clues are added at the end, changed and taken out, and the round before stays as it was", () => {
  const two = r.withChangedClue(r.withClue(r.withClue(ROUND)), 1, { answer: "buoy" });
  expect(two.clues.map(({ answer }) => answer)).toEqual(["", "buoy"]);
  expect(r.withoutClue(two, 0).clues.map(({ answer }) => answer)).toEqual(["buoy"]);
  expect([ROUND.clues.length, two.clues.length, r.EMPTY_CLUE.answer]).toEqual([0, 2, ""]);
});

test("a list with commas is read as it was meant", () => {
  expect(r.listed(" claw  hammer, mallet,,  ")).toEqual(["claw hammer", "mallet"]);
  expect(r.listed("")).toEqual([]);
  expect(r.lines("It rings.\n\n  Ships hear it.\n")).toEqual(["It rings.", "Ships hear it."]);
});

test("what is missing from a clue is found by its place", () => {
  const look = { unfinished: [{ clue: 2, what: { kind: "no_answer" as const } }], hints: [], heard: [] };
  expect([r.flawOf(look, 0), r.flawOf(look, 1), r.flawOf(null, 1)]).toEqual([
    null,
    { kind: "no_answer" },
    null,
  ]);
});
