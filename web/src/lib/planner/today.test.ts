import { expect, test } from "vitest";
import type { ComingClass, Today } from "../wire/types";
import { changeWords, leftWords, untilText } from "./today";

const at = (starts: number): Today => {
  const day = {
    of: "2027-03-09",
    day: "2027-03-09",
    starts,
    ends: starts + 3_600_000,
    cancelled: null,
    led_by: null,
  };
  const coming = { name: "Lantern Quay", class: day } as ComingClass;
  return {
    now: 0,
    class: { coming, opens: starts, sees_people: true, plan: null, absent: [], last: null, changes: [] },
    left: [],
  };
};

test("how far away a class is, is said in words that fit", () => {
  expect(untilText(at(-1))).toBe("is on now");
  expect(untilText(at(0))).toBe("is on now");
  expect(untilText(at(1))).toBe("starts in 1 minute");
  expect(untilText(at(25 * 60_000))).toBe("starts in 25 minutes");
  expect(untilText(at(119 * 60_000))).toBe("starts in 119 minutes");
  expect(untilText(at(150 * 60_000))).toBe("starts in 2 hours");
  expect(untilText({ now: 0, class: null, left: [] })).toBe("");
});

test("a change names whom or what it is about, and how it was before", () => {
  expect(changeWords({ what: "new_person", name: "Ada" })).toEqual(["Ada", "is new"]);
  expect(changeWords({ what: "new_precautions", name: "Ada", conditions: ["neck"] })[1]).toMatch(/^new: /);
  expect(changeWords({ what: "reps", title: "High ee", before: 8, now: 10 })).toEqual([
    "High ee",
    "8 repetitions, now 10",
  ]);
  expect(changeWords({ what: "held", title: "Long ah", before_ms: 72_000, now_ms: 80_400 })).toEqual([
    "Long ah",
    "held 72 s in all, now 80 s",
  ]);
  expect(changeWords({ what: "new_drill", title: "Nod" })).toEqual(["Nod", "new in the plan"]);
});

test("what is left says whose it is and by when", () => {
  const noted = {
    session: "s",
    title: "Tuesday",
    seat: 1,
    name: "Pat",
    to_do: "telephone",
    owner: "Ines",
    due: "2027-03-10",
  };
  expect(leftWords({ what: "follow_up", ...noted })).toEqual([
    "Pat: telephone",
    "Ines, by Wednesday 10 March; noted in Tuesday",
  ]);
  expect(leftWords({ what: "no_plan", group: "g", name: "Mill Lane", day: "2027-03-11" })).toEqual([
    "Plan the class of Thursday 11 March",
    "Mill Lane",
  ]);
});
