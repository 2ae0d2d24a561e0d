// What people choose for their own screen. It is kept on the device for each name that uses it; a new name starts
// with the choices made last on the device.

import type { Shelf as KeptOn } from "./shelf";

/** The languages with a catalogue, by their BCP 47 tags, each named in its own words. */
export const LANGUAGES = { en: "English", es: "Español" } as const;
export type Language = keyof typeof LANGUAGES;

export interface Choices {
  language: Language;
  text: "usual" | "larger" | "largest";
  contrast: "usual" | "more";
  motion: "usual" | "less";
  /** Where the picture stands on the screen. */
  picture: "left" | "right" | "none";
  sounds: boolean;
  /** How loud, from 1 to 3. */
  volume: 1 | 2 | 3;
  voice: boolean;
  /** Whether each cue is also seen at the edge of the screen, and felt. */
  edge: boolean;
}

const ALLOWED: { [K in keyof Choices]: readonly Choices[K][] } = {
  language: Object.keys(LANGUAGES) as Language[],
  text: ["usual", "larger", "largest"],
  contrast: ["usual", "more"],
  motion: ["usual", "less"],
  picture: ["left", "right", "none"],
  sounds: [false, true],
  volume: [2, 1, 3],
  voice: [false, true],
  edge: [false, true],
};

/** A place that keeps texts by name. */
export type Shelf = Pick<KeptOn, "getItem" | "setItem">;

const PLACE = "samebreath.choices";

/** The first of the browser's languages that has a catalogue. */
export function languageOf(tags: readonly string[]): Language {
  const wanted = tags.map((tag) => tag.slice(0, 2).toLowerCase());
  return ALLOWED.language.find((language) => language === wanted.find((tag) => tag in LANGUAGES)) ?? "en";
}

/**
 * The choices of `name` on this device, or else the last ones made on it; anything unreadable becomes the default.
 */
export function recallChoices(shelf: Shelf, name: string | null, tags: readonly string[]): Choices {
  const usual: Choices = {
    language: languageOf(tags),
    text: "usual",
    contrast: "usual",
    motion: "usual",
    edge: false,
    picture: "left",
    sounds: false,
    volume: 2,
    voice: false,
  };
  const kept = (name !== null && read(shelf, `${PLACE}.${name}`)) || read(shelf, PLACE) || {};
  for (const key of Object.keys(ALLOWED) as (keyof Choices)[]) {
    const value: unknown = Reflect.get(kept, key);
    if ((ALLOWED[key] as readonly unknown[]).includes(value)) Reflect.set(usual, key, value);
  }
  return usual;
}

/** Whether anything was chosen under `name` on this device. */
export function hasChosen(shelf: Shelf, name: string): boolean {
  return read(shelf, `${PLACE}.${name}`) !== null;
}

export function keepChoices(shelf: Shelf, name: string | null, choices: Choices): void {
  const text = JSON.stringify(choices);
  for (const place of name === null ? [PLACE] : [PLACE, `${PLACE}.${name}`]) {
    try {
      shelf.setItem(place, text);
    } catch {
      // Storage is full; the choices hold until the page is closed.
    }
  }
}

function read(shelf: Shelf, place: string): object | null {
  try {
    const kept: unknown = JSON.parse(shelf.getItem(place) ?? "null");
    return typeof kept === "object" ? kept : null;
  } catch {
    return null;
  }
}

/** Sets the attributes that the style sheets read. */
export function applyChoices(root: HTMLElement, choices: Choices): void {
  root.lang = choices.language;
  for (const key of ["text", "contrast", "motion", "picture"] as const) root.dataset[key] = choices[key];
}
