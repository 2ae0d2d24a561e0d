import { expect, test } from "vitest";
import type { DraftStep, Look, StepRequest } from "../wire/types";
import { classWords, didOf, notchWords } from "./did";

test("what a group did is said with whatever is known of it, and nothing else", () => {
  const nothing = {
    asked: 8,
    did: 6,
    stopped: 0,
    marked: 0,
    reached: 0,
    effort: null,
    efforts: 0,
    reports: 0,
  };
  const planned = { reps: 5, holds: 0, held_ms: 0 };
  expect(classWords({ ...nothing, day: "2026-11-24", planned })).toMatch(
    /24 Nov.*: 5 repetitions; done 6 of 8$/,
  );
  const all = { asked: 8, did: 5, stopped: 2, marked: 6, reached: 4, effort: 6.5, efforts: 4, reports: 1 };
  const held = { reps: 3, holds: 3, held_ms: 24_000 };
  expect(classWords({ ...all, day: "2026-11-24", planned: held })).toMatch(
    /3 repetitions, 24 s held; done 5 of 8, 4 of 6 reached the target, stopped 2, effort 6\.5 of 10 \(4 said it\), 1 report$/,
  );
});

test("a notch names the part of the dose that changes, and the way", () => {
  const less = { change: { reps: 4, explain_ms: 20_000 }, because: "reported" } as const;
  expect(notchWords(less, { reps: 5, explain_ms: 20_000 })).toBe("One notch less: 4 repetitions");
  const hold = { kind: "open", floor_ms: 5_000, target_ms: 9_000, limit_ms: 15_000 } as const;
  const more = { change: { reps: 5, hold }, because: "went_well" } as const;
  expect(notchWords(more, { reps: 5 })).toBe("One notch more: hold 9 s");
  expect(notchWords({ change: { sets: 2 }, because: "went_well" }, {})).toBe("One notch more: 2 sets");
});

test("an older look says nothing about another drill, and proposes nothing for another dose", () => {
  const what: StepRequest = { kind: "drill", drill: "sit-tall", change: {} };
  const did = [{ day: "2026-11-24" }];
  const proposal = { change: { reps: 6 }, because: "went_well" };
  const step = { part: null, title: null, note: null, what } as DraftStep;
  const look = {
    steps: [{ did, proposal }],
    of: { steps: [step] },
  } as unknown as Look & { of: { steps: DraftStep[] } } as Parameters<typeof didOf>[0];
  expect(didOf(look, 0, what)).toEqual({ did, proposal });
  expect(didOf(look, 0, { ...what, change: { reps: 4 } })).toEqual({ did, proposal: null });
  expect(didOf(look, 0, { kind: "drill", drill: "long-hiss", change: {} })).toBeUndefined();
  expect(didOf(look, 1, what)).toBeUndefined();
  expect(didOf(null, 0, what)).toBeUndefined();
});
