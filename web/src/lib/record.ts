// What the page of a person's weeks shows, worked out from their classes. It knows no DOM.

import { deskText } from "./messages/desk";
import { notesText } from "./messages/notes";
import { recordText as t } from "./messages/record";
import { text } from "./messages";
import type {
  ClassDay,
  DrillDays,
  HowFar,
  Measure,
  NoteWords,
  Progress,
  ReportThen,
  Said,
} from "./wire/types";

/** How much of what was asked was done, with both numbers and never cut off; nothing where nothing was asked. */
export function shareText(done: number, asked: number): string | null {
  return asked === 0 ? null : t.share(done, asked, Math.round((done / asked) * 100));
}

/** A day, such as 9 March 2027. */
export function dayWords(day: string): string {
  return new Date(`${day}T12:00Z`).toLocaleDateString("en-GB", {
    day: "numeric",
    month: "long",
    year: "numeric",
    timeZone: "UTC",
  });
}

/** The same with its weekday. */
export function weekdayWords(day: string): string {
  return new Date(`${day}T12:00Z`).toLocaleDateString("en-GB", {
    weekday: "long",
    day: "numeric",
    month: "long",
    year: "numeric",
    timeZone: "UTC",
  });
}

const DAY_MS = 86_400_000;

/** A day as a number, so that no time zone can move it. */
export const dayNumber = (day: string): number => Math.round(Date.parse(`${day}T00:00Z`) / DAY_MS);

/** A number with one decimal where it has one. */
export const figure = (n: number): string => String(Math.round(n * 10) / 10);

/** A change with its sign, to two figures: a slow one is not told as none. */
const signed = (n: number): string =>
  `${n > 0 ? "+" : n < 0 ? "−" : ""}${Number(Math.abs(n).toPrecision(2))}`;

/** What can be said of effort over the weeks. */
export function effortWords({ days, last, slope }: Measure): string[] {
  if (last === null) return [];
  const of = Math.min(days.length, 6);
  const words = [t.effortMiddle(figure(last.median), of)];
  if (last.interval) words.push(t.effortInterval(figure(last.interval[0]), figure(last.interval[1])));
  if (slope === null) return [...words, t.noSlope];
  const [from, to] = slope.limits;
  const isClear = from > 0 || to < 0;
  return [
    ...words,
    isClear ? t.slope(signed(slope.per_four_weeks), signed(from), signed(to)) : t.noClearChange,
  ];
}

/** A person's weeks in sentences. */
export function inWords({ classes, effort, drills }: Progress): string[] {
  const first = classes[0];
  if (!first) return [t.none];
  const came = classes.filter((one) => one.attended !== "no");
  const minutes = classes.reduce((sum, one) => sum + one.there, 0);
  const asked = classes.reduce((sum, one) => sum + one.asked, 0);
  const done = shareText(
    classes.reduce((sum, one) => sum + one.done, 0),
    asked,
  );
  const reports = classes.flatMap((one) => one.reports.filter((report) => !report.taken_back));
  const bests = drills.flatMap(({ title, best }) =>
    best === null
      ? []
      : [
          t.best(
            title,
            t.reached(best.far, Math.round(best.target_ms / 1000)),
            dayWords(best.day),
            best.days,
          ),
        ],
  );
  return [
    t.since(
      shareText(came.length, classes.length) ?? "",
      dayWords(first.day),
      t.hours(Math.floor(minutes / 60), minutes % 60),
    ),
    ...(done === null ? [] : [t.done(done)]),
    ...effortWords(effort),
    ...bests,
    t.troubles(
      reports.length,
      classes.reduce((sum, one) => sum + one.stops.length, 0),
    ),
  ];
}

/** What somebody reported, in words. */
export function saidWords(said: Said): string {
  const place = said.where ? text.report.places[said.where].toLowerCase() : "";
  const strength =
    said.strength === null
      ? ""
      : "number" in said.strength
        ? `${said.strength.number} of 10`
        : text.report.strengths[said.strength.word].toLowerCase();
  return (
    [said.urgent ? deskText.signs[said.urgent] : "", place, strength, said.words ? `“${said.words}”` : ""]
      .filter(Boolean)
      .join(", ") || deskText.nothingSaid
  );
}

export const reportWords = (report: ReportThen): string =>
  [t.inStep(saidWords(report.said), report.step), report.taken_back ? t.takenBack : ""]
    .filter(Boolean)
    .join(", ");

export const stopWords = ({ stops }: ClassDay): string =>
  stops.map((stop) => t.inStep(stop.reason ? deskText.reason[stop.reason] : "", stop.step)).join("; ");

/** A dot of a plot. */
export interface Dot {
  day: number;
  value: number;
}

export const effortDots = ({ days }: Measure): Dot[] =>
  days.map(([day, value]) => ({ day: dayNumber(day), value }));

export const minuteDots = ({ classes }: Progress): Dot[] =>
  classes.map((one) => ({ day: dayNumber(one.day), value: one.there }));

export const MARKS: readonly HowFar[] = ["under", "first_mark", "target", "beyond"];

/** The marks that were reached: what lies between two of them is not made up. */
export const markDots = ({ days }: DrillDays): Dot[] =>
  days.flatMap(({ day, far }) => (far === null ? [] : [{ day: dayNumber(day), value: MARKS.indexOf(far) }]));

/** How long a hold was meant to be for them, in whole seconds. */
export const targetSeconds = ({ target_ms }: DrillDays["days"][number]): number | null =>
  target_ms === null ? null : Math.round(target_ms / 1000);

/** What a clinician wrote in a note, part by part. */
export const wordsOf = (words: NoteWords): string =>
  (Object.keys(notesText.parts) as (keyof NoteWords)[])
    .flatMap((part) =>
      words[part] === null ? [] : [notesText.partOf(notesText.parts[part][0], words[part])],
    )
    .join("\n");
