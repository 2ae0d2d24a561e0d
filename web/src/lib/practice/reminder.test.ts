import { expect, it } from "vitest";
import { reminderFile } from "./reminder";

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
