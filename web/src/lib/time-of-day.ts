// How an instant is written, on the device's own clock.

import { language } from "./messages";

/** How this device writes the page's language: in some places the day has twelve hours, twice. */
const LOCALES = [
  ...(globalThis.navigator?.languages ?? []).filter((tag) => tag.startsWith(language)),
  language,
];

/** The time of day as this device writes it, such as 9:54. */
export function timeOfDay(ms: number): string {
  return new Date(ms).toLocaleTimeString(LOCALES, { hour: "numeric", minute: "2-digit" });
}

/** The day as this device writes it, such as Tuesday 9 March. */
export function dayText(ms: number): string {
  return new Date(ms).toLocaleDateString(LOCALES, { weekday: "long", day: "numeric", month: "long" });
}

/** The calendar day of an instant on this device, as a date field has it. */
export function dateOf(ms: number): string {
  const day = new Date(ms);
  const two = (n: number): string => String(n).padStart(2, "0");
  return `${day.getFullYear()}-${two(day.getMonth() + 1)}-${two(day.getDate())}`;
}
