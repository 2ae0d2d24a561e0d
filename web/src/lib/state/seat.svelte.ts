// A participant's own state beside the stage: the private frame, what was tapped and is on its way,
// and the guard against a trembling finger.

import { asksDone } from "../player";
import type {
  CheckIn,
  HowFar,
  Mine,
  SeatCommand,
  ServerMessage,
  StopReason,
  Strength,
  UrgentSign,
  Where,
} from "../wire/types";
import type { LiveSession } from "./session.svelte";

/** The same control is deaf for this long after a tap: a rest tremor strikes every 167 to 250 ms. */
export const DEAF_MS = 600;

/** How far the person's own report has come, in the order of the three honest states. */
export type ReportProgress = "on_its_way" | "recorded" | "seen" | "taken_back";

/** What the lower part of the class screen is about. */
export type Panel = "none" | "stopped" | "report" | "urgent";

export class SeatState {
  mine = $state.raw<Mine | null>(null);
  panel = $state<Panel>("none");
  /** The report that the person looks at. */
  reportId = $state<string | null>(null);
  #deafUntil = new Map<string, number>();

  constructor(
    private readonly session: () => LiveSession,
    private readonly monotonic: () => number,
  ) {}

  hear(message: ServerMessage): void {
    if (message.kind !== "mine") return;
    this.mine = message.mine;
    if (!message.mine.stopped && !this.#isOnItsWay("stop") && this.panel === "stopped") this.panel = "none";
    if (message.mine.stopped && this.panel === "none") this.panel = "stopped";
  }

  /** The answer to the present step, with a tap that is on its way counted in. */
  get isDone(): boolean {
    const step = this.session().scene?.content.id;
    const own = this.mine?.step === step && this.mine?.answer === "done";
    const last = this.#lastOnItsWay((c) => (c.do === "done" || c.do === "undo") && c.step === step);
    return last ? last.do === "done" : own;
  }

  /** Whether *Done* is asked for now. */
  get asksDone(): boolean {
    const scene = this.session().scene;
    return !!scene && asksDone(scene.content, scene.on) && !this.isResting && !this.isJoining;
  }

  /** This step is not for this person, or a desk asked them to rest. Unknown counts as not for them. */
  get isResting(): boolean {
    const scene = this.session().scene;
    if (!scene) return false;
    if (this.mine?.rest_asked) return true;
    const known = this.mine?.step === scene.content.id;
    return scene.content.swallow && !(known && this.mine?.form === "full");
  }

  /** A latecomer who waits for the next boundary. */
  get isJoining(): boolean {
    const joins = this.mine?.joins;
    const scene = this.session().scene;
    if (!joins || !scene) return false;
    return joins.step === scene.content.id && scene.at.offsetMs < joins.offset_ms;
  }

  get progress(): ReportProgress | null {
    const id = this.reportId;
    if (!id) return null;
    const told = this.mine?.reports.find((r) => r.id === id);
    if (!told) return "on_its_way";
    if (told.taken_back) return "taken_back";
    return told.state === "recorded" ? "recorded" : "seen";
  }

  checkIn(answers: CheckIn): void {
    this.#tell({ do: "check_in", answers });
  }

  done(): void {
    const step = this.session().scene?.content.id;
    if (step !== undefined && !this.isDone && this.#isHeard("done")) this.#tell({ do: "done", step });
  }

  undo(): void {
    const step = this.session().scene?.content.id;
    if (step !== undefined && this.#isHeard("done")) this.#tell({ do: "undo", step });
  }

  howFar(far: HowFar): void {
    const step = this.session().scene?.content.id;
    if (step !== undefined && this.#isHeard(`far-${far}`)) this.#tell({ do: "how_far", step, far });
  }

  stop(): void {
    if (!this.#isHeard("stop")) return;
    this.#tell({ do: "stop", reason: null });
    this.panel = "stopped";
  }

  stopBecause(reason: StopReason): void {
    this.#tell({ do: "stop", reason });
    if (reason === "hurts") this.panel = "report";
  }

  goOn(): void {
    if (!this.#isHeard("go-on")) return;
    this.#tell({ do: "go_on" });
    this.panel = "none";
    this.reportId = null;
  }

  report(place: Where, strength: Strength | null, urgent: UrgentSign | null): void {
    if (!this.#isHeard("report")) return;
    const report = this.session().newId();
    this.reportId = report;
    this.panel = urgent ? "urgent" : "stopped";
    this.#tell({ do: "report", report, where: place, strength, urgent, words: null });
  }

  takeBack(): void {
    if (this.reportId) this.#tell({ do: "take_back", report: this.reportId });
  }

  answerClue(word: string | null): void {
    const number = this.session().stage?.clue?.number;
    if (number !== undefined && this.#isHeard("clue")) this.#tell({ do: "answer_clue", number, word });
  }

  readMessage(): void {
    if (this.#isHeard("read")) this.#tell({ do: "read_message" });
  }

  #tell(command: SeatCommand): void {
    this.session().tellSeat(command);
  }

  /** The first touch counts; the same control is deaf for a moment afterwards. */
  #isHeard(control: string): boolean {
    const nowMs = this.monotonic();
    if (nowMs < (this.#deafUntil.get(control) ?? 0)) return false;
    this.#deafUntil.set(control, nowMs + DEAF_MS);
    return true;
  }

  #isOnItsWay(what: SeatCommand["do"]): boolean {
    return this.#lastOnItsWay((command) => command.do === what) !== undefined;
  }

  #lastOnItsWay(fits: (command: SeatCommand) => boolean): SeatCommand | undefined {
    return this.session()
      .onItsWay.flatMap((parcel) => (parcel.kind === "seat" ? [parcel.command] : []))
      .findLast(fits);
  }
}
