// When a desk has to sound: a rule without a clock or a loudspeaker.

import type { DeskFrame, DeskRole } from "./wire/types";

/** What calls for somebody. */
export interface Call {
  /** Names it, so that it is told apart from one before. */
  id: string;
  urgent: boolean;
  sinceMs: number;
}

/** An alarm as it has to sound now. */
export interface Alarm {
  calls: readonly Call[];
  urgent: boolean;
  /** 0 to 1. */
  volume: number;
  everyMs: number;
}

/** An unseen report of the leading desk goes to the other desk as well after this long. */
export const OTHER_DESK_MS = 10_000;
const LOUDER_EVERY_MS = 5_000;
const FIRST_VOLUME = 0.25;
const LOUDER_BY = 0.15;

/**
 * The alarm of the desk of `role` at `nowMs`; null when nothing calls.
 *
 * Urgent reports and lost people sound on every desk until somebody takes them; other reports at the
 * desk that leads until they are seen, and after a while at the other one too. They get louder.
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
        // It stands on top of the desk; who is tired needs no bell.
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

/** Remembers what sounded, and says when to sound again. */
export class Bell {
  #sounded = new Set<string>();
  #lastMs = -Infinity;

  /** Whether to sound now; something new sounds at once. */
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
