import { expect, test } from "vitest";
import { sheetStep, talk } from "./examples";
import { fitting, hourOf } from "./hour";

const NAMES = { breathVoice: "Breath, voice", swallow: "Swallow", neckFace: "Neck, face", words: "Words" };
const MIN = 60_000;
const STEPS = [
  talk(1, "Welcome", 5),
  sheetStep(2, "Steady strong ah", 10),
  { ...sheetStep(3, "Neck, five ways", 15), family: "neck" as const },
  { ...talk(4, "The allotment", 20), kind: "clues" as const },
  talk(5, "Goodbye", 10),
];
const pace = (step_at: number | null, class_min = 60) => ({
  class_ms: class_min * MIN,
  started_at: step_at === null ? null : 0,
  step_at,
  ended_at: null,
});

test("a class that keeps its time ends when it was booked to", () => {
  const hour = hourOf(STEPS, 2, pace(5 * MIN), 7 * MIN, NAMES);
  expect(hour).toMatchObject({ overMin: 0, endsAtMs: 60 * MIN, cut: null, end: 1 });
  expect(hour.now).toBeCloseTo(7 / 60);
  expect(hour.blocks.map((block) => block.is)).toEqual(["past", "now", "ahead", "ahead", "ahead"]);
  expect(hour.blocks.map((block) => Math.round(block.at * 60))).toEqual([0, 5, 15, 30, 50]);
});

test("what is behind fills the time that it took, and a step that runs over pushes the rest", () => {
  // The welcome took 8 minutes, and the drill of 10 has run for 12.
  const hour = hourOf(STEPS, 2, pace(8 * MIN), 20 * MIN, NAMES);
  expect(hour.overMin).toBe(5);
  expect(hour.endsAtMs).toBe(65 * MIN);
  expect(hour.end).toBeCloseTo(60 / 65);
  expect(hour.blocks.map((block) => Math.round(block.wide * 65))).toEqual([8, 12, 15, 20, 10]);
});

test("the longest step without a clock of its own is proposed, and keeps two minutes", () => {
  expect(hourOf(STEPS, 2, pace(8 * MIN), 20 * MIN, NAMES).cut).toEqual({
    step: 4,
    title: "The allotment",
    byMin: 5,
    seconds: 15 * 60,
  });
  const late = hourOf(STEPS, 2, pace(48 * MIN), 58 * MIN, NAMES);
  expect(late.cut).toMatchObject({ byMin: 18, seconds: 120 });
  // What the class has already spent on the present step cannot be saved.
  const inRound = hourOf(STEPS, 4, pace(45 * MIN), 60 * MIN, NAMES);
  expect(inRound.overMin).toBe(15);
  expect(inRound.cut).toMatchObject({ title: "Goodbye", byMin: 8 });
  expect(hourOf([sheetStep(1, "Only", 90)], 1, pace(0), 0, NAMES).cut, "a drill is not cut").toBeNull();
});

test("before the class there is no needle, and after it no end to come", () => {
  expect(hourOf(STEPS, null, pace(null), 9 * MIN, NAMES)).toMatchObject({
    now: null,
    endsAtMs: null,
    overMin: 0,
  });
  const ended = { ...pace(50 * MIN), ended_at: 58 * MIN };
  expect(hourOf(STEPS, 5, ended, 90 * MIN, NAMES)).toMatchObject({ endsAtMs: null, cut: null });
});

test("parts are named once, and only where there is room", () => {
  const { labels } = hourOf(
    [...STEPS.slice(0, 2), sheetStep(9, "High ee", 1), ...STEPS.slice(2)],
    2,
    pace(5 * MIN),
    5 * MIN,
    NAMES,
  );
  expect(labels.map((label) => label.words)).toEqual([
    "Welcome",
    "Breath, voice",
    "Neck, face",
    "The allotment",
    "Goodbye",
  ]);
  expect(fitting(labels, 1400, 8)).toHaveLength(5);
  const few = fitting(labels, 340, 8).map((label) => label.words);
  expect(few).toEqual(["Welcome", "Neck, face"]);
});

/** Talks take half as long again, word games are as planned, and of those the group had more; drills take a minute more. */
const USUAL = {
  classes: 6,
  drill_more_ms: MIN,
  kinds: [
    { kind: "talk", percent: 150, had_ms: 30 * MIN },
    { kind: "clues", percent: 100, had_ms: 90 * MIN },
  ],
} as const satisfies Parameters<typeof hourOf>[5];
const usually = (kinds = [...USUAL.kinds]) => ({ ...USUAL, kinds });

test("steps to come are taken to be as long as they usually are", () => {
  const hour = hourOf(STEPS, 2, pace(5 * MIN), 7 * MIN, NAMES, usually());
  // The drill has 11 minutes, the next 16, the round 20 and the goodbye 15, after a welcome of 5.
  expect([hour.endsAtMs, hour.overMin]).toEqual([67 * MIN, 7]);
  expect(hour.blocks.map((block) => Math.round(block.wide * 67))).toEqual([5, 11, 16, 20, 15]);
  const before = hourOf(STEPS, null, pace(null), 0, NAMES, usually());
  expect(before.overMin, "the welcome too").toBe(10);
});

test("what the group had the most of is shortened first, and a minute of a talk saves more than one", () => {
  expect(hourOf(STEPS, 2, pace(5 * MIN), 7 * MIN, NAMES, usually()).cut).toMatchObject({
    title: "The allotment",
    byMin: 7,
  });
  const talks = usually([
    { kind: "talk", percent: 150, had_ms: 95 * MIN },
    { kind: "clues", percent: 100, had_ms: 90 * MIN },
  ] as never);
  // Five minutes of its plan save seven and a half.
  expect(hourOf(STEPS, 2, pace(5 * MIN), 7 * MIN, NAMES, talks).cut).toMatchObject({
    title: "Goodbye",
    byMin: 5,
    seconds: 300,
  });
});
