import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import * as d from "./draft";
import type { ClueCard, Draft } from "../wire/types";

const talk = (title: string): Draft["steps"][number] => d.newStep({ kind: "talk", title, minutes: 1 });
const DRAFT: Draft = { title: "x", minutes: 60, start: "10:00", steps: ["a", "b", "c"].map(talk), home: [] };
const names = (draft: Draft): string =>
  draft.steps.map((step) => (step.what.kind === "talk" ? step.what.title : "?")).join("");

describe("a draft", () => {
  test("takes, moves and loses steps, and the old one stays as it was", () => {
    expect(names(d.withStep(DRAFT, -1, talk("z")))).toBe("zabc");
    expect(names(d.withStep(DRAFT, 2, talk("z")))).toBe("abcz");
    expect(names(d.withMoved(DRAFT, 0, 2))).toBe("bca");
    expect(names(d.withMoved(DRAFT, 2, 0))).toBe("cab");
    expect(d.withMoved(DRAFT, 0, -1)).toBe(DRAFT);
    expect(d.withMoved(DRAFT, 2, 3)).toBe(DRAFT);
    expect(names(d.withoutStep(DRAFT, 1))).toBe("ac");
    expect(d.withChangedStep(DRAFT, 1, { note: "n" }).steps[1]?.note).toBe("n");
    expect(names(DRAFT)).toBe("abc");
  });

  // Worked example W19: a class of 60 minutes from 10:00:00 (arithmetic).
  test("projects times to the second", () => {
    expect(d.timeOf("10:00", (5 + 5 + 8) * 60_000)).toBe("10:18:00");
    expect(d.timeOf("10:00:00", 43 * 60_000)).toBe("10:43:00");
    expect(d.timeOf("09:59:30", 31_000)).toBe("10:00:01");
    expect(d.timeOf(null, 65_000)).toBe("1:05");
  });

  test("a round for a group has what is left and no other step has", () => {
    const card = { id: "tools", theme: "Tools", game: "clue", clues: 4, levels: [4, 0, 0] } as ClueCard;
    const only = (left: number[] | undefined, draft = DRAFT): number[] => {
      const round = d.roundOf(card, left, draft);
      return round.kind === "clues" ? round.only : [];
    };
    expect(only(undefined), "the whole round").toEqual([]);
    expect(only([1, 2, 3, 4])).toEqual([]);
    expect(only([2, 4])).toEqual([2, 4]);
    const has = (only: number[]): Draft =>
      d.withStep(DRAFT, 0, d.newStep({ kind: "clues", set: "tools", only, minutes: 5 }));
    expect(only([2, 4], has([2]))).toEqual([4]);
    expect(only(undefined, has([1, 2]))).toEqual([3, 4]);
    expect(only([2, 4], has([])), "nothing is left: the whole, with advice").toEqual([]);
  });

  // Written by Rust (`server/wire/tests/rounds.rs`): what the core chooses for a new round.
  test("a new round gets the clues that the core would choose", () => {
    interface Case {
      clues: number;
      left: number[];
      others: number[][];
      only: number[];
    }
    const file = new URL("../../../../server/wire/golden/rounds.json", import.meta.url);
    const cases = JSON.parse(readFileSync(file, "utf8")) as Case[];
    expect(cases.length).toBeGreaterThanOrEqual(6);
    for (const { clues, left, others, only } of cases) {
      const card = { id: "toolbox", clues } as ClueCard;
      const steps = others.map((only) => d.newStep({ kind: "clues", set: "toolbox", only, minutes: 10 }));
      expect(d.roundOf(card, left, { ...DRAFT, steps }), JSON.stringify({ left, others })).toMatchObject({
        only,
      });
    }
  });
});
