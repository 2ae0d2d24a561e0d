// The desk's state beside the stage: roster, reports, run sheet, and why something was not done.

import { text } from "../messages";
import type { DeskCommand, DeskFrame, RoleName, ServerMessage, Sheet, SheetStep } from "../wire/types";
import type { LiveSession } from "./session.svelte";

/** What the main key does now: within a clue round it goes through the clues first. */
export type Forward = "start" | "clue" | "answer" | "next" | "end";

export class DeskState {
  frame = $state.raw<DeskFrame | null>(null);
  sheet = $state.raw<Sheet | null>(null);
  role = $state<RoleName>("facilitator");
  notice = $state("");
  #sheetRev = -1;

  constructor(
    private readonly session: () => LiveSession,
    private readonly fetchSheet: () => Promise<Sheet>,
  ) {}

  hear(message: ServerMessage): void {
    if (message.kind === "welcome") this.role = message.role;
    if (message.kind === "refused") this.notice = text.desk.refused(message.text);
    if (message.kind === "taken") this.notice = "";
    if (message.kind === "desk") {
      this.frame = message.desk;
      if (message.desk.sheet_rev !== this.#sheetRev) this.#readSheet(message.desk.sheet_rev);
    }
  }

  get leads(): boolean {
    return this.frame?.lead === this.role;
  }

  /** The present step's line of the run sheet. */
  get present(): SheetStep | null {
    const id = this.session().stage?.moves.at(-1)?.step;
    return this.sheet?.steps.find((step) => step.id === id) ?? null;
  }

  get following(): SheetStep | null {
    const steps = this.sheet?.steps ?? [];
    const present = this.present;
    return present ? (steps[steps.indexOf(present) + 1] ?? null) : (steps[0] ?? null);
  }

  get isPaused(): boolean {
    return this.session().stage?.moves.at(-1)?.running === false;
  }

  get forward(): Forward {
    if (!this.present) return "start";
    const clue = this.frame?.clue;
    if (clue && clue.number === 0) return "clue";
    if (clue && !clue.answer_shown) return "answer";
    if (clue && clue.number < clue.of) return "clue";
    return this.following ? "next" : "end";
  }

  /** When the class will be over, in server milliseconds, if every step takes what is planned. */
  projectedEndMs(nowMs: number): number | null {
    const { sheet, frame, present } = this;
    if (!sheet || !frame) return null;
    const at = present ? sheet.steps.indexOf(present) : -1;
    const later = sheet.steps.slice(at + 1).reduce((sum, step) => sum + step.planned_ms, 0);
    const begunMs = frame.pace.step_at ?? nowMs;
    const presentEndMs = present ? Math.max(nowMs, begunMs + present.planned_ms) : nowMs;
    return presentEndMs + later;
  }

  tell(command: DeskCommand): void {
    this.notice = "";
    this.session().tellDesk(command);
  }

  goForward(): void {
    const forward = this.forward;
    switch (forward) {
      case "start":
        return this.tell({ do: "start" });
      case "clue":
        return this.tell({ do: "show_clue" });
      case "answer":
        return this.tell({ do: "show_answer" });
      case "next":
        return this.tell({ do: "next" });
      case "end":
        return;
      default:
        return forward satisfies never;
    }
  }

  togglePause(): void {
    this.tell({ do: this.isPaused ? "go_on" : "pause" });
  }

  #readSheet(rev: number): void {
    this.#sheetRev = rev;
    this.fetchSheet().then(
      (sheet) => (this.sheet = sheet),
      () => (this.#sheetRev = -1),
    );
  }
}

/** The desk's keys; a presenter's remote sends PageDown and PageUp. */
export const KEYS: Readonly<
  Record<string, "forward" | "back" | "pause" | "rep" | "more" | "cut" | "hint" | "safety">
> = {
  PageDown: "forward",
  ArrowRight: "forward",
  PageUp: "back",
  ArrowLeft: "back",
  " ": "pause",
  r: "rep",
  m: "more",
  c: "cut",
  h: "hint",
  Escape: "safety",
};

/** Does what a key is for; false when it is none of the desk's. */
export function press(desk: DeskState, key: string): boolean {
  const act = KEYS[key.length === 1 ? key.toLowerCase() : key];
  switch (act) {
    case undefined:
      return false;
    case "forward":
      desk.goForward();
      return true;
    case "back":
      desk.tell({ do: "back" });
      return true;
    case "pause":
      desk.togglePause();
      return true;
    case "rep":
      desk.tell({ do: "again_rep" });
      return true;
    case "more":
      desk.tell({ do: "more_time", seconds: 10 });
      return true;
    case "cut":
      desk.tell({ do: "cut_short" });
      return true;
    case "hint":
      desk.tell({ do: "show_hint" });
      return true;
    case "safety":
      desk.tell({ do: "pause_for_safety" });
      return true;
    default:
      return act satisfies never;
  }
}
