// When a desk has to sound an alarm: a rule that knows neither a clock nor a loudspeaker.

import type { DeskFrame, DeskRole } from "./wire/types";

/** Something that calls for somebody. */
export interface Call {
  /** Tells it apart from everything that called before. */
  id: string;
  urgent: boolean;
  sinceMs: number;
}

/** An alarm that has to sound now. */
export interface Alarm {
  calls: readonly Call[];
  urgent: boolean;
  /** The volume, from 0 to 1. */
  volume: number;
  everyMs: number;
}

/** After this long, an unseen report sounds at the other desk as well as at the one that leads. */
export const OTHER_DESK_MS = 10_000;
const LOUDER_EVERY_MS = 5_000;
const FIRST_VOLUME = 0.25;
const LOUDER_BY = 0.15;

/**
 * The alarm of the desk of `role` at `nowMs`; null when nothing calls.
 *
 * Urgent reports and lost people sound at every desk until somebody takes them. Other reports sound at the desk
 * that leads until they are seen, and after a while at the other desk too. They get louder.
 */
export function alarm(frame: DeskFrame, role: DeskRole, nowMs: number): Alarm | null {
  const calls: Call[] = [];
  for (const alert of frame.alerts) {
    switch (alert.kind) {
      case "report": {
        const urgent = alert.said.urgent !== null;
        const waits = alert.state === "recorded" || (urgent && alert.state === "seen");
        if (waits) calls.push({ id: `${alert.id}.${alert.said.urgent ?? ""}`, urgent, sinceMs: alert.at });
        break;
      }
      case "lost":
        if (!alert.taken_by) {
          calls.push({ id: `lost.${alert.seat}.${alert.heard_at}`, urgent: true, sinceMs: alert.heard_at });
        }
        break;
      case "stopped":
        // The desk shows a plain stop on top; somebody who is only tired needs no bell.
        break;
      default:
        alert satisfies never;
    }
  }
  const leads = frame.lead === role;
  const here = calls.filter((call) => call.urgent || leads || nowMs - call.sinceMs >= OTHER_DESK_MS);
  if (here.length === 0) return null;
  const urgent = here.some((call) => call.urgent);
  const oldestMs = Math.max(...here.map((call) => nowMs - call.sinceMs));
  const louder = Math.floor(Math.max(0, oldestMs) / LOUDER_EVERY_MS) * LOUDER_BY;
  return { calls: here, urgent, volume: Math.min(1, FIRST_VOLUME + louder), everyMs: urgent ? 3_000 : 5_000 };
}

/** Remembers what has sounded, and says when to sound again. */
export class Bell {
  #sounded = new Set<string>();
  #lastMs = -Infinity;

  /** Whether to sound now; anything new sounds at once. */
  rings(alarm: Alarm | null, nowMs: number): "new" | "again" | null {
    if (!alarm) {
      this.#sounded.clear();
      return null;
    }
    const isNew = alarm.calls.some((call) => !this.#sounded.has(call.id));
    if (!isNew && nowMs - this.#lastMs < alarm.everyMs) return null;
    this.#sounded = new Set(alarm.calls.map((call) => call.id));
    this.#lastMs = nowMs;
    return isNew ? "new" : "again";
  }
}
