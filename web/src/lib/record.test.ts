import { expect, test } from "vitest";
import { dayNumber, effortWords, inWords, markDots, saidWords, shareText, targetSeconds } from "./record";
import type { ClassDay, DrillDays, Progress } from "./wire/types";

const held = (day: string, change: Partial<ClassDay> = {}): ClassDay => ({
  session: day,
  day,
  title: "Hour",
  minutes: 60,
  attended: "screen",
  there: 50,
  cannot_come: false,
  asked: 10,
  done: 8,
  efforts: [],
  stops: [],
  reports: [],
  ...change,
});

const NO_EFFORT = { days: [], last: null, slope: null };

test("a share has both numbers, is not cut off at 100 %, and there is none of nothing (W-34)", () => {
  expect(shareText(11, 10)).toBe("11 of 10 (110 %)");
  expect(shareText(0, 10)).toBe("0 of 10 (0 %)");
  expect(shareText(3, 0)).toBeNull();
  const rested: Progress = {
    classes: [held("2026-10-06", { asked: 0, done: 0 })],
    effort: NO_EFFORT,
    drills: [],
  };
  expect(inWords(rested).join(" ")).not.toContain("said “done”");
});

test("the weeks of a person are told in words first", () => {
  const said = { whose: "own", where: "neck", strength: { number: 6 }, urgent: null, words: null } as const;
  const report = { at: 0, step: "Hiss", said, taken_back: false };
  const drill: DrillDays = {
    drill: "long-hiss",
    title: "Long steady hiss",
    days: [],
    asked: 3,
    done: 3,
    stopped: 0,
    rested: 0,
    best: { far: "beyond", target_ms: 8_000, day: "2026-10-13", days: 2 },
  };
  const progress: Progress = {
    classes: [
      held("2026-10-06"),
      held("2026-10-13", { stops: [{ at: 0, step: null, reason: "tired" }], reports: [report] }),
      held("2026-10-20", { attended: "no", there: 0, asked: 0, done: 0 }),
    ],
    effort: NO_EFFORT,
    drills: [drill],
  };
  expect(inWords(progress)).toEqual([
    "Classes since 6 October 2026: came to 2 of 3 (67 %), 1 h 40 min in all.",
    "Drills that were asked of them: said “done” in 16 of 20 (80 %).",
    "Long steady hiss: beyond the target of 8 s, last on 13 October 2026, on 2 days in all.",
    "Reported something once. Stopped once.",
  ]);
  expect(inWords({ classes: [], effort: NO_EFFORT, drills: [] })).toEqual([
    "They have not been in a class that was held yet.",
  ]);
});

test("nothing is said of effort that the days do not bear (W-33)", () => {
  const days = (n: number): [string, number][] =>
    Array.from({ length: n }, (_, i) => [`2026-10-${String(i + 1).padStart(2, "0")}`, 5]);
  expect(effortWords({ days: [], last: null, slope: null })).toEqual([]);
  const five = effortWords({ days: days(5), last: { median: 5, interval: null }, slope: null });
  expect(five.join(" ")).not.toContain("confidence");
  expect(five.at(-1)).toContain("from eight classes");
  const middle = { median: 5, interval: [4, 7] as [number, number] };
  const still = effortWords({
    days: days(9),
    last: middle,
    slope: { per_four_weeks: 0.4, limits: [-0.2, 1] },
  });
  expect(still).toEqual([
    "Effort was 5 of 10 in the middle of the last 6 classes in which they said it.",
    "With at least 95 % confidence the middle of all such classes lies between 4 and 7.",
    "No clear change over the weeks.",
  ]);
  const less = effortWords({
    days: days(9),
    last: middle,
    slope: { per_four_weeks: -0.75, limits: [-1.2, -0.1] },
  });
  expect(less.at(-1)).toBe("It changed by −0.75 in four weeks (95 % limits −1.2 to −0.1).");
});

test("marks are shown as they were tapped, and reports as they were said", () => {
  const day = (far: "target" | null, target_ms: number | null): DrillDays["days"][number] => ({
    day: "2026-10-06",
    planned: { reps: 3, holds: 3, held_ms: 24_000 },
    class_did: { reps: 3, held_ms: 24_000, completed: 3, partial: 0 },
    form: "full",
    target_ms,
    answer: "done",
    far,
  });
  const drill = { days: [day("target", 8_000), day(null, null)] } as DrillDays;
  expect(markDots(drill)).toEqual([{ day: dayNumber("2026-10-06"), value: 2 }]);
  expect(drill.days.map(targetSeconds)).toEqual([8, null]);
  const said = {
    whose: "own",
    where: "neck",
    strength: { word: "quite" },
    urgent: null,
    words: "it pulls",
  } as const;
  expect(saidWords(said)).toBe("neck, moderate, “it pulls”");
});
