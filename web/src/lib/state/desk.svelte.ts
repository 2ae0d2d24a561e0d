// The desk's state besides the stage: roster, reports, run sheet, and why something was not done.

import { alarm, Bell, type Alarm } from "../alarm";
import { deskText } from "../messages/desk";
import { forwardOf, type Act, type Forward } from "../desk/keys";
import { commandOf, TopAlert, type Act as Attending } from "../top-alert";
import type {
  AfterClass,
  Alert,
  Clearing,
  DeskCommand,
  DeskFrame,
  DeskRole,
  HandoverCode,
  AtDeskPerson,
  SeatId,
  ServerMessage,
  Sheet,
  SheetStep,
  StepId,
  StepRequest,
} from "../wire/types";
import type { LiveSession } from "./session.svelte";

/** What a desk asks for by plain requests. */
export interface DeskRequests {
  sheet: () => Promise<Sheet>;
  person: (seat: SeatId) => Promise<AtDeskPerson>;
  after: () => Promise<AfterClass>;
  clearing: () => Promise<Clearing[]>;
  invite: (whom: string | SeatId) => Promise<string>;
  handoverCode: () => Promise<HandoverCode>;
  /** The address of the incident timeline as a table. */
  readonly incidentTable: string;
  /** The address of the notes of this class; absent at a desk that writes none. */
  readonly notes: string | null;
  /** The address of its home sheets; absent likewise. */
  readonly sheets: string | null;
}

/** How a desk calls for somebody's attention. */
export interface Attention {
  sound: (volume: number, urgent: boolean) => void;
  notify: () => void;
  title: (calls: number) => void;
}

/** What lies over the people: one list of things to do, or all about one person. */
export type Drawer =
  | {
      is: "more" | "cues" | "plan" | "people" | "class" | "waiting" | "clearing" | "message" | "hand" | "end";
    }
  | { is: "person"; seat: SeatId };

export class DeskState {
  frame = $state.raw<DeskFrame | null>(null);
  sheet = $state.raw<Sheet | null>(null);
  role = $state<DeskRole>("facilitator");
  notice = $state("");
  /** Whether a clinician opened this desk from their own account, so that it may set what only a clinician sets. */
  decides = $state(true);
  /** The number to call in an emergency, if the server has one. */
  emergency = $state<string | null>(null);
  drawer = $state.raw<Drawer | null>(null);
  /** The person whose alert is on top, once known. */
  topPerson = $state.raw<AtDeskPerson | null>(null);
  /** Commands that were pressed and never sent. */
  unsent = $state.raw<readonly DeskCommand["do"][]>([]);
  /** The person whose details are open. */
  person = $state.raw<AtDeskPerson | null>(null);
  /** What the class was, once it is over. */
  after = $state.raw<AfterClass | null>(null);
  alarm = $state.raw<Alarm | null>(null);
  #sheetRev = -1;
  #afterAsked = 0;
  #afterFailed = false;
  #topSeat: SeatId | null = null;
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
      this.#lookAtTop();
      const gone = this.#openSeat !== null && !message.desk.rows.some((row) => row.seat === this.#openSeat);
      if (gone) this.open(null);
      if (news && this.#openSeat !== null) this.#readPerson(this.#openSeat);
      if (news && message.desk.pace.ended_at !== null) this.#readAfter();
      this.look();
    }
  }

  /** Called from time to time: sounds what calls for somebody, louder the longer it waits. */
  look(): void {
    const { frame } = this;
    const clock = this.session().clock;
    if (!frame || !clock.isSet) return;
    const nowMs = clock.now();
    if (this.#afterFailed) this.#readAfter();
    this.#topAlert.show(this.top, nowMs);
    const found = alarm(frame, this.role, nowMs);
    const rings = this.#bell.rings(found, nowMs);
    if (found && rings) this.attention.sound(found.volume, found.urgent);
    if (rings === "new") this.attention.notify();
    this.attention.title(found?.calls.length ?? 0);
    this.alarm = found;
  }

  /** Opens a drawer in the place of the one that is open; null closes it. */
  open(drawer: Drawer | null): void {
    this.drawer = drawer;
    const seat = this.#openSeat;
    if (this.person?.seat !== seat) this.person = null;
    if (seat !== null) this.#readPerson(seat);
  }

  /** Opens a drawer, or closes it when it is the one that is open. */
  toggle(drawer: Drawer): void {
    this.open(this.drawer?.is === drawer.is ? null : drawer);
  }

  get #openSeat(): SeatId | null {
    return this.drawer?.is === "person" ? this.drawer.seat : null;
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
  attend(act: Attending, alert: Alert | null = this.top): void {
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
    const { frame, present, following, waitsForMouths } = this;
    return forwardOf({ stage: this.session().stage, frame, present, following, waitsForMouths });
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
      case "open":
        return this.tell({ do: "open" });
      case "start":
        return this.tell({ do: "start" });
      case "begin":
        return this.tell({ do: "go_on" });
      case "clue":
        return this.tell({ do: "show_clue" });
      case "hint":
        return this.tell({ do: "show_hint" });
      case "answer":
        return this.tell({ do: "show_answer" });
      case "next":
        return this.tell({ do: "next" });
      case "end":
        return this.open({ is: "end" });
      default:
        return forward satisfies never;
    }
  }

  togglePause(): void {
    // The space bar never ends a safety pause.
    if (this.isSafetyPause) return;
    this.tell({ do: this.isPaused ? "go_on" : "pause" });
  }

  /** Puts a step after whatever was already put in after the present one, so that what came first is first. */
  insert(step: StepRequest): void {
    const steps = this.sheet?.steps ?? [];
    const from = this.present ? steps.indexOf(this.present) + 1 : 0;
    const after = steps.slice(from).findIndex((other) => !other.inserted);
    const last = steps[(after < 0 ? steps.length : from + after) - 1] ?? null;
    this.tell({ do: "insert", after: last?.id ?? null, step });
  }

  /** Gives a minute more to the present step, which has no clock of its own. */
  addMinute(): void {
    const step = this.present;
    if (step) this.tell({ do: "set_time", step: step.id, seconds: Math.round(step.planned_ms / 1000) + 60 });
  }

  /** Does what a key is for. */
  act(act: Act): void {
    switch (act) {
      case "forward":
        return this.goForward();
      case "pause":
        return this.togglePause();
      case "safety":
        return this.tell({ do: "pause_for_safety" });
      case "back":
        return this.tell({ do: "back" });
      case "rep":
        return this.tell({ do: "again_rep" });
      case "longer":
        return this.isUnclocked ? this.addMinute() : this.tell({ do: "more_time", seconds: 10 });
      case "minute":
        return this.addMinute();
      case "cut":
        return this.tell({ do: "cut_short" });
      case "answer":
        return this.tell({ do: "show_answer" });
      case "nextClue":
        return this.tell({ do: "show_clue" });
      case "effort":
        return this.tell({ do: "ask_effort" });
      case "see":
      case "take":
      case "resolve":
        return this.attend(act);
      case "dose":
        return this.toggle({ is: "cues" });
      case "more":
        return this.drawer ? this.open(null) : this.open({ is: "more" });
      case "clearing":
      case "plan":
      case "people":
      case "message":
        return this.toggle({ is: act });
      default:
        return act satisfies never;
    }
  }

  /** Whether the present step has no clock of its own, so that time is added in minutes. */
  get isUnclocked(): boolean {
    const kind = this.present?.kind;
    return kind !== undefined && kind !== "drill" && kind !== "sip";
  }

  /** Keeps what is known about the person whose alert is on top, for the notes beside it. */
  #lookAtTop(): void {
    const seat = this.top?.seat ?? null;
    if (seat === this.#topSeat) return;
    this.#topSeat = seat;
    this.topPerson = null;
    if (seat === null) return;
    this.requests.person(seat).then(
      (person) => {
        if (this.#topSeat === seat) this.topPerson = person;
      },
      () => (this.#topSeat = null),
    );
  }

  #readPerson(seat: SeatId): void {
    this.requests.person(seat).then(
      (person) => {
        if (this.#openSeat === seat) this.person = person;
      },
      () => undefined,
    );
  }

  #readAfter(): void {
    const asked = ++this.#afterAsked;
    this.#afterFailed = false;
    this.requests.after().then(
      (after) => {
        // An older answer that comes late does not replace a newer one.
        if (asked === this.#afterAsked) this.after = after;
      },
      () => {
        if (asked === this.#afterAsked) this.#afterFailed = true;
      },
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
