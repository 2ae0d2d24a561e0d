import { describe, expect, test } from "vitest";
import { dose, lines, needs, reachWords, tomorrow } from "./after";
import type {
  AfterClass,
  AtDeskPerson,
  ClassRecord,
  PersonRecord,
  ReportRecord,
  StepRecord,
} from "./wire/types";

const person = (seat: number, name: string, change: Partial<PersonRecord> = {}): PersonRecord => ({
  seat,
  person: null,
  name,
  partner: null,
  attended: "screen",
  minutes: 60,
  recorded_minutes: 60,
  corrected: null,
  came_at: null,
  left_at: null,
  away_minutes: 0,
  gone_minutes: 0,
  lost: 0,
  cannot_come: false,
  steps: [],
  stops: [],
  check_in: null,
  efforts: [],
  practised: [],
  to_follow_up: false,
  ...change,
});

const step = (id: number, title: string, change: Partial<StepRecord> = {}): StepRecord => ({
  step: id,
  title,
  kind: "drill",
  drill: "d",
  planned_ms: 120_000,
  planned: { reps: 5, holds: 5, held_ms: 100_000 },
  done: { reps: 5, held_ms: 100_000, completed: 5, partial: 0 },
  took_ms: 1,
  asked: 4,
  did: 3,
  stopped: 0,
  rested: 0,
  effort: [],
  ...change,
});

const report: ReportRecord = {
  id: "r",
  seat: 1,
  name: "Pat",
  at: 0,
  said: { whose: "own", where: null, strength: null, urgent: "chest_pain", words: null },
  strength: null,
  step: 2,
  state: "closed",
  handled: [{ to: "taken", by: "facilitator", name: "Ines", at: 6_000 }],
  taken_back: false,
};

const stop = (at: number, reason: "tired" | "hurts" | null) => ({
  at,
  step: 2,
  reason,
  whose: "own" as const,
});
const record: ClassRecord = {
  title: "Hour",
  started_at: 0,
  ended_at: 1,
  minutes: 60,
  led_by: ["Ines"],
  home: [],
  people: [
    person(1, "Pat", { stops: [stop(1, "hurts")] }),
    person(2, "Anselm", { stops: [stop(2, "tired"), stop(3, null)] }),
    person(3, "Yuki"),
    person(4, "Bo", { attended: "no", minutes: 0 }),
  ],
  steps: [step(2, "Steady strong ah")],
  reports: [report],
};
const followUp = (id: number, seat: number) => ({
  id,
  seat,
  what: "Call",
  owner: "Ines",
  due: "2027-01-01",
  closed_at: null,
  outcome: null,
});
const after: AfterClass = {
  record,
  concerns: [
    { seat: 1, about: "report", report: "r" },
    { seat: 2, about: "stops", times: 2 },
    { seat: 3, about: "away", minutes: 12 },
    { seat: 4, about: "missed" },
  ],
  incidents: [],
  follow_ups: [followUp(1, 2), followUp(2, 2), followUp(3, 9)],
  colleagues: [],
  next: null,
};

describe("who may need a follow-up", () => {
  const found = needs(after);

  test("says who and what, in words", () => {
    expect(found.slice(0, 4).map((need) => need.title)).toEqual([
      "Pat: chest pain",
      "Anselm: stopped, tired, twice",
      "Yuki: screen away for 12 min",
      "Bo: did not come",
    ]);
    expect(found[0]!.more).toContain("in Steady strong ah · Ines took it after 6 s");
    expect(found[1]!.more).toBe("Steady strong ah");
  });

  test("has each follow-up once, also one of somebody who is not in the list", () => {
    expect(found.map((need) => need.followUps.map((one) => one.id))).toEqual([[], [1, 2], [], [], [3]]);
    expect(found[4]!.proposal).toBe("");
  });
});

test("a dose is as people say it, and what was shorter says so", () => {
  expect(dose({ reps: 5, held_ms: 100_000 }, 5)).toBe("5 × 20 s");
  expect(dose({ reps: 4, held_ms: 44_000 }, 0)).toBe("4, 44 s held");
  expect(dose({ reps: 10, held_ms: 0 }, 0)).toBe("10");
  const shown = (change: Partial<StepRecord>) => {
    const [line] = lines({ ...record, steps: [step(2, "x", change)] });
    return [line!.planned, line!.done, line!.is, line!.people];
  };
  expect(shown({})).toEqual(["5 × 20 s", "5 × 20 s", "as planned", "3 of 4"]);
  expect(shown({ done: { reps: 3, held_ms: 60_000, completed: 3, partial: 0 } })).toEqual([
    "5 × 20 s",
    "3 × 20 s",
    "shorter",
    "3 of 4",
  ]);
  expect(shown({ done: { reps: 3, held_ms: 64_000, completed: 3, partial: 1 } })[1]).toBe("3, 64 s held");
  expect(shown({ took_ms: 0, asked: 0, did: 0 })).toEqual(["5 × 20 s", "5 × 20 s", "left out", ""]);
  expect(lines({ ...record, steps: [step(2, "Talk", { drill: null })] })).toEqual([]);
});

test("how a person is reached says each thing once, and says so when nothing is known", () => {
  const contacts = {
    phone: "555 0100",
    mail: null,
    place: "2 Quay",
    partner: "Jo",
    partner_phone: "555 0101",
  };
  const of = (change: object) =>
    reachWords({ check_in: null, contacts, ...change } as unknown as AtDeskPerson);
  expect(of({})).toBe("2 Quay · 555 0100 · Jo, 555 0101");
  expect(of({ check_in: { place: "at her son's", contact: "555 0100" } })).toBe(
    "at her son's · 555 0100 · Jo, 555 0101",
  );
  expect(of({ contacts: null })).toBe("No place or number is known. Look at their page.");
});

test("the next day comes after the last of a month and of a year", () => {
  expect(tomorrow(new Date(2026, 1, 28, 23, 59).getTime())).toBe("2026-03-01");
  expect(tomorrow(new Date(2026, 11, 31).getTime())).toBe("2027-01-01");
});
