// A reminder for somebody's own calendar (RFC 5545), for those who ask for one: once a day, up to the day on which what they
// were given ends. It says nothing of anybody, and needs no network. It is pure.

/** The times of day that are offered. */
const TIMES = ["09:00", "11:00", "15:00", "18:00"];

/** A time of day, and the first day on which it is still to come. */
export interface Time {
  at: string;
  from: string;
}

/** The times at which a reminder can still come up to the day `until`. */
export function timesUntil(until: string, now: { day: string; time: string }): Time[] {
  const tomorrow = new Date(Date.parse(now.day) + DAY_MS).toISOString().slice(0, 10);
  return TIMES.map((at) => ({ at, from: at > now.time ? now.day : tomorrow })).filter(
    ({ from }) => from <= until,
  );
}

const DAY_MS = 86_400_000;

export interface Reminder {
  /** What the calendar shows. */
  words: string;
  /** The first day and the last, as 2026-10-07. */
  from: string;
  until: string;
  /** The time of day, as 09:00, on whatever clock the calendar has. */
  at: string;
  /** By which calendars know it: with a new one of the same id, the old one goes. */
  id: string;
  /** When it was made, in milliseconds since 1970. */
  madeAt: number;
}

const stamp = (day: string, at: string): string => `${day.replaceAll("-", "")}T${at.replace(":", "")}00`;

const escaped = (words: string): string => words.replace(/[\\;,]/g, "\\$&").replace(/\s+/g, " ");

/** The text of the calendar file. */
export function reminderFile({ words, from, until, at, id, madeAt }: Reminder): string {
  const made = new Date(madeAt).toISOString().replace(/[-:]|\.\d+/g, "");
  return [
    "BEGIN:VCALENDAR",
    "VERSION:2.0",
    "PRODID:-//Samebreath//EN",
    "METHOD:PUBLISH",
    "BEGIN:VEVENT",
    `UID:${id}`,
    `DTSTAMP:${made}`,
    `SEQUENCE:${Math.floor(madeAt / 60_000)}`,
    `SUMMARY:${escaped(words)}`,
    // Without a zone: it is at this time wherever they are.
    `DTSTART:${stamp(from, at)}`,
    "DURATION:PT15M",
    `RRULE:FREQ=DAILY;UNTIL=${stamp(until, at)}`,
    "TRANSP:TRANSPARENT",
    "BEGIN:VALARM",
    "ACTION:DISPLAY",
    `DESCRIPTION:${escaped(words)}`,
    "TRIGGER:PT0S",
    "END:VALARM",
    "END:VEVENT",
    "END:VCALENDAR",
    "",
  ].join("\r\n");
}
