import { expect, it } from "vitest";
import { reminderFile, timesUntil } from "./reminder";

it("a reminder is once a day at a time of day, up to the last day, and its words are words", () => {
  const file = reminderFile({
    words: "Practice, at home;\nslowly",
    from: "2026-10-07",
    until: "2026-10-13",
    at: "09:00",
    id: "one",
    madeAt: Date.UTC(2026, 9, 7, 8, 5, 6),
  });
  const lines = file.split("\r\n");
  for (const line of [
    "UID:one",
    "DTSTAMP:20261007T080506Z",
    "SUMMARY:Practice\\, at home\\; slowly",
    "DTSTART:20261007T090000",
    "RRULE:FREQ=DAILY;UNTIL=20261013T090000",
    "TRIGGER:PT0S",
  ])
    expect(lines).toContain(line);
  expect(Math.max(...lines.map((line) => line.length))).toBeLessThanOrEqual(75);
});

it("begins with the next time that is still to come, and is offered only while one is", () => {
  const at = (until: string, day: string, time: string): string[] =>
    timesUntil(until, { day, time }).map((one) => `${one.at} ${one.from}`);
  expect(at("2027-01-07", "2026-12-31", "15:00")).toEqual([
    "09:00 2027-01-01",
    "11:00 2027-01-01",
    "15:00 2027-01-01",
    "18:00 2026-12-31",
  ]);
  expect(at("2026-12-31", "2026-12-31", "15:00")).toEqual(["18:00 2026-12-31"]);
  expect(at("", "2026-12-31", "08:00")).toEqual([]);
});
