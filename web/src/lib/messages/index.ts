// The catalogue in use. The pages of participants have the language that the person chose, the pages of
// staff have English.

import { recallChoices, type Language } from "../choices";
import { en, type Messages } from "./en";
import { es } from "./es";

const CATALOGUES: Record<Language, Messages> = { en, es };

/** The language of this page. */
export const language: Language =
  typeof document !== "undefined" && document.documentElement.hasAttribute("data-chooses")
    ? recallChoices(localStorage, null, navigator.languages).language
    : "en";

export const text: Messages = CATALOGUES[language];

/** Minutes and seconds of a length, as 3:05. */
export function clockText(ms: number): string {
  const seconds = Math.round(Math.abs(ms) / 1000);
  return text.minutesSeconds(Math.floor(seconds / 60), seconds % 60);
}
