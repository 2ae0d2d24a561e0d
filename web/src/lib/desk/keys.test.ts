import { expect, test } from "vitest";
import { frameOf, sheetStep, stageOf, talk } from "./examples";
import { actOf, forwardOf, KEYS, keyName, secondKeys, type Standing } from "./keys";

const standing = (more: Partial<Standing> = {}): Standing => ({
  stage: stageOf(),
  frame: frameOf([]),
  present: sheetStep(7, "Ah"),
  following: sheetStep(8, "Ee"),
  waitsForMouths: false,
  ...more,
});

test("a presenter’s remote alone leads a round: clue, each hint, the answer, the next clue", () => {
  const clue = {
    number: 0,
    of: 2,
    clue: "",
    hints: ["a", "b"],
    hints_shown: 0,
    answer: "x",
    answer_in: [],
    answer_shown: false,
    because: null,
    said: 0,
    answered: 0,
  };
  const seen: string[] = [];
  // What each press does to the round.
  for (let presses = 0; presses < 9; presses++) {
    const forward = forwardOf(standing({ frame: frameOf([], { clue }) }));
    seen.push(forward);
    if (forward === "clue")
      Object.assign(clue, { number: clue.number + 1, hints_shown: 0, answer_shown: false });
    if (forward === "hint") clue.hints_shown += 1;
    if (forward === "answer") clue.answer_shown = true;
  }
  expect(seen).toEqual(["clue", "hint", "hint", "answer", "clue", "hint", "hint", "answer", "next"]);
});

test("the main key opens, begins, waits for mouths, and at the end only asks", () => {
  expect(forwardOf(standing({ stage: stageOf({ phase: "closed" }), present: null }))).toBe("open");
  expect(forwardOf(standing({ stage: stageOf({ phase: "waiting" }), present: null }))).toBe("start");
  expect(forwardOf(standing({ waitsForMouths: true }))).toBe("begin");
  expect(forwardOf(standing())).toBe("next");
  expect(forwardOf(standing({ following: null }))).toBe("end");
});

test("the three keys beside the pause follow the kind of step, and Back stays where it is", () => {
  const clues = { ...talk(1, "Round", 5), kind: "clues" as const };
  const steps = [sheetStep(1, "Ah"), talk(2, "Hello", 5), clues, { ...clues, kind: "check_in" as const }];
  for (const step of steps) expect(secondKeys(stageOf(), step)[2]).toBe("back");
  expect(secondKeys(stageOf(), clues)).toEqual(["answer", "nextClue", "back"]);
});

test("every key on the keyboard has one act and a name on the screen", () => {
  for (const [key, act] of Object.entries(KEYS)) {
    expect(actOf(key)).toBe(act);
    expect(keyName(act)).not.toBe("");
  }
  expect(actOf("T")).toBe("take");
  expect(actOf("q")).toBeNull();
  expect([keyName("safety"), keyName("forward"), keyName("minute")]).toEqual(["Esc", "PgDn", "M"]);
});
