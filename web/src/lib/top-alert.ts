// What the keys for seeing to somebody do, and when they are not to be believed: a key pressed in the moment in which
// another alert came to the top, or in which its meaning changed, was meant for what stood there before.

import type { Alert, DeskCommand } from "./wire/types";

/** Longer than anybody takes to press what they had decided on, or to press twice by a slip. */
export const SETTLES_MS = 700;

export type Act = "see" | "take" | "resolve";

/** The command of a key for an alert; null where it has nothing to do. */
export function commandOf(act: Act, alert: Alert | null): DeskCommand | null {
  switch (alert?.kind) {
    case "report": {
      const { id: report, state } = alert;
      const open = state === "recorded" || state === "seen";
      if (act === "see" && state === "recorded") return { do: "handle_report", report, to: "seen" };
      if (act === "take" && open) return { do: "handle_report", report, to: "taken" };
      if (act === "resolve" && !open) return { do: "handle_report", report, to: "closed" };
      return null;
    }
    case "stopped":
      return act === "resolve" ? null : { do: "see_stop", seat: alert.seat };
    case "lost":
      if (act === "take" && alert.taken_by === null) return { do: "take_lost", seat: alert.seat };
      if (act === "resolve" && alert.taken_by !== null) return { do: "close_lost", seat: alert.seat };
      return null;
    case undefined:
      return null;
    default:
      return alert satisfies never;
  }
}

/** Watches what stands on top. */
export class TopAlert {
  #whose = "";
  #whoseAtMs = -Infinity;
  #keys = "";
  #keysAtMs = -Infinity;

  /** `alert` stands on top at `nowMs`. */
  show(alert: Alert | null, nowMs: number): void {
    const whose = identity(alert);
    const keys = `${whose} ${commandOf("resolve", alert) === null ? "open" : "taken"}`;
    if (whose !== this.#whose) [this.#whose, this.#whoseAtMs] = [whose, nowMs];
    if (keys !== this.#keys) [this.#keys, this.#keysAtMs] = [keys, nowMs];
  }

  /** Whether a key for the alert on top came too soon after it changed. */
  isTooSoon(act: Act, alert: Alert, nowMs: number): boolean {
    if (identity(alert) !== this.#whose) return false;
    return nowMs - (act === "resolve" ? this.#keysAtMs : this.#whoseAtMs) < SETTLES_MS;
  }
}

function identity(alert: Alert | null): string {
  switch (alert?.kind) {
    case "report":
      // A report that becomes an emergency is another thing to see.
      return `report ${alert.id} ${alert.said.urgent ?? ""}`;
    case "stopped":
    case "lost":
      return `${alert.kind} ${alert.seat}`;
    case undefined:
      return "";
    default:
      return alert satisfies never;
  }
}
