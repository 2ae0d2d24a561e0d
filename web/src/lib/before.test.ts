import { describe, expect, test } from "vitest";
import { shownBefore, type Waiting } from "./before";
import { text } from "./messages";
import { timeOfDay } from "./time-of-day";

const t = text.before;
const TEN = new Date(2026, 11, 1, 10, 0).getTime();
const minutesBefore = (minutes: number): number => TEN - minutes * 60_000;

function shownAt(nowMs: number, of: Partial<Waiting> = {}) {
  const before = { starts: TEN, here: 12 };
  return shownBefore({
    title: "Tuesday class",
    before,
    open: true,
    nowMs,
    name: "Ada",
    first: "Sit tall",
    ...of,
  });
}

describe("before the class", () => {
  test("a person reads their name, when it starts, who is here and what comes first", () => {
    const s = shownAt(minutesBefore(5.5));
    expect([s.title, s.place]).toEqual(["Tuesday class", timeOfDay(minutesBefore(5.5))]);
    expect(s.cue).toBe("Good morning, Ada.");
    expect(s.under).toBe(`${t.startsAt(timeOfDay(TEN))} 12 are here.`);
    expect([s.number, s.unit]).toEqual(["6", t.minutes(6)]);
    expect(s.next).toBe("First: Sit tall");
    expect(s.band).toMatchObject({ lengthMs: 900_000, leftMs: 330_000, end: t.weStart(timeOfDay(TEN)) });
  });

  test("without a time, or with one that is over or of another day, no number is made up", () => {
    const unknown = shownAt(TEN, { before: { starts: null, here: 1 } });
    expect([unknown.number, unknown.band]).toEqual([null, null]);
    expect(unknown.under).toBe(`${t.beginsSoon} ${t.here(1)}`);
    expect(shownAt(TEN + 1).number).toBeNull();
    expect(shownAt(TEN - 13 * 3_600_000).under).toContain(t.beginsSoon);
    expect(shownAt(minutesBefore(61)).number).toBeNull();
    expect(shownAt(minutesBefore(60)).band).toBeNull();
  });

  test("nobody is counted before people are let in, and many only by the ten", () => {
    expect(shownAt(TEN + 1, { open: false, before: { starts: null, here: 3 } }).under).toBe(t.opensSoon);
    expect(shownAt(TEN + 1, { before: { starts: null, here: 30 } }).under).toContain("At least 30");
  });

  test("the wall greets nobody by name", () => {
    const s = shownAt(minutesBefore(20), { name: null });
    expect([s.cue, s.under]).toEqual([t.startsAt(timeOfDay(TEN)), t.here(12)]);
  });

  test("the greeting follows the day", () => {
    const at = (hour: number): string =>
      shownAt(new Date(2026, 11, 1, hour, 30).getTime(), { before: { starts: null, here: 2 } }).cue;
    expect([8, 12, 19].map(at)).toEqual(["Good morning, Ada.", "Good afternoon, Ada.", "Good evening, Ada."]);
  });
});
