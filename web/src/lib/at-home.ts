// What the player shows: the class screen's words and picture, with those of somebody who begins when they like.

import { practiceText as t } from "./messages/practice";
import { sheetText } from "./messages/sheet";
import { language } from "./messages";
import { shown, type Shown } from "./shown";
import type { HomePlayer } from "./state/player.svelte";

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
  const care = [item.content.swallow ? sheetText(language).mouth : null, ownForm, ...item.cautions];
  const below = care.filter((line) => line).join(" ") || null;
  return { ...waits, cue: t.ready, lead: t.ready, under: below, below, care: true };
}
