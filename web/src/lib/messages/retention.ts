// What a coordinator reads about how long things are kept, in English.

import type { RetentionReport } from "../wire/types";

const count = (n: number, one: string, more: string): string => `${n} ${n === 1 ? one : more}`;

export const retentionText = {
  title: "What is kept, and how long",
  note: "How long records must be kept, and how long they may be, is for the law where you are, your contracts and whoever answers for your records: it may be years after the last class, and longer for some people. The program does not know it, so it asks.",
  open: "Nobody has chosen yet how long records are kept. Until then, everything is kept.",
  record: "Years for which a person’s record is kept, from their last class on",
  recordNote:
    "Their page, precautions and decisions, and their name and words in classes. Nobody’s record goes while they are enrolled in a group that goes on. Empty: everything is kept.",
  links: "Days for which the links of somebody who has left still work, from their last class on",
  linksNote: "Word that somebody cannot come is forgotten as long after its class.",
  audit: "Years for which the list of who did what is kept",
  auditNote: "Where the law names a time for such lists, it is often six years.",
  save: "Save",
  saved: "Saved.",
  behind: "Somebody else changed this a moment ago. Look at what they chose, then change it again.",
  leaving: "Whose record goes",
  leavingNote:
    "It is announced thirty days before. To keep a record longer, open the person and hold it; to keep it altogether, enrol them again.",
  nobody: "Nobody’s.",
  goes: (on: string, last: string) => `goes on ${on}; last class ${last}`,
  held: (last: string) => `held; last class ${last}`,
  openPerson: (name: string) => `Open ${name}`,
  today: "What would go today",
  days: "What went",
  daysNote:
    "Old records are looked after once a day, after 3:00 UTC. A report has numbers only. Backups that were made before still have what went, until the last of them is gone.",
  noDays: "No day yet.",
  day: "Day",
  nothing: "nothing",
};

/** What went on a day, in words. */
export function reportWords(report: RetentionReport): string {
  const parts: [number, string, string][] = [
    [report.announced, "record announced", "records announced"],
    [report.erased, "person erased", "people erased"],
    [report.guests, "class without its guests’ names", "classes without their guests’ names"],
    [report.links, "link ended", "links ended"],
    [report.words, "message about an absence forgotten", "messages about absences forgotten"],
    [report.acts, "row of the audit emptied", "rows of the audit emptied"],
    [report.held, "record held", "records held"],
    [report.failed, "could not be erased", "could not be erased"],
  ];
  const said = parts.filter(([n]) => n > 0).map(([n, one, more]) => count(n, one, more));
  return said.length > 0 ? said.join(", ") : retentionText.nothing;
}
