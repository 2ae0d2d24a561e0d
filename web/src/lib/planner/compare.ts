// Says in words where two versions of a plan, a group or a round differ.

import { staffText } from "../messages/staff";
import { cardOf } from "./draft";
import { deskText } from "../messages/desk";
import { personText } from "../messages/person";
import { plannerText as t } from "../messages/planner";
import { isSame } from "../same";
import { wayWords } from "../ways";
import type {
  Decided,
  Decision,
  DoseChange,
  DraftStep,
  Group,
  OtherDay,
  Person,
  PersonalForm,
  GroupCard,
  HomeItem,
  Lengths,
  LibraryBook,
  Planned,
  StepRequest,
  WrittenClue,
  WrittenRound,
} from "../wire/types";

/** A part that differs, and what it says in each version. */
export interface Row {
  what: string;
  ours: string;
  theirs: string;
}

/** One thing in both versions, and how to say it in words. */
function row<T>(what: string, ours: T, theirs: T, words: (of: T) => string): Row[] {
  return isSame(ours, theirs) ? [] : [{ what, ours: words(ours), theirs: words(theirs) }];
}

/** Compares two lists place by place; where one of them is shorter, that is said too. */
function rows<T>(ours: T[], theirs: T[], name: (at: number) => string, words: (of: T) => string): Row[] {
  const many = Math.max(ours.length, theirs.length);
  const said = (of: T | undefined): string => (of === undefined ? t.notThere : words(of));
  return Array.from({ length: many }, (_, at) => row(name(at), ours[at], theirs[at], said)).flat();
}

const orNone = (text: string | null): string => text ?? t.none;

export function planRows(ours: Planned, theirs: Planned, book: LibraryBook, groups: GroupCard[]): Row[] {
  const [here, there] = [ours.draft, theirs.draft];
  const groupName = (id: string | null): string =>
    orNone(groups.find((group) => group.id === id)?.name ?? null);
  return [
    ...row(t.name, here.title, there.title, String),
    ...row(t.minutes, here.minutes, there.minutes, String),
    ...row(t.start, here.start, there.start, orNone),
    ...row(t.day, ours.day, theirs.day, orNone),
    ...row(t.group, ours.group, theirs.group, groupName),
    ...rows(
      here.steps,
      there.steps,
      (at) => t.step(at + 1),
      (step) => stepWords(step, book),
    ),
    ...rows(
      here.home,
      there.home,
      (at) => t.homeItem(at + 1),
      (item) => homeWords(item, book),
    ),
  ];
}

export function groupRows(
  ours: Group,
  theirs: Group,
  nameOf: (id: string) => string,
  colleagueOf: (id: string) => string,
): Row[] {
  return [
    ...row(t.groupName, ours.name, theirs.name, String),
    ...row(t.weekday, ours.weekday, theirs.weekday, (day) => (day === null ? t.none : t.weekdays[day - 1]!)),
    ...row(t.start, ours.start, theirs.start, orNone),
    ...row(t.minutes, ours.minutes, theirs.minutes, String),
    ...row(t.zone, ours.zone, theirs.zone, orNone),
    ...row(t.firstDay, ours.first, theirs.first, orNone),
    ...row(t.lastDay, ours.last, theirs.last, orNone),
    ...rows(ours.others, theirs.others, (at) => t.otherDay(at + 1), otherWords),
    ...row(t.weeksApart, ours.weeks_apart, theirs.weeks_apart, String),
    ...row(t.writesNotes, ours.notes, theirs.notes, (is) => (is ? t.yes : t.no)),
    ...rows(ours.people, theirs.people, (at) => t.person(at + 1), nameOf),
    ...row(staffText.entrusted, ours.entrusted, theirs.entrusted, (all) =>
      all.length === 0 ? t.none : said(all.map(colleagueOf)),
    ),
  ];
}

/** What is different about one day of a group. */
export function otherWords({ of, cancelled, day, start, minutes, led_by }: OtherDay): string {
  return said([
    of,
    cancelled && `${t.cancelled}: ${cancelled}`,
    day && `${t.movedTo} ${day}`,
    start && `${t.start} ${start}`,
    minutes === null ? null : `${t.minutes} ${minutes}`,
    led_by && `${t.ledBy} ${led_by}`,
  ]);
}

export function personRows(ours: Person, theirs: Person): Row[] {
  const named = (conditions: Person["conditions"]): string =>
    conditions.length === 0 ? t.none : said(conditions.map((one) => deskText.conditions[one]));
  return [
    ...row(t.personName, ours.name, theirs.name, String),
    ...row(t.precautions, ours.conditions, theirs.conditions, named),
    ...rows(ours.decisions, theirs.decisions, (at) => t.decision(at + 1), decisionWords),
    ...rows(ours.forms, theirs.forms, (at) => personText.form(at + 1), formWords),
    ...(["phone", "mail", "place", "partner", "partner_phone"] as const).flatMap((key) =>
      row(personText.contacts[key], ours.contacts[key], theirs.contacts[key], orNone),
    ),
    ...row(personText.language, ours.language, theirs.language, orNone),
  ];
}

/** A personal form in words. */
export function formWords({ of, way, note }: PersonalForm): string {
  const about = "family" in of ? deskText.families[of.family] : of.drill;
  return `${about}: ${wayWords(way)}${note === null ? "" : ` (${note})`}`;
}

export function roundRows(ours: WrittenRound, theirs: WrittenRound): Row[] {
  const seconds = (ms: number | null): string => (ms === null ? t.none : String(ms / 1000));
  return [
    ...row(t.round.theme, ours.theme, theirs.theme, String),
    ...row(t.round.game, ours.game, theirs.game, (game) => t.round.games[game]),
    ...row(t.round.language, ours.language, theirs.language, String),
    ...row(t.round.seconds, ours.counter_ms, theirs.counter_ms, seconds),
    ...rows(ours.clues, theirs.clues, (at) => t.round.clue(at + 1), clueWords),
  ];
}

function clueWords({ clue, answer, accept, more, starts, other, because }: WrittenClue): string {
  return said([clue, answer, ...accept, more, starts, other, because]);
}

function stepWords({ part, title, note, what }: DraftStep, book: LibraryBook): string {
  const partWords = part && `${t.partWord}: ${part}`;
  return said([partWords, title ?? whatName(what, book), ...whatWords(what), note && `${t.note}: ${note}`]);
}

/** The name of a step that has no title of its own. */
export function whatName(what: StepRequest, book: LibraryBook): string {
  switch (what.kind) {
    case "drill":
      return cardOf(book, what.drill)?.drill.name ?? what.drill;
    case "clues":
      return book.clue_sets.find((set) => set.id === what.set)?.theme ?? unknownSet(what.set);
    case "talk":
    case "check_in":
      return what.title;
    case "sip":
      return t.sip;
    case "effort":
      return t.effort;
  }
}

/** A round that was written here and is unfinished or removed has no name; the advice says what is the matter. */
const unknownSet = (id: string): string => (id.startsWith("own-") ? t.writtenRound : id);

const hundredths = (number: number): number => Math.round(number * 100) / 100;

function whatWords(what: StepRequest): string[] {
  switch (what.kind) {
    case "drill":
      return doseWords(what.change);
    case "clues":
      return [
        `${t.minutes} ${hundredths(what.minutes)}`,
        what.only.length > 0 ? `${t.only} ${what.only.join(" ")}` : "",
      ];
    case "talk":
    case "check_in":
      return [`${t.minutes} ${hundredths(what.minutes)}`];
    case "sip":
      return [`${t.seconds} ${what.seconds}`];
    case "effort":
      return [];
  }
}

function doseWords({ hold, lengths, ...change }: DoseChange): string[] {
  const seconds = (ms: number): string => String(ms / 1000);
  const words = [
    change.sets ? `${t.sets} ${change.sets}` : "",
    change.reps ? `${t.reps} ${change.reps}` : "",
    hold?.kind === "fixed" ? `${t.hold} ${seconds(hold.ms)}` : "",
  ];
  if (hold?.kind === "open") {
    for (const mark of ["floor_ms", "target_ms", "limit_ms"] as const) {
      words.push(`${t.marks[mark]} ${seconds(hold[mark])}`);
    }
  }
  const times: [string, number | undefined][] = [
    [t.rest, change.rest_ms],
    [t.setRest, change.set_rest_ms],
    [t.switchSides, change.switch_ms],
    [t.explain, change.explain_ms],
    ...(Object.keys(t.lengths) as (keyof Lengths)[]).map((key): [string, number | undefined] => [
      t.lengths[key],
      lengths?.[key],
    ]),
  ];
  for (const [name, ms] of times) if (ms !== undefined) words.push(`${name} ${seconds(ms)}`);
  if (change.shown !== undefined) words.push(`${t.shown} ${change.shown}`);
  return words;
}

function homeWords({ drill, change, times_a_day, days_a_week }: HomeItem, book: LibraryBook): string {
  const often = [`${t.timesADay} ${times_a_day}`, `${t.daysAWeek} ${days_a_week}`];
  return said([cardOf(book, drill)?.drill.name ?? drill, ...doseWords(change), ...often]);
}

/** A clinician's decision in words, with name and day. */
export function decisionWords({ what, by, on }: Decision): string {
  return said([decidedWords(what), t.decidedBy(by, on)]);
}

function decidedWords(what: Decided): string {
  switch (what.kind) {
    case "swallow":
      return t.maySwallow;
    case "cleared":
      return t.clearedFor(deskText.families[what.family]);
    case "at_most":
      return t.ceiling(deskText.families[what.ceiling.family], what.ceiling.reps_a_week);
  }
}

function said(parts: (string | null)[]): string {
  return parts.filter(Boolean).join(" · ");
}
