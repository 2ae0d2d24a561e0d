// How far a movement has come: slow, then fast, then slow.

/** How long the figure takes to get into a pose, in milliseconds: slow enough to be followed. */
export const EASE_MS = 800;

/** From 0 to 1 as `t` goes from 0 to 1. */
export function eased(t: number): number {
  return t < 0.5 ? 4 * t ** 3 : 1 - (2 - 2 * t) ** 3 / 2;
}
