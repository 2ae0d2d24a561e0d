// The desk's state beside the stage: roster, reports, run sheet, and why something was not done.

import { alarm, Bell, type Alarm } from "../alarm";
import { deskText } from "../messages/desk";
import type {
  DeskCommand,
  DeskFrame,
  DeskReport,
  DeskRole,
  IncidentBook,
  InviteRequest,
  HandoverCode,
  Person,
  SeatId,
  LostRow,
  ServerMessage,
  Sheet,
  SheetStep,
  StepId,
} from "../wire/types";
import type { LiveSession } from "./session.svelte";

/** What a desk asks by plain requests. */
export interface DeskRequests {
  sheet: () => Promise<Sheet>;
  person: (seat: SeatId) => Promise<Person>;
  incidents: () => Promise<IncidentBook>;
  invite: (whom: InviteRequest) => Promise<string>;
  handoverCode: () => Promise<HandoverCode>;
}

/** How a desk calls somebody's attention. */
export interface Attention {
  sound: (volume: number, urgent: boolean) => void;
  notify: () => void;
  title: (calls: number) => void;
}

/** What the main key does now: within a clue round it goes through the clues first. */
export type Forward = "start" | "clue" | "answer" | "next" | "end";

export class DeskState {
  frame = $state.raw<DeskFrame | null>(null);
  sheet = $state.raw<Sheet | null>(null);
  role = $state<DeskRole>("facilitator");
  notice = $state("");
  /** The person whose details are open. */
  person = $state.raw<Person | null>(null);
  incidents = $state.raw<IncidentBook | null>(null);
  alarm = $state.raw<Alarm | null>(null);
  #sheetRev = -1;
  #personSeat: SeatId | null = null;
  #bell = new Bell();

  constructor(
    private readonly session: () => LiveSession,
    readonly requests: DeskRequests,
    private readonly attention: Attention,
  ) {}

  hear(message: ServerMessage): void {
    if (message.kind === "welcome" && message.role !== "seat" && message.role !== "wall") {
      this.role = message.role;
    }
    if (message.kind === "refused") this.notice = deskText.refused(message.text);
    if (message.kind === "taken") this.notice = "";
    if (message.kind === "desk") {
      const news = message.desk.seq !== this.frame?.seq;
      this.frame = message.desk;
      if (message.desk.sheet_rev !== this.#sheetRev) this.#readSheet(message.desk.sheet_rev);
      if (news && this.#personSeat !== null) this.#readPerson(this.#personSeat);
      if (news && message.desk.pace.ended_at !== null) this.#readIncidents();
      this.look();
    }
  }

  /** Called now and then: sounds what calls for somebody, louder the longer it waits. */
  look(): void {
    const { frame } = this;
    const clock = this.session().clock;
    if (!frame || !clock.isSet) return;
    const nowMs = clock.now();
    const found = alarm(frame, this.role, nowMs);
    const rings = this.#bell.rings(found, nowMs);
    if (found && rings) this.attention.sound(found.volume, found.urgent);
    if (rings === "new") this.attention.notify();
    this.attention.title(found?.calls.length ?? 0);
    this.alarm = found;
  }

  /** Shows the details of a person, or nobody's. */
  open(seat: SeatId | null): void {
    this.#personSeat = seat;
    if (this.person?.seat !== seat) this.person = null;
    if (seat !== null) this.#readPerson(seat);
  }

  /** The name of a person on the roster. */
  nameOf(seat: SeatId | null): string {
    return this.frame?.rows.find((row) => row.seat === seat)?.name ?? "";
  }

  /** The first report that nobody has seen. */
  get firstUnseen(): DeskReport | null {
    return this.frame?.reports.find((r) => r.state === "recorded") ?? null;
  }

  /** What calls loudest: an urgent report, a lost person, another report. */
  get firstUntaken(): DeskReport | LostRow | null {
    const waits = this.frame?.reports.filter((r) => r.state === "recorded" || r.state === "seen") ?? [];
    const lost = this.frame?.lost.find((row) => row.taken_by === null);
    return waits.find((r) => r.said.urgent !== null) ?? lost ?? waits[0] ?? null;
  }

  seeFirst(): void {
    const report = this.firstUnseen;
    if (report) this.tell({ do: "handle_report", report: report.id, to: "seen" });
  }

  takeFirst(): void {
    const next = this.firstUntaken;
    if (next && "id" in next) this.tell({ do: "handle_report", report: next.id, to: "taken" });
    else if (next) this.tell({ do: "take_lost", seat: next.seat });
  }

  get leads(): boolean {
    return this.frame?.lead === this.role;
  }

  /** The present step's line of the run sheet. */
  get present(): SheetStep | null {
    return this.sheet?.steps.find((step) => step.id === this.#presentId) ?? null;
  }

  get #presentId(): StepId | null {
    return this.session().stage?.moves.at(-1)?.step ?? null;
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
        return this.tell({ do: "show_clue", after: this.frame?.clue?.number ?? null });
      case "answer":
        return this.tell({ do: "show_answer" });
      case "next":
        return this.goNext();
      case "end":
        return;
      default:
        return forward satisfies never;
    }
  }

  /** To the following step, unless the class has gone there already. */
  goNext(): void {
    this.tell({ do: "next", from: this.#presentId });
  }

  goBack(): void {
    this.tell({ do: "back", from: this.#presentId });
  }

  togglePause(): void {
    this.tell({ do: this.isPaused ? "go_on" : "pause" });
  }

  #readPerson(seat: SeatId): void {
    this.requests.person(seat).then(
      (person) => {
        if (this.#personSeat === seat) this.person = person;
      },
      () => undefined,
    );
  }

  #readIncidents(): void {
    this.requests.incidents().then(
      (book) => (this.incidents = book),
      () => undefined,
    );
  }

  #readSheet(rev: number): void {
    this.#sheetRev = rev;
    this.requests.sheet().then(
      (sheet) => (this.sheet = sheet),
      () => (this.#sheetRev = -1),
    );
  }
}

/** The desk's keys; a presenter's remote sends PageDown and PageUp. */
export const KEYS: Readonly<
  Record<string, "forward" | "back" | "pause" | "rep" | "more" | "cut" | "hint" | "safety" | "see" | "take">
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
  s: "see",
  t: "take",
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
      desk.goBack();
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
    case "see":
      desk.seeFirst();
      return true;
    case "take":
      desk.takeFirst();
      return true;
    case "safety":
      desk.tell({ do: "pause_for_safety" });
      return true;
    default:
      return act satisfies never;
  }
}
