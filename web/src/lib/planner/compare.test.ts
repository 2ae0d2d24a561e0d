import { expect, test } from "vitest";
import { groupRows, personRows, planRows } from "./compare";
import { newStep } from "./draft";
import { newPerson } from "./kinds";
import type { Decided, Group, LibraryBook, Person, Planned } from "../wire/types";

const BOOK: LibraryBook = { drills: [], clue_sets: [], item_sets: [], templates: [], refused: [] };
const PLANNED: Planned = {
  draft: {
    title: "a",
    minutes: 60,
    start: "10:00",
    steps: [
      newStep({ kind: "talk", title: "Hello", minutes: 5 }),
      newStep({ kind: "drill", drill: "sit-tall", change: { reps: 4 } }),
    ],
    home: [],
  },
  day: "2027-03-09",
  group: "g",
};

test("every part of a plan that differs has a row, and nothing else", () => {
  expect(planRows(PLANNED, structuredClone(PLANNED), BOOK, [])).toEqual([]);
  const theirs = structuredClone(PLANNED);
  Object.assign(theirs, { day: null, group: null });
  Object.assign(theirs.draft, { title: "b", minutes: 45, start: null });
  theirs.draft.steps[0]!.part = "Warm-up";
  theirs.draft.steps[1] = newStep({ kind: "drill", drill: "sit-tall", change: { reps: 5, rest_ms: 2_500 } });
  theirs.draft.steps.push(newStep({ kind: "sip", seconds: 30 }));
  theirs.draft.home = [{ drill: "sit-tall", change: {}, times_a_day: 2, days_a_week: 5 }];
  const rows = planRows(PLANNED, theirs, BOOK, [
    { id: "g", name: "Lantern Quay", people: [], weekday: 2, start: "10:00" },
  ]);
  expect(rows.map((row) => [row.what, row.ours, row.theirs])).toEqual([
    ["Name of the plan", "a", "b"],
    ["Minutes", "60", "45"],
    ["Starts at", "10:00", "none"],
    ["Day", "2027-03-09", "none"],
    ["Group", "Lantern Quay", "none"],
    ["Step 1", "Hello · Minutes 5", "part: Warm-up · Hello · Minutes 5"],
    ["Step 2", "sit-tall · Repetitions 4", "sit-tall · Repetitions 5 · Rest between, seconds 2.5"],
    ["Step 3", "not there", "A sip · Seconds 30"],
    ["Home 1", "not there", "sit-tall · Times a day 2 · Days a week 5"],
  ]);
});

test("every part of a group and of a person that differs has a row", () => {
  const ours: Group = {
    name: "a",
    weekday: 2,
    start: null,
    minutes: 60,
    weeks_apart: 8,
    notes: false,
    people: ["1"],
    zone: null,
    first: null,
    last: null,
    others: [],
    entrusted: [],
  };
  const nameOf = (id: string): string => ({ "1": "Ann", "2": "Ben" })[id] ?? "";
  expect(groupRows(ours, structuredClone(ours), nameOf, nameOf)).toEqual([]);
  expect(groupRows(ours, { ...ours, weekday: null, people: ["2"] }, nameOf, nameOf)).toEqual([
    { what: "Meets on", ours: "Tuesday", theirs: "none" },
    { what: "Person 1", ours: "Ann", theirs: "Ben" },
  ]);
  const decided = (what: Decided) => ({ what, by: "Ines", on: "2027-01-12" });
  const ann: Person = { ...newPerson("Ann"), decisions: [decided({ kind: "swallow" })] };
  expect(personRows(ann, structuredClone(ann))).toEqual([]);
  const theirs: Person = {
    ...newPerson("Anna"),
    conditions: ["neck", "heart"],
    decisions: [
      decided({ kind: "cleared", family: "neck" }),
      decided({ kind: "at_most", ceiling: { family: "voice", reps_a_week: 60 } }),
    ],
    forms: [{ of: { family: "neck" }, way: { own_hold: 5_000 }, note: "dizzy" }],
    language: "es",
  };
  theirs.contacts.phone = "555 0100";
  expect(personRows(ann, theirs)).toEqual([
    { what: "First name", ours: "Ann", theirs: "Anna" },
    { what: "Precautions", ours: "none", theirs: "neck · heart, rhythm, blood pressure" },
    {
      what: "Decision 1",
      ours: "Swallow drills may be switched on in class · Ines, 2027-01-12",
      theirs: "cleared for neck · Ines, 2027-01-12",
    },
    { what: "Decision 2", ours: "not there", theirs: "at most 60 a week of voice · Ines, 2027-01-12" },
    { what: "Form 1", ours: "not there", theirs: "neck: hold 5 s at most (dizzy)" },
    { what: "Telephone", ours: "none", theirs: "555 0100" },
    { what: "Language of their page", ours: "none", theirs: "es" },
  ]);
});
