// What the page of a person's weeks says, in English.

import type { Answer, Attended, Form, HowFar } from "../wire/types";

const times = (n: number): string => (n === 1 ? "once" : n === 2 ? "twice" : `${n} times`);

export const recordText = {
  open: "What they did in class",
  title: "In class, week by week",
  loading: "Reading the classes …",
  back: "Their page",
  copy: "Their own copy",
  forSystem: "For a health record system (FHIR R4):",
  withNames: "with names",
  saveFhir: "Save the file",
  noneOfOthers:
    "The file has their classes, what they said and the signed notes; nobody else of the class has a part in it. Notes may still name people. Where it may go, your rules say.",
  atHome: "At home",
  atHomeNote:
    "By their own word. What was asked is what their sheet, or a class that was published for home, asked for until the next class; more than that stays more.",
  atHomeFrom: (from: string, until: string) => `From ${from} to ${until}`,
  days: "Days",
  times: "Times",
  reps: "Repetitions",
  saidOfIt: "How it was",
  ease: ["easy", "just right", "hard"],
  easeTimes: (ease: string, n: number) => `${ease} ${times(n)}`,
  wholeClass: (title: string) => `The whole class “${title}”`,
  drillsOf: (done: number, asked: number) => `${done} of ${asked} drills`,
  uncounted: (n: number) => `not counted ${times(n)}`,
  differs: (n: number) => `sent again ${times(n)} with something else in it: ask them`,
  hurt: "It hurt",
  print: "Print",
  failed: "The classes could not be read. Go back and try again.",
  none: "They have not been in a class that was held yet.",
  inWords: "In words",
  since: (came: string, day: string, time: string) =>
    `Classes since ${day}: came to ${came}, ${time} in all.`,
  done: (share: string) => `Drills that were asked of them: said “done” in ${share}.`,
  share: (done: number, asked: number, percent: number) => `${done} of ${asked} (${percent} %)`,
  hours: (hours: number, minutes: number) =>
    [hours > 0 ? `${hours} h` : "", minutes > 0 || hours === 0 ? `${minutes} min` : ""]
      .filter(Boolean)
      .join(" "),
  effortMiddle: (median: string, days: number) =>
    days === 1
      ? `Effort was ${median} of 10 in the one class in which they said it.`
      : `Effort was ${median} of 10 in the middle of the last ${days} classes in which they said it.`,
  effortInterval: (from: string, to: string) =>
    `With at least 95 % confidence the middle of all such classes lies between ${from} and ${to}.`,
  slope: (change: string, from: string, to: string) =>
    `It changed by ${change} in four weeks (95 % limits ${from} to ${to}).`,
  noClearChange: "No clear change over the weeks.",
  noSlope: "Whether it changes can be told from eight classes over eight weeks on.",
  best: (drill: string, how: string, day: string, days: number) =>
    `${drill}: ${how}, last on ${day}${days > 1 ? `, on ${days} days in all` : ""}.`,
  reached: (far: HowFar, seconds: number) =>
    ({
      under: "not yet to the first mark",
      first_mark: "to the first mark",
      target: `to the target of ${seconds} s`,
      beyond: `beyond the target of ${seconds} s`,
    })[far],
  troubles: (reports: number, stops: number) =>
    [
      reports > 0 ? `Reported something ${times(reports)}.` : "Reported nothing.",
      stops > 0 ? `Stopped ${times(stops)}.` : "",
    ]
      .filter(Boolean)
      .join(" "),
  byTheirWord:
    "All of this is by the clock of the class, by their own word, or put right by hand; nothing was measured. What it means is for a clinician to say.",
  classes: "Classes",
  effort: "Effort, 0 to 10",
  effortPlot: (days: number) =>
    `Effort on ${days} days: the middle of what they said on each. The table below has the same numbers as they were said.`,
  minutesPlot: (days: number) => `Minutes in ${days} classes, by day. The table below has the same numbers.`,
  minutes: "Minutes in class",
  markPlot: (drill: string, days: number) =>
    `How far they went in ${drill}, in ${days} classes, by day. The table below has the same marks.`,
  middle: (days: number) => (days === 1 ? "the one day" : `middle of the last ${days} days`),
  table: "Classes, as a table",
  markTable: (drill: string) => `${drill}, as a table`,
  drillTable: "Drills, as a table",
  day: "Day",
  class: "Class",
  came: "Came",
  ofMinutes: (there: number, minutes: number) => `${there} of ${minutes} min`,
  drillsDone: "Drills done",
  reports: "Reports",
  stops: "Stops",
  drills: "Drills",
  drill: "Drill",
  saidDone: "Said done",
  stopped: "Stopped",
  rested: "Rest",
  forms: "Form",
  marks: "Own mark",
  target: "Target",
  answer: "Answer",
  seconds: (n: number) => `${n} s`,
  notes: "Notes",
  otherNotes: (n: number) =>
    n === 1
      ? "One more signed note is of a class that you may not open."
      : `${n} more signed notes are of classes that you may not open.`,
  notesOf: (day: string) => `Notes of ${day}`,
  noNotes: "No note about them is signed.",
  attended: {
    screen: "by screen",
    phone: "by telephone",
    by_hand: "by hand",
    no: "no",
  } satisfies Record<Attended, string>,
  saidSo: "no, and had said so",
  form: {
    full: "full",
    seated: "seated",
    easier: "easier",
    harder: "harder",
    mouth_first: "full",
    rest: "rest",
  } satisfies Record<Form, string>,
  far: {
    under: "under the first mark",
    first_mark: "first mark",
    target: "target",
    beyond: "beyond",
  } satisfies Record<HowFar, string>,
  /** The marks on a plot, where there is little room. */
  farShort: {
    under: "under",
    first_mark: "first mark",
    target: "target",
    beyond: "beyond",
  } satisfies Record<HowFar, string>,
  answers: { done: "done", stopped: "stopped" } satisfies Record<Answer, string>,
  inStep: (what: string, step: string | null) => (step === null ? what : `${what} (${step})`),
  takenBack: "taken back",
};
