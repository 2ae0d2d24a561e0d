// What the keys for looking after people do, and when they are ignored. A key pressed at the moment at which
// another alert came to the top, or its own meaning changed, was meant for what was there before.

import type { Alert, DeskCommand } from "./wire/types";

/** Longer than it takes to press a key one has decided on, or to press twice by a slip. */
export const SETTLES_MS = 700;

export type Act = "see" | "take" | "resolve";

/** The command that a key gives for an alert; null where it has nothing to do. */
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

/** Keeps track of which alert is on top. */
export class TopAlert {
  #whose = "";
  #whoseAtMs = -Infinity;
  #keys = "";
  #keysAtMs = -Infinity;

  /** Notes that `alert` is on top at `nowMs`. */
  show(alert: Alert | null, nowMs: number): void {
    const whose = identity(alert);
    const keys = `${whose} ${commandOf("resolve", alert) === null ? "open" : "taken"}`;
    if (whose !== this.#whose) [this.#whose, this.#whoseAtMs] = [whose, nowMs];
    if (keys !== this.#keys) [this.#keys, this.#keysAtMs] = [keys, nowMs];
  }

  /** Whether a key came too soon after the alert on top changed. */
  isTooSoon(act: Act, alert: Alert, nowMs: number): boolean {
    if (identity(alert) !== this.#whose) return false;
    return nowMs - (act === "resolve" ? this.#keysAtMs : this.#whoseAtMs) < SETTLES_MS;
  }
}

function identity(alert: Alert | null): string {
  switch (alert?.kind) {
    case "report":
      // A report that becomes urgent has to be looked at anew.
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
