// What is on the screens, worked out here and by the server's core from the same stage: the golden cases are written by
// Rust (`server/wire/tests/positions.rs`).

import { readFileSync } from "node:fs";
import { expect, it } from "vitest";
import { isRest, on, position, stretched } from "./player";
import type { Move, Timeline } from "./wire/types";

interface Golden {
  timelines: { step: number; timeline: Timeline; needs_notice: boolean[] }[];
  cases: {
    after: unknown;
    moves: Move[];
    at: {
      now: number;
      step: number;
      offset_ms: number;
      running: boolean;
      span: number | null;
      left_ms: number | null;
      total_ms: number;
    }[];
  }[];
}

const FILE = new URL("../../../server/wire/golden/positions.json", import.meta.url);
const golden = JSON.parse(readFileSync(FILE, "utf8")) as Golden;
const timelineOf = (step: number): Timeline => {
  const found = golden.timelines.find((one) => one.step === step);
  if (!found) throw new Error(`no step ${step}`);
  return found.timeline;
};

it("has cases enough", () => {
  expect(golden.cases.length).toBeGreaterThanOrEqual(12);
  expect(golden.cases.flatMap(({ at }) => at).filter(({ span }) => span !== null).length).toBeGreaterThan(50);
  expect(golden.cases.some(({ moves }) => moves.some(({ stretch }) => stretch.length > 0))).toBe(true);
});

it.each(golden.cases.map((one) => [JSON.stringify(one.after), one] as const))(
  "shows what the core says after %s",
  (_, { moves, at }) => {
    for (const wanted of at) {
      const here = position(moves, wanted.now);
      if (!here) throw new Error("before the first move");
      const timeline = stretched(timelineOf(here.move.step), here.move.stretch);
      const now = on(timeline, here.offsetMs);
      const span = now.kind === "span" ? now : null;
      expect({
        now: wanted.now,
        step: here.move.step,
        offset_ms: here.offsetMs,
        running: !here.paused,
        span: span?.index ?? null,
        left_ms: span?.leftMs ?? null,
        total_ms: timeline.total_ms,
      }).toEqual(wanted);
    }
  },
);

it("announces at least what the core gives notice of", () => {
  for (const { timeline, needs_notice } of golden.timelines)
    timeline.spans.forEach((span, index) => {
      if (needs_notice[index]) expect(isRest(span), `${span.phase} at ${span.start_ms}`).toBe(false);
    });
});
