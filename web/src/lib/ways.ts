// The ways in which a person can do a drill other than the class does. It is pure.

import { deskText } from "./messages/desk";
import type { Way } from "./wire/types";

/** Holds of one's own that are often set, in seconds (common practice, no source). */
const OWN_HOLDS_S = [3, 5, 8, 12, 15];

export const WAYS: readonly Way[] = [
  ...(Object.keys(deskText.ways) as (keyof typeof deskText.ways)[]),
  ...OWN_HOLDS_S.map((seconds) => ({ own_hold: seconds * 1_000 })),
];

export function wayWords(way: Way): string {
  return typeof way === "string" ? deskText.ways[way] : deskText.ownHold(way.own_hold / 1_000);
}
