// What the tests of practice at home have in common.

import { tabKeep as tabKeepIn, type Keep } from "./keep";
import { MemoryShelf } from "../shelf";
import type {
  Content,
  HomeDone,
  HomeDrillSheet,
  OwnHomeClass,
  OwnSheets,
  Phase,
  Span,
  Timeline,
} from "../wire/types";

export const tabKeep = (): Keep => tabKeepIn(new MemoryShelf());
export const LINK = "11111111-1111-4111-8111-111111111111";
export const CLASS = "22222222-2222-4222-8222-222222222222";

/** Spans one after the other; each is a phase, its length in seconds, its repetition, and perhaps its set. */
export function timeline(...parts: [Phase, number, number, number?][]): Timeline {
  let at = 0;
  const spans = parts.map(([phase, s, rep, set = 1]): Span => {
    const span = {
      start_ms: at,
      len_ms: s * 1_000,
      phase,
      cue: phase,
      set,
      rep,
      side: 0,
      marks: null,
      held_ms: 0,
    };
    at += span.len_ms;
    return span;
  });
  return { ready_ms: 7_000, spans, total_ms: at };
}

/** Two repetitions with a long rest between them, and a rest at the end. */
export const AH = timeline(
  ["breathe_in", 3, 1],
  ["voice", 10, 1],
  ["rest", 15, 1],
  ["breathe_in", 3, 2],
  ["voice", 10, 2],
  ["rest", 15, 2],
);
/** Three with short rests, two of which go by themselves. */
export const HISS = timeline(
  ["voice", 6, 1],
  ["rest", 4, 1],
  ["voice", 6, 2],
  ["rest", 4, 2],
  ["voice", 6, 3],
);

export const log = (id: string): HomeDone => ({
  class: CLASS,
  log: {
    id,
    drill: "strong-ah",
    form: "full",
    asked: { reps: 2, times_a_day: 1, days_a_week: 5 },
    done: 2,
    ease: null,
    hurt: false,
    noted: "screen",
    day: "2026-10-07",
    offset_minutes: 60,
  },
});

export const CONTENT: Content = {
  id: 1,
  rev: 0,
  kind: "drill",
  title: "Strong ah",
  purpose: null,
  family: "voice",
  caution: "Strong, not tight.",
  easier: null,
  sides: [],
  reps: 2,
  sets: 1,
  swallow: false,
  eyes_away: false,
  tap: "rests",
  pose: "tall",
  forms: [{ form: "easier", reps: 2, timeline: timeline(["voice", 4, 1], ["rest", 5, 1], ["voice", 4, 2]) }],
  timeline: AH,
} as unknown as Content;
export const ITEM = {
  drill: "strong-ah",
  form: "full",
  hold_ms: null,
  what: null,
  pose: "tall",
  how: [],
  set_rest_ms: 0,
  sides: [],
  words: [],
  reps: 2,
  sets: 1,
  times_a_day: 1,
  days_a_week: 5,
  cautions: ["Strong, not tight."],
  needs: [],
  hurt: null,
  content: CONTENT,
} as unknown as HomeDrillSheet;
export const SHEET = {
  name: "Ada",
  language: null,
  from: "2026-10-06",
  until: "2026-10-13",
  items: [ITEM],
  left_out: [],
};
export const OWN: OwnSheets = {
  name: "Ada",
  emergency_number: "555",
  shared: false,
  sheets: [{ class: CLASS, by: "Ines", sheet: SHEET }],
  classes: [],
};

/** A home class of two drills with a rest between them. */
export const HOME_CLASS: OwnHomeClass = {
  id: "33333333-3333-4333-8333-333333333333",
  class: CLASS,
  sheet: {
    title: "Evening hour",
    intro: "Sit where you can hold on.",
    by: "Ines",
    from: "2026-10-06",
    until: "2026-10-13",
    days_a_week: 3,
    steps: [
      { kind: "drill", sheet: ITEM },
      { kind: "rest", ms: 20_000 },
      {
        kind: "drill",
        sheet: {
          ...ITEM,
          drill: "hiss",
          reps: 3,
          content: { ...CONTENT, title: "Hiss", reps: 3, forms: [], timeline: HISS },
        },
      },
    ],
    between_ms: 15_000,
    total_ms: 63_000 + 20_000 + 15_000 + 33_000,
    left_out: [],
  },
};
