// The desk's state besides the stage: roster, reports, run sheet, and why something was not done.

import { alarm, Bell, type Alarm } from "../alarm";
import { deskText } from "../messages/desk";
import { commandOf, TopAlert, type Act } from "../top-alert";
import type {
  Alert,
  Clearing,
  DeskCommand,
  DeskFrame,
  DeskRole,
  HandoverCode,
  IncidentBook,
  PersonCard,
  SeatId,
  ServerMessage,
  Sheet,
  SheetStep,
  StepId,
} from "../wire/types";
import type { LiveSession } from "./session.svelte";

/** What a desk asks for by plain requests. */
export interface DeskRequests {
  sheet: () => Promise<Sheet>;
  person: (seat: SeatId) => Promise<PersonCard>;
  incidents: () => Promise<IncidentBook>;
  clearing: () => Promise<Clearing[]>;
  invite: (whom: string | SeatId) => Promise<string>;
  handoverCode: () => Promise<HandoverCode>;
  /** The address of the incident timeline as a table. */
  readonly incidentTable: string;
}

/** How a desk calls for somebody's attention. */
export interface Attention {
  sound: (volume: number, urgent: boolean) => void;
  notify: () => void;
  title: (calls: number) => void;
}

/** What the main key does now; within a clue round it goes through the clues first. */
export type Forward = "start" | "begin" | "clue" | "answer" | "next" | "end";

export class DeskState {
  frame = $state.raw<DeskFrame | null>(null);
  sheet = $state.raw<Sheet | null>(null);
  role = $state<DeskRole>("facilitator");
  notice = $state("");
  /** Commands that were pressed and never sent. */
  unsent = $state.raw<readonly DeskCommand["do"][]>([]);
  /** The person whose details are open. */
  person = $state.raw<PersonCard | null>(null);
  incidents = $state.raw<IncidentBook | null>(null);
  alarm = $state.raw<Alarm | null>(null);
  #sheetRev = -1;
  #personSeat: SeatId | null = null;
  #bell = new Bell();
  #topAlert = new TopAlert();

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

  /** Called from time to time: sounds what calls for somebody, louder the longer it waits. */
  look(): void {
    const { frame } = this;
    const clock = this.session().clock;
    if (!frame || !clock.isSet) return;
    const nowMs = clock.now();
    this.#topAlert.show(this.top, nowMs);
    const found = alarm(frame, this.role, nowMs);
    const rings = this.#bell.rings(found, nowMs);
    if (found && rings) this.attention.sound(found.volume, found.urgent);
    if (rings === "new") this.attention.notify();
    this.attention.title(found?.calls.length ?? 0);
    this.alarm = found;
  }

  /** Shows the details of a person; null closes them. */
  open(seat: SeatId | null): void {
    this.#personSeat = seat;
    if (this.person?.seat !== seat) this.person = null;
    if (seat !== null) this.#readPerson(seat);
  }

  /** The name of a person on the roster. */
  nameOf(seat: SeatId | null): string {
    return this.frame?.rows.find((row) => row.seat === seat)?.name ?? "";
  }

  /** The first alert. The keys for looking after people act on this one only. */
  get top(): Alert | null {
    return this.frame?.alerts[0] ?? null;
  }

  /**
   * Sees, takes or resolves an alert. The top alert must have been there long enough for the press to be meant for
   * it.
   */
  attend(act: Act, alert: Alert | null = this.top): void {
    const command = commandOf(act, alert);
    if (alert === null || command === null) return;
    const { clock } = this.session();
    const tooSoon = clock.isSet && this.#topAlert.isTooSoon(act, alert, clock.now());
    if (tooSoon) this.notice = deskText.justChanged;
    else this.tell(command);
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

  /** Whether everybody stands still for safety; only resuming ends that. */
  get isSafetyPause(): boolean {
    return this.session().isSafetyPause;
  }

  /** Whether the class waits before a swallow drill until mouths are empty, and anybody is to do the drill. */
  get waitsForMouths(): boolean {
    const mouths = this.frame?.mouths;
    const scene = this.session().scene;
    const stands = this.isPaused && !this.isSafetyPause && (scene?.at.offsetMs ?? 0) < 0;
    return stands && mouths != null && mouths.of > 0;
  }

  get isPaused(): boolean {
    return this.session().stage?.moves.at(-1)?.running === false;
  }

  get forward(): Forward {
    if (!this.present) return "start";
    if (this.waitsForMouths) return "begin";
    const clue = this.frame?.clue;
    if (clue && clue.number === 0) return "clue";
    if (clue && !clue.answer_shown) return "answer";
    if (clue && clue.number < clue.of) return "clue";
    return this.following ? "next" : "end";
  }

  /**
   * When the class will be over, in milliseconds on the server's clock, if every step takes as long as planned.
   */
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
    this.unsent = [];
    this.session().tellDesk(command);
  }

  /** Says that a command could not be sent in time and will not be sent any more. */
  wasNotSent(command: DeskCommand): void {
    this.unsent = [...this.unsent, command.do];
  }

  /** The commands that were pressed and wait for the network. */
  get waiting(): DeskCommand["do"][] {
    const late = this.session().linkState !== "open";
    const own = this.session().onItsWay.flatMap((parcel) =>
      parcel.kind === "desk" ? [parcel.command.do] : [],
    );
    return late ? own : [];
  }

  goForward(): void {
    const forward = this.forward;
    switch (forward) {
      case "start":
        return this.tell({ do: "start" });
      case "begin":
        return this.tell({ do: "go_on" });
      case "clue":
        return this.tell({ do: "show_clue" });
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

  /** Goes to the next step, unless the class is already there. */
  goNext(): void {
    this.tell({ do: "next" });
  }

  goBack(): void {
    this.tell({ do: "back" });
  }

  togglePause(): void {
    // The space bar never ends a safety pause.
    if (this.isSafetyPause) return;
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
      (sheet) => {
        // An older answer that comes late does not replace a newer one.
        if (this.#sheetRev === rev) this.sheet = sheet;
      },
      () => {
        if (this.#sheetRev === rev) this.#sheetRev = -1;
      },
    );
  }
}

/** The desk's keyboard keys; a presenter's remote sends PageDown and PageUp. */
export const KEYS: Readonly<
  Record<
    string,
    "forward" | "back" | "pause" | "rep" | "more" | "cut" | "hint" | "safety" | "see" | "take" | "resolve"
  >
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
  d: "resolve",
  Escape: "safety",
};

/** Does what a keyboard key is for; false when the desk has no such key. */
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
      desk.attend("see");
      return true;
    case "take":
      desk.attend("take");
      return true;
    case "resolve":
      desk.attend("resolve");
      return true;
    case "safety":
      desk.tell({ do: "pause_for_safety" });
      return true;
    default:
      return act satisfies never;
  }
}
