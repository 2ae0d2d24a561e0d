// Which start sound opens what is on now.

import { isRest } from "./player";
import type { Scene } from "./state/session.svelte";
import type { Pattern } from "./tone";

/** The pattern, and a name that changes with every phase; null where nothing sounds. */
export function toneOf(scene: Scene): { pattern: Pattern; name: string } | null {
  if (scene.at.paused) return null;
  const { on: now } = scene;
  switch (now.kind) {
    case "span":
      if (now.span.phase === "change_sides") return { pattern: "change", name: `${now.index}` };
      return { pattern: isRest(now.span) ? "rest" : "start", name: `${now.index}` };
    case "over":
      return { pattern: "rest", name: "over" };
    case "ready":
    case "unclocked":
      return null;
    default:
      return now satisfies never;
  }
}
