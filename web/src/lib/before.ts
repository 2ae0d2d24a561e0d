// What a screen shows before the class begins, in the zones that the class will use.

import { text } from "./messages";
import type { Shown } from "./shown";
import { timeOfDay } from "./time-of-day";
import type { Before } from "./wire/types";

/** The band fills over the last quarter of an hour. */
const BAND_MS = 15 * 60_000;
/** A start that is further away than this may be of another day than the plan thinks. */
const SOON_MS = 12 * 3_600_000;
/** Minutes are counted when no more than this many are left. */
const MOST_MINUTES = 60;

export interface Waiting {
  /** What the class is called. */
  title: string;
  before: Before;
  /** Whether people are let in. */
  open: boolean;
  nowMs: number;
  /** Who waits; nobody on the wall. */
  name: string | null;
  /** The first step's title, once it is known. */
  first: string | null;
}

export function shownBefore({ title, before, open, nowMs, name, first }: Waiting): Shown {
  const t = text.before;
  const leftMs = before.starts === null ? 0 : before.starts - nowMs;
  const starts = leftMs > 0 && leftMs < SOON_MS ? before.starts : null;
  const minutes = Math.ceil(leftMs / 60_000);
  const soon = open ? t.beginsSoon : t.opensSoon;
  const when = starts === null ? soon : t.startsAt(timeOfDay(starts));
  const here = open && before.here > 0 && !(name === null && before.here === 1) ? t.here(before.here) : "";
  const counts = starts !== null && minutes <= MOST_MINUTES;
  const cue = name === null ? when : t.greeting(new Date(nowMs).getHours(), name);
  const under = name === null ? here : `${when} ${here}`.trim();
  return {
    title,
    tally: null,
    place: timeOfDay(nowMs),
    cue,
    under,
    lead: cue,
    below: under,
    marked: false,
    tune: null,
    care: false,
    own: null,
    number: counts ? String(minutes) : null,
    unit: counts ? t.minutes(minutes) : null,
    next: first === null ? null : t.first(first),
    caution: null,
    pose: "tall",
    phase: null,
    picture: text.stage.atRest,
    resting: false,
    safety: false,
    band:
      starts !== null && leftMs <= BAND_MS
        ? {
            name: `before.${starts}`,
            lengthMs: BAND_MS,
            leftMs,
            running: true,
            marks: null,
            beatMs: null,
            firmFrom: null,
            end: t.weStart(timeOfDay(starts)),
          }
        : null,
    clue: null,
    hints: [],
    letters: [],
  };
}
