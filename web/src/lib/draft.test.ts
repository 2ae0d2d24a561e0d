import { describe, expect, test } from "vitest";
import * as d from "./draft";
import type { Draft } from "./wire/types";

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

  test("shows where two editors differ", () => {
    expect(d.differences(DRAFT, DRAFT)).toEqual([]);
    const rows = d.differences(DRAFT, d.withoutStep(DRAFT, 2));
    expect(rows.map((row) => [row.at, row.theirs])).toEqual([[2, ""]]);
  });
});
