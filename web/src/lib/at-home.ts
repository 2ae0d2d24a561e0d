// What the player shows: the class screen's words and picture, with those of somebody who begins when they like.

import { dayWords } from "./practice/sheet";
import { practiceText as t } from "./messages/practice";
import { sheetText } from "./messages/sheet";
import { language, text } from "./messages";
import { countText, shown, type Shown } from "./shown";
import type { HomePlayer } from "./state/player.svelte";
import type { HomeRun } from "./state/run.svelte";

/** What is on the screen of a home class: its drills one after the other, with what waits between them. */
export function inClass(run: HomeRun, page: HomePlayer | null, audible: boolean): Shown | null {
  const { secondsLeft, drills } = run;
  const number = secondsLeft === null ? null : countText(secondsLeft);
  if (run.isResting) {
    const next = run.coming && t.comes(run.coming.content.title);
    return { ...NOTHING_ON, title: run.of.sheet.title, number, unit: text.stage.units.rest, next };
  }
  const seen = page && atHome(page, audible);
  if (!page || !seen) return null;
  const title = t.ofClass(page.item.content.title, run.number, drills);
  if (page.is !== "ready" || secondsLeft === null) return { ...seen, title };
  const words = t.comes(page.item.content.title);
  // What to take care of needs the room.
  return { ...seen, title, cue: words, lead: words, next: t.comesIn(secondsLeft) };
}

/** A rest between two drills. */
const NOTHING_ON: Shown = {
  title: "",
  tally: null,
  place: "",
  cue: t.rest,
  under: t.drinkNote,
  lead: t.rest,
  below: t.drinkNote,
  marked: false,
  tune: null,
  care: false,
  own: null,
  number: null,
  unit: null,
  next: null,
  caution: null,
  pose: "tall",
  phase: "rest",
  picture: text.stage.atRest,
  resting: true,
  safety: false,
  band: null,
  clue: null,
  hints: [],
  letters: [],
};

/** What is on the screen before the first repetition, in one, and in a rest; null where there is none of these. */
export function atHome(page: HomePlayer, audible: boolean): Shown | null {
  const { stage, item } = page;
  const scene = page.is === "doing" ? page.scene : page.coming;
  if (!stage || !scene) return null;
  const ownForm =
    page.form === item.form
      ? (item.what ?? (sheetText(language).forms[item.form] || null))
      : item.content.easier;
  const hasClock = item.content.forms.some(({ form }) => form === page.form);
  const seen = shown(stage, scene, null, null, { audible, ownForm: hasClock ? null : ownForm });
  const head: Shown = { ...seen, title: t.atHome(item.content.title) };
  if (page.is === "doing") return head;
  const next = scene.on.kind === "ready" ? scene.on.next : null;
  const { reps, sets } = scene.content;
  const waits: Shown = {
    ...head,
    tally: next && { span: next, reps, sets },
    number: null,
    unit: null,
    band: null,
    own: null,
    phase: "rest",
    resting: true,
    tune: null,
    marked: false,
    care: false,
  };
  if (page.is === "resting") return { ...waits, cue: t.rest, lead: t.rest, under: t.asLong, below: t.asLong };
  // There is time to read everything that matters.
  const hurt = item.hurt && sheetText(language).hurtOn(dayWords(item.hurt, language));
  const needs = item.needs.length > 0 ? sheetText(language).needs(item.needs.join(", ")) : null;
  const care = [
    hurt,
    needs,
    item.content.swallow ? sheetText(language).mouth : null,
    ownForm,
    ...item.cautions,
  ];
  const below = care.filter((line) => line).join(" ") || null;
  return { ...waits, cue: t.ready, lead: t.ready, under: below, below, care: true };
}
