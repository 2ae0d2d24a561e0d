import { expect, test } from "vitest";
import { CONTENT, frameOf, row, sceneAt, sheetStep, stageOf, talk } from "./examples";
import { deskShown, type Facts } from "./stage";

const ROWS = [row(1, "Ada"), row(2, "Ben", { checked_in: false }), row(3, "Cy", { screen: "away" })];
const facts = (more: Partial<Facts> = {}): Facts => ({
  frame: frameOf(ROWS),
  sheet: null,
  stage: stageOf(),
  scene: sceneAt(15_000),
  present: sheetStep(7, "Steady strong ah"),
  following: sheetStep(8, "High ee"),
  clue: null,
  clueSeconds: null,
  nowMs: 15_000,
  ...more,
});
const unclocked = { timeline: { ready_ms: 0, spans: [], total_ms: 0 }, reps: 1 };

test("an open hold counts the seconds held, beside its band, what comes and what is left", () => {
  const s = deskShown(facts());
  expect(s).toMatchObject({
    title: "Steady strong ah",
    cue: "Strong ah. Keep it full.",
    count: "12",
    next: { label: "Next", words: "High ee" },
    left: { time: "0:30", words: "left" },
  });
  expect(s.band).toMatchObject({ lengthMs: 25_000, marks: { floor_ms: 10_000, target_ms: 20_000 } });
});

test("a drill that is over says for how long already", () => {
  const s = deskShown(facts({ scene: sceneAt(45_000), nowMs: 110_000, following: null }));
  expect(s).toMatchObject({ count: "1:05", counted: "since this step ended", left: null });
  expect(s.next).toEqual({ label: "", words: "This is the last step." });
});

test("a talk shows its time, and how long it is over", () => {
  const present = talk(7, "Welcome", 5);
  const scene = sceneAt(0, { ...unclocked, kind: "talk" });
  const s = deskShown(facts({ present, scene, nowMs: 60_000 + 204_000 }));
  expect(s).toMatchObject({
    cue: "Welcome",
    count: "3:24",
    counted: "gone, of 5 min",
    left: { time: "1:36" },
  });
  expect(s.band).toMatchObject({ lengthMs: 300_000, leftMs: 96_000 });
  const over = deskShown(facts({ present, scene, nowMs: 60_000 + 330_000 }));
  expect(over).toMatchObject({ left: { time: "0:30", words: "over its time" }, band: { leftMs: 0 } });
});

test("a check-in counts who is in and names who is not", () => {
  const present = { ...talk(7, "Check-in", 4), kind: "check_in" as const };
  const scene = sceneAt(0, { ...unclocked, kind: "check_in" });
  const s = deskShown(facts({ present, scene, nowMs: 60_000 + 100_000 }));
  expect(s).toMatchObject({
    count: "2",
    counted: "of 3 are in",
    cells: { in: 2, of: 3 },
    place: "1:40 of 4:00",
    next: { label: "Not in yet", words: "Ben" },
  });
});

test("a round shows the clue, which hints were given, and how many have it", () => {
  const present = { ...talk(7, "The allotment", 10), kind: "clues" as const };
  const scene = sceneAt(0, { ...unclocked, kind: "clues" });
  const clue = {
    number: 4,
    of: 12,
    clue: "It makes you cry when you slice it.",
    hints: ["It starts with “on”", "“Onion or apple?”"],
    hints_shown: 1,
    answer: "onion",
    answer_in: [],
    answer_shown: false,
    because: null,
    said: 2,
    answered: 1,
  };
  const s = deskShown(facts({ present, scene, frame: frameOf(ROWS, { clue }) }));
  expect(s).toMatchObject({
    place: "Clue 4 of 12",
    cue: clue.clue,
    count: "1",
    cells: { in: 1, of: 2 },
    isClue: true,
  });
  expect(s.hints.map(({ given, place }) => [given, place])).toEqual([
    [true, "hint 1 of 2"],
    [false, "hint 2 of 2"],
  ]);
  const revealed = deskShown(
    facts({ present, scene, frame: frameOf(ROWS, { clue: { ...clue, answer_shown: true } }) }),
  );
  expect(revealed).toMatchObject({ cue: "onion", under: clue.clue });
  const before = deskShown(
    facts({ present, scene, frame: frameOf(ROWS, { clue: { ...clue, number: 0, hints_shown: 0 } }) }),
  );
  expect(before).toMatchObject({ cue: `First clue: ${clue.clue}`, count: null, cells: null });
});

test("a pause counts how long it has lasted, and looks like no safety pause", () => {
  const s = deskShown(facts({ scene: sceneAt(15_000, {}, true), nowMs: 15_000 + 42_000 }));
  expect(s).toMatchObject({ cue: "Pause.", count: "0:42", band: null, left: { time: "0:30" } });
});

test("before a swallow the empty mouths are counted", () => {
  const scene = sceneAt(-5_000, { ...CONTENT, swallow: true }, true);
  const s = deskShown(facts({ scene, frame: frameOf(ROWS, { mouths: { empty: 1, of: 2 } }) }));
  expect(s).toMatchObject({ cue: "Is your mouth empty?", count: "1", counted: "of 2 mouths are empty" });
});

test("before the class it shows the code, who is here, and what comes first", () => {
  const sheet = { title: "Lantern Quay", code: "KJ4T-9WXM" } as Facts["sheet"];
  const s = deskShown(
    facts({ stage: stageOf({ phase: "waiting", moves: [] }), scene: null, present: null, sheet }),
  );
  expect(s).toMatchObject({
    title: "Lantern Quay",
    cue: "Class code KJ4T-9WXM",
    count: "2",
    counted: "of 3 are here",
  });
});
