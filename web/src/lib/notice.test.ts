import { expect, test } from "vitest";
import { notice } from "./notice";
import type { On } from "./player";
import type { Content, Span } from "./wire/types";

const content = { sides: [{ name: "Left" }, { name: "Right" }] } as unknown as Content;
const span = (phase: Span["phase"], cue: string, len_ms = 10_000, side = 0) =>
  ({ phase, cue, len_ms, side }) as unknown as Span;
const inSpan = (now: Span, next: Span | null, nextInMs: number, then: Span | null = null) =>
  ({ kind: "span", index: 0, span: now, leftMs: nextInMs, next, then, nextInMs }) as unknown as On;

const hold = span("hold", "Hold.");
const rest = span("rest", "Rest. Breathe easy.");

test("every hold is named at least four seconds ahead, and nothing moves in one before", () => {
  expect(notice(content, inSpan(hold, rest, 5_000), false)).toBe(null);
  expect(notice(content, inSpan(hold, rest, 4_000), false)).toBe("Next: Rest. Breathe easy.");
  expect(notice(content, inSpan(rest, hold, 20_000), false)).toBe("Next: Hold.");
  expect(notice(content, inSpan(hold, rest, 20_000), true), "for who joins there").not.toBe(null);
});

test("a short one brings what follows with it, and a change of sides its name", () => {
  const breath = span("breathe_in", "Breathe in.", 2_000);
  expect(notice(content, inSpan(rest, breath, 9_000, hold), false)).toBe("Next: Breathe in. Then: Hold.");
  expect(notice(content, inSpan(rest, span("hold", "Hold.", 9_000, 1), 9_000), false)).toBe("Next: Right");
  expect(notice(content, { kind: "ready", leftMs: 3_000, next: hold, then: null } as On, false)).toBe(
    "Next: Hold.",
  );
  expect(notice(content, inSpan(hold, null, 1_000), false)).toBe(null);
});
