// The catalogue in use. One language so far; a second is chosen here.

import { en, type Messages } from "./en";

export const text: Messages = en;

/** Minutes and seconds of a length, as 3:05. */
export function clockText(ms: number): string {
  const seconds = Math.round(Math.abs(ms) / 1000);
  return text.minutesSeconds(Math.floor(seconds / 60), seconds % 60);
}
