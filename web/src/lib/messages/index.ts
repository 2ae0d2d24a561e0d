// The catalogue in use. The pages of participants have the language that the person chose. A wall belongs to
// a whole class: it has the language of its address (`/wall/STAY?in=es`). The pages of staff have English.

import { LANGUAGES, recallChoices, type Language } from "../choices";
import { device, NOTHING } from "../shelf";
import { en, type Messages } from "./en";
import { es } from "./es";

const CATALOGUES: Record<Language, Messages> = { en, es };

/** The language of this page. */
export const language: Language = languageOfPage();

function languageOfPage(): Language {
  if (typeof document === "undefined") return "en";
  if (document.documentElement.hasAttribute("data-chooses")) {
    return recallChoices(device ?? NOTHING, null, navigator.languages).language;
  }
  const asked = new URLSearchParams(location.search).get("in") ?? "";
  return asked in LANGUAGES ? (asked as Language) : "en";
}

export const text: Messages = CATALOGUES[language];

/** Minutes and seconds of a length, as 3:05. */
export function clockText(ms: number): string {
  const seconds = Math.round(Math.abs(ms) / 1000);
  return text.minutesSeconds(Math.floor(seconds / 60), seconds % 60);
}

/** A message in the words of this page, if it is one of the desk's own sentences; whatever was written stays as it is. */
export function inOwnWords(message: string, words: Messages = text): string {
  return message === en.seat.askedWell ? words.seat.askedWell : message;
}
