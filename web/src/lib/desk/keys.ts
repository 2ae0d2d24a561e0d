// The desk's keys: what the main key does now, the three keys beside it that depend on the kind of step, and the
// keyboard. It is pure.

import type { DeskFrame, SheetStep, Stage } from "../wire/types";

/** What the main key does. Within a clue round it goes through clue, hints and answer, and then to the next clue. */
export type Forward = "open" | "start" | "begin" | "clue" | "hint" | "answer" | "next" | "end";

export interface Standing {
  stage: Stage | null;
  frame: DeskFrame | null;
  present: SheetStep | null;
  following: SheetStep | null;
  /** Whether the class waits before a swallow drill until mouths are empty. */
  waitsForMouths: boolean;
}

export function forwardOf({ stage, frame, present, following, waitsForMouths }: Standing): Forward {
  if (stage?.phase === "closed") return "open";
  if (!present) return "start";
  if (waitsForMouths) return "begin";
  const clue = frame?.clue;
  if (clue && clue.number === 0) return "clue";
  if (clue && !clue.answer_shown) return clue.hints_shown < clue.hints.length ? "hint" : "answer";
  if (clue && clue.number < clue.of) return "clue";
  return following ? "next" : "end";
}

/** What a key does that stands between the pause and *More*. */
export type Second =
  "longer" | "minute" | "rep" | "back" | "answer" | "nextClue" | "clearing" | "plan" | "people" | "effort";

/** The three keys that depend on the kind of step; *Back* is always the third once the class has begun. */
export function secondKeys(stage: Stage | null, present: SheetStep | null): [Second, Second, Second] {
  if (stage?.phase !== "running" || !present) return ["clearing", "people", "plan"];
  switch (present.kind) {
    case "drill":
    case "sip":
      return ["longer", "rep", "back"];
    case "clues":
      return ["answer", "nextClue", "back"];
    case "check_in":
      return ["minute", "clearing", "back"];
    case "talk":
    case "effort":
      return ["minute", "plan", "back"];
  }
}

export type Act =
  "forward" | "pause" | "safety" | "cut" | "see" | "take" | "resolve" | "more" | "dose" | "message" | Second;

/** The keyboard; a presenter's remote sends PageDown and PageUp. */
export const KEYS: Readonly<Record<string, Act>> = {
  PageDown: "forward",
  ArrowRight: "forward",
  PageUp: "back",
  ArrowLeft: "back",
  " ": "pause",
  Escape: "safety",
  t: "take",
  s: "see",
  d: "resolve",
  m: "longer",
  r: "rep",
  c: "cut",
  v: "answer",
  n: "nextClue",
  w: "clearing",
  o: "dose",
  e: "effort",
  l: "plan",
  p: "people",
  a: "message",
  "/": "more",
};

const NAMES: Record<string, string> = { " ": "Space", Escape: "Esc", PageDown: "PgDn", PageUp: "PgUp" };

/** How a keyboard key is called on the screen. */
export function keyName(act: Act): string {
  // What the key for more time does depends on the step.
  const wanted = act === "minute" ? "longer" : act;
  const key = Object.keys(KEYS).find((key) => KEYS[key] === wanted) ?? "";
  return NAMES[key] ?? key.toUpperCase();
}

/** What the keyboard key `key` is for; null when the desk has no such key. */
export function actOf(key: string): Act | null {
  return KEYS[key.length === 1 ? key.toLowerCase() : key] ?? null;
}
