// What the page after a class says, in English.

import type { Attended, Came } from "../wire/types";

const many = (n: number, one: string, more: string): string => (n === 1 ? one : `${n} ${more}`);

export const afterText = {
  over: "The class is over. Every screen has said goodbye.",
  toToday: "Today",
  writeNotes: "Write the notes",
  homeSheets: "Home sheets",
  copyPlanTo: (day: string) => `Copy the plan to ${day}`,
  planFor: (day: string) => `The plan for ${day}`,
  needs: "Who may need a follow-up",
  needsNone: "Nothing in the record calls for one.",
  needsNote: "A list to look through. Whether anything is to be done, and what, is for a clinician to say.",
  openAndDone: (open: number, done: number) =>
    open + done === 0
      ? ""
      : [open ? `${open} open` : "", done ? `${done} done` : ""].filter(Boolean).join(", "),
  about: {
    stops: (reasons: string[], times: number) =>
      ["stopped", ...reasons, times === 1 ? "" : times === 2 ? "twice" : `${times} times`]
        .filter(Boolean)
        .join(", "),
    away: (minutes: number) => `screen away for ${minutes} min`,
    lost: (times: number) => (times === 1 ? "lost in a drill" : `lost in a drill ${times} times`),
    missed: "did not come",
  },
  lostMore: "Their screen went silent in a swallow or a hold, and came back.",
  proposal: (name: string, what: string) => `Ask ${name} about it: ${what}`,
  missedMore: "Expected, and sent no word.",
  came: (time: string) => `came at ${time}`,
  left: (time: string) => `left at ${time}`,
  takenBy: (who: string, seconds: number) =>
    `${who} took it after ${seconds < 120 ? `${seconds} s` : `${Math.round(seconds / 60)} min`}`,
  nobodyTook: "Nobody at a desk took it",
  takenBack: "taken back",
  inStep: (step: string) => `in ${step}`,
  noContact: "No place or number is known. Look at their page.",
  addFollowUp: "Plan a follow-up",
  addAnother: "One more",
  forSomebodyElse: "A follow-up for somebody else",
  person: "For whom",
  what: "What needs doing",
  owner: "Who does it",
  due: "By",
  save: "Save",
  cancel: "Cancel",
  dueBy: (owner: string, day: string) => `${owner}, by ${day}`,
  close: "Close it",
  outcome: "What came of it",
  doneIs: (outcome: string) => (outcome ? `Done: ${outcome}` : "Done."),
  done: "What was done",
  doneSummary: (minutes: number, drills: number, shorter: number, left: number) =>
    [
      `${minutes} min`,
      many(drills, "1 drill", "drills"),
      shorter ? `${shorter} shorter than planned` : "",
      left ? `${left} left out` : "",
    ]
      .filter(Boolean)
      .join(", "),
  drill: "Drill",
  planned: "Planned",
  didIt: "Done",
  people: "People",
  peopleNote: "Who said that they did it, of those whom it was for.",
  effort: "Effort, 0 to 10",
  forNobody: "for nobody",
  leftOut: "left out",
  none: "No drill was in this class.",
  didOf: (did: number, asked: number) => `${did} of ${asked}`,
  sending: "Saving …",
  onTheWay: (n: number) =>
    n === 1 ? "One thing is on its way to the server." : `${n} things are on their way to the server.`,
  attendance: "Who came",
  ofCame: (expected: number) => `of ${expected} came`,
  minutesNote: "Minutes in class.",
  corrected: "put right by hand",
  attended: { screen: "", phone: "by telephone", by_hand: "by hand", no: "did not come" } satisfies Record<
    Attended,
    string
  >,
  correct: "minutes in class: put right",
  minutes: "Minutes",
  why: "Why",
  recorded: (minutes: number) => `The record says ${minutes} min.`,
  asFiles: "All classes, as files:",
  files: {
    "classes.csv": "Classes",
    "attendance.csv": "Attendance",
    "answers.csv": "Answers",
    "efforts.csv": "Effort",
    "reports.csv": "Reports",
    "records.json": "All in one (JSON)",
  },
  showAttendance: "Show who came",
  attendanceTable: "Who came to the last classes",
  noClasses: "No class of this group has been held yet.",
  failed: "That did not work. Try again.",
  name: "Name",
  openClass: (day: string) => `What the class of ${day} was`,
  cameColumn: "Came",
  hours: "Hours",
  cameOf: (came: number, of: number) => `${came} of ${of}`,
  guests: (n: number) => (n === 1 ? "(1 guest)" : `(${n} guests)`),
  notEnrolled: "no longer in the group",
  notExpected: "was not expected",
  min: (minutes: number) => `${minutes} min`,
  cameTo: {
    whole: "whole class",
    part: "part of it",
    no: "did not come",
    said_no: "had said so",
  } satisfies Record<Came, string>,
  log: (n: number) => `Everything that happened, ${n === 1 ? "1 entry" : `${n} entries`}`,
};
