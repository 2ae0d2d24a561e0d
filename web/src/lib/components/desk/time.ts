// How an instant is written at the desk.

/** The time of day on the desk's own clock, such as 10:17. */
export function timeOfDay(ms: number): string {
  return new Date(ms).toLocaleTimeString([], { hour: "2-digit", minute: "2-digit" });
}
