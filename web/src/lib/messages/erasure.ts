// What a coordinator reads before a person is erased, in English.

import type { ErasureSheet } from "../wire/types";

const count = (n: number, one: string, more: string): string => `${n} ${n === 1 ? one : more}`;

export const erasureText = {
  title: "Erasing and holding",
  note: "Whether a record must be kept, and for how long, is for the law where you are and your organisation to say; the program does not know it. Ask whoever answers for your records first.",
  look: "What would be erased",
  goes: "What goes",
  stays: "What stays",
  against: "What stands against it",
  ofPerson: "their page, with precautions and what clinicians decided",
  groups: (names: string[]) => `their place in ${new Intl.ListFormat("en").format(names)}`,
  links: (n: number) => count(n, "lasting link", "lasting links"),
  classes: (
    { classes, first, last }: Pick<ErasureSheet, "classes" | "first" | "last">,
    day: (of: string) => string,
  ) =>
    `their name, and all that they or others about them wrote, in ${count(classes, "class", "classes")}` +
    (first === null || last === null
      ? ""
      : first === last
        ? ` of ${day(first)}`
        : ` from ${day(first)} to ${day(last)}`),
  signed: (n: number) =>
    `what ${count(n, "signed note", "signed notes")} about them, and additions, say; that each was signed, and when, stays`,
  mustKeep: (n: number) =>
    `${count(n, "signed note", "signed notes")} about them. Where such notes must be kept for years, hold the record in place of erasing it.`,
  taps: "what the classes did, what was tapped, and which precautions held, under the name of a seat such as “Person 3”",
  reports: (n: number) => count(n, "report of discomfort", "reports of discomfort"),
  reportsNote: "without words of their own; anybody who has to follow one up can no longer do it",
  mentions: (n: number) =>
    `${count(n, "line", "lines")} about others that have their name in them; the program does not change what was written about somebody else`,
  backups: "backups that were made before, until the last of them is gone",
  notOver: "A class with them has not ended.",
  followUps: (n: number) => `${count(n, "follow-up", "follow-ups")} about them still open.`,
  held: (reason: string, since: string) => `Their record is held since ${since}: ${reason}`,
  hold: "Hold the record",
  holdReason: "Why it must be kept for now",
  lift: "Lift the hold",
  typeName: (name: string) => `Type “${name}” to erase them for good`,
  erase: "Erase for good",
};
