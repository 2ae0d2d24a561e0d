// A participant's own state besides the stage: their private frame, the taps on their way, and the guard against a
// trembling finger.

import { asksDone, isRest } from "../player";
import { MemoryShelf, type Shelf } from "../shelf";
import type {
  OwnPlace,
  CheckIn,
  DeskRole,
  Form,
  HowFar,
  MessageId,
  Mine,
  MyReport,
  Said,
  SeatCommand,
  ServerMessage,
  StepForm,
  StopReason,
  Whose,
} from "../wire/types";
import type { LiveSession } from "./session.svelte";

/** How long a control ignores taps after one: a rest tremor strikes every 167 to 250 ms. */
export const DEAF_MS = 600;
/** A report that has not reached the server after this long says so. */
export const LATE_MS = 5_000;
/** A report that nobody has seen after this long says so, with what to do meanwhile. */
export const UNSEEN_MS = 20_000;

/** How far the person's own report has come, never claiming more than is true. */
export type Progress =
  | { is: "on_its_way"; late: boolean }
  | { is: "recorded"; unseen: boolean }
  | { is: "seen"; by: DeskRole; name: string | null }
  | { is: "coming"; by: DeskRole; name: string | null }
  | { is: "refused" };

/** What the middle of the class screen shows. */
export type Panel = "none" | "stopped" | "report" | "urgent";

/** The person's present report. */
export interface OwnReport {
  id: string;
  said: Said;
  progress: Progress;
}

const BETTER = "samebreath.better";

/** Whether `id` is this report's, or that of a report that was added to it. */
function isCalled(report: MyReport, id: string): boolean {
  return report.id === id || report.also.includes(id);
}

function progressOf(report: MyReport | null, waitedMs: number): Progress {
  const by = report?.seen_by;
  if (!report || !by) return { is: "recorded", unseen: waitedMs > UNSEEN_MS };
  const name = report.seen_by_name;
  return { is: report.state === "seen" ? "seen" : "coming", by, name };
}

const NOTHING_SAID: Said = { whose: "own", where: null, strength: null, urgent: null, words: null };

export class SeatState {
  mine = $state.raw<Mine | null>(null);
  panel = $state<Panel>("none");
  /** The local emergency number, once the page knows it. */
  number = $state<string | null>(null);
  /** The person's own page, if they came from it. */
  own = $state.raw<OwnPlace | null>(null);
  /** Which of two people on this device has stopped. */
  whose = $state<Whose>("own");
  /** Whether the page has asked who stopped and got an answer. */
  whoseSaid = $state(false);
  /** The reason that was given on this page for the present stop, which the private frame does not tell. */
  saidWhy = $state<StopReason | null>(null);
  /** The effort question that the person skipped. */
  effortSkipped = $state(0);
  #nowMs = $state(0);
  #deafUntil = new Map<string, number>();
  /** When each report was first tapped, as far as this page knows. */
  #tappedAtMs = new Map<string, number>();
  /** Reports after which the person said that they are better; a reload does not bring their alarm back. */
  #better: Set<string>;
  /** The report as it was last sent, until the private frame has it. */
  #sent = $state.raw<{ parcel: string; id: string; said: Said; refused: boolean } | null>(null);

  constructor(
    private readonly session: () => LiveSession,
    private readonly monotonic: () => number,
    /** Keeps what only this page knows, for as long as the tab is open. */
    private readonly memory: Pick<Shelf, "getItem" | "setItem"> = new MemoryShelf(),
  ) {
    this.#better = new Set((memory.getItem(BETTER) ?? "").split(" ").filter((id) => id !== ""));
  }

  /** Called from time to time: what has waited too long must say so, and a page that reloads goes on. */
  look(): void {
    this.#nowMs = this.monotonic();
    if (this.panel !== "none") return;
    const report = this.report;
    // A person whose report was handled, or who said that they are better, opens it when they want to.
    const urgent = report?.said.urgent && !this.#better.has(report.id) && report.progress.is !== "coming";
    if (urgent) this.panel = "urgent";
    else if (this.mine?.stopped && !this.#isOnItsWay("go_on", "undo_stop")) this.panel = "stopped";
    else if (this.#isOnItsWay("stop", "report")) this.panel = "stopped";
  }

  hear(message: ServerMessage): void {
    if (message.kind === "refused" && message.id === this.#sent?.parcel) {
      this.#sent = { ...this.#sent, refused: true };
    }
    if (message.kind !== "mine") return;
    this.mine = message.mine;
    const sent = this.#sent?.id;
    if (sent && message.mine.reports.some((r) => isCalled(r, sent))) this.#sent = null;
    const on = message.mine.stopped || this.#isOnItsWay("stop", "report");
    if (!on && this.panel === "stopped") this.panel = "none";
    this.look();
  }

  /** The answer to the present step, including a tap that is still on its way. */
  get isDone(): boolean {
    const step = this.session().scene?.content.id;
    const own = this.mine?.step === step && this.mine?.answer === "done";
    const last = this.#lastOnItsWay((c) => (c.do === "done" || c.do === "undo") && c.step === step);
    return last ? last.do === "done" : own;
  }

  /** How far they got in the present step, including a tap that is still on its way. */
  get far(): HowFar | null {
    const step = this.session().scene?.content.id;
    const last = this.#lastOnItsWay((c) => c.do === "how_far" && c.step === step);
    return last?.do === "how_far" ? last.far : (this.mine?.far ?? null);
  }

  /** Whether *Done* is asked for now. */
  get asksDone(): boolean {
    const scene = this.session().scene;
    return !!scene && asksDone(scene.content, scene.on) && !this.isResting && !this.isJoining;
  }

  /** How this person does a step, with the hold that was set for them. */
  formOf(step: number): StepForm | null {
    const own = this.mine?.forms.find((of) => of.step === step) ?? null;
    // What they have said of their mouth counts at once.
    const isSaid = own?.form === "mouth_first" && this.#mouthOnItsWay === true;
    return isSaid ? { ...own, form: own.then ?? "full" } : own;
  }

  /** What the step on the screen asks of this person. A drill that is not known yet is not for them. */
  get form(): Form {
    const content = this.session().scene?.content;
    if (!content) return "full";
    const known = this.formOf(content.id)?.form;
    return known ?? (content.kind === "drill" ? "rest" : "full");
  }

  /** Whether this step is not for this person, or a desk asked them to rest. */
  get isResting(): boolean {
    if (!this.session().scene) return false;
    return this.mine?.rest_asked === true || this.form === "rest" || this.form === "mouth_first";
  }

  /** Whether to ask the person if their mouth is empty. */
  get asksMouth(): boolean {
    return this.form === "mouth_first" && this.mine?.rest_asked !== true;
  }

  /** What the person last said about their mouth. */
  get mouthEmpty(): boolean | null {
    return this.#mouthOnItsWay ?? this.mine?.mouth_empty ?? null;
  }

  get #mouthOnItsWay(): boolean | undefined {
    const last = this.#lastOnItsWay((c) => c.do === "confirm_mouth");
    return last?.do === "confirm_mouth" ? last.empty : undefined;
  }

  /** The effort question to ask now; it is asked only in rests. */
  get asksEffort(): number | null {
    const { scene, stage } = this.session();
    const number = stage?.effort ?? null;
    if (number === null || !scene || number === this.effortSkipped) return null;
    const said = this.mine?.effort_said === number || this.#isOnItsWay("say_effort");
    const atRest = scene.at.paused || scene.on.kind !== "span" || isRest(scene.on.span);
    return atRest && scene.on.kind !== "ready" && !said ? number : null;
  }

  /** Whether this person joined late and waits for the next boundary. */
  get isJoining(): boolean {
    const joins = this.mine?.joins;
    const scene = this.session().scene;
    if (!joins || !scene) return false;
    // In a form of their own, the class's boundary may lie in the middle of something.
    const from = scene.timeline.spans.find(({ start_ms }) => start_ms >= joins.offset_ms)?.start_ms;
    return joins.step === scene.content.id && scene.at.offsetMs < (from ?? joins.offset_ms);
  }

  /** The report that the person made last, unless it is over. */
  get report(): OwnReport | null {
    const onItsWay = this.#lastOnItsWay((c) => c.do === "report");
    const sent = onItsWay?.do === "report" ? { id: onItsWay.report, said: onItsWay.said } : null;
    const kept = this.mine?.reports.findLast((r) => !r.over) ?? null;
    const id = sent?.id ?? this.#sent?.id ?? kept?.id ?? null;
    if (id === null || this.#lastOnItsWay((c) => c.do === "take_back" && c.report === id)) return null;
    const known = kept && isCalled(kept, id) ? kept : null;
    const waitedMs = this.#nowMs - this.#since(id, known?.at ?? null);
    const said = sent?.said ?? this.#sent?.said ?? known?.said ?? NOTHING_SAID;
    if (sent) return { id, said, progress: { is: "on_its_way", late: waitedMs > LATE_MS } };
    if (this.#sent?.refused) return { id, said, progress: { is: "refused" } };
    return { id, said, progress: progressOf(known, waitedMs) };
  }

  /** Whether the stop has not reached the server yet. */
  get stopIsOnItsWay(): boolean {
    return this.#isOnItsWay("stop");
  }

  /**
   * Whether nothing was said about the stop yet, so that it may have been a slip of the finger, however long ago.
   */
  get mayBeASlip(): boolean {
    return this.report === null && !this.mine?.reason_given && !this.#isOnItsWay("report");
  }

  /** Whether the page has to ask which of two people stopped. */
  get asksWhose(): boolean {
    return this.mine?.partner != null && !this.whoseSaid;
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
    this.#nowMs = this.monotonic();
    this.whose = "own";
    this.whoseSaid = false;
    this.saidWhy = null;
    this.#tell({ do: "stop", reason: null, whose: "own" });
    this.panel = "stopped";
  }

  undoStop(): void {
    if (!this.#isHeard("go-on")) return;
    this.#tell({ do: "undo_stop" });
    this.panel = "none";
  }

  sayWhose(whose: Whose): void {
    if (!this.#isHeard("whose")) return;
    this.whose = whose;
    this.whoseSaid = true;
  }

  stopBecause(reason: Exclude<StopReason, "hurts">): void {
    if (!this.#isHeard("reason")) return;
    this.saidWhy = reason;
    this.#tell({ do: "stop", reason, whose: this.whose });
  }

  /**
   * Help is needed at once: the emergency number is shown before anything else, and every desk is alarmed. What is
   * wrong can be said later, or never.
   */
  getHelp(): void {
    if (!this.#isHeard("help")) return;
    this.panel = "urgent";
    const report = this.report;
    if (report) this.#better.delete(report.id);
    const said = report?.said ?? { ...NOTHING_SAID, whose: this.whose };
    this.#sendReport(report?.id ?? this.session().newId(), { ...said, urgent: said.urgent ?? "help" });
  }

  /** It hurts: this tap sends the report, and what follows completes it. */
  beginReport(): void {
    if (!this.#isHeard("hurts")) return;
    if (this.report === null)
      this.#sendReport(this.session().newId(), { ...NOTHING_SAID, whose: this.whose });
    this.panel = "report";
  }

  /** Says more about the present report. What to do at once is shown before anything else. */
  sayMore(more: Partial<Said>): void {
    const key = Object.entries(more).map(([name, value]) => `${name}-${JSON.stringify(value)}`);
    if (!this.#isHeard(`more-${key.join()}`)) return;
    if (more.urgent) this.panel = "urgent";
    const report = this.report;
    const id = report?.id ?? this.session().newId();
    if (more.urgent) this.#better.delete(id);
    this.#sendReport(id, { ...(report?.said ?? { ...NOTHING_SAID, whose: this.whose }), ...more });
  }

  endReport(): void {
    this.panel = "stopped";
  }

  /** The person feels better; the report stays in the record. */
  isBetter(): void {
    if (this.report) this.#better.add(this.report.id);
    this.memory.setItem(BETTER, [...this.#better].join(" "));
    this.panel = "stopped";
  }

  takeBack(): void {
    const report = this.report;
    if (!report || !this.#isHeard("take-back")) return;
    this.#tell({ do: "take_back", report: report.id });
    this.#sent = null;
  }

  goOn(): void {
    if (!this.#isHeard("go-on")) return;
    this.#tell({ do: "go_on" });
    this.panel = "none";
  }

  confirmMouth(empty: boolean): void {
    if (this.#isHeard(`mouth-${empty}`)) this.#tell({ do: "confirm_mouth", empty });
  }

  sayEffort(number: number, score: number): void {
    if (this.#isHeard("effort")) this.#tell({ do: "say_effort", number, score });
  }

  answerClue(word: string | null): void {
    const { stage, scene } = this.session();
    const [number, step] = [stage?.clue?.number, scene?.content.id];
    if (number === undefined || step === undefined) return;
    // A tremor taps twice, but it does not write a word twice.
    if (word !== null || this.#isHeard("clue")) this.#tell({ do: "answer_clue", step, number, word });
  }

  readMessage(message: MessageId): void {
    if (this.#isHeard(`read-${message}`)) this.#tell({ do: "read_message", message });
  }

  #sendReport(report: string, said: Said): void {
    this.#nowMs = this.monotonic();
    if (!this.#tappedAtMs.has(report)) this.#tappedAtMs.set(report, this.#nowMs);
    const parcel = this.#tell({ do: "report", report, said });
    this.#sent = { parcel, id: report, said, refused: false };
  }

  /** When a report was tapped, on this page's clock; after a reload, when the server first had it. */
  #since(id: string, atMs: number | null): number {
    const tapped = this.#tappedAtMs.get(id);
    if (tapped !== undefined) return tapped;
    const { clock } = this.session();
    const ago = atMs !== null && clock.isSet ? Math.max(0, clock.now() - atMs) : 0;
    const since = this.monotonic() - ago;
    this.#tappedAtMs.set(id, since);
    return since;
  }

  #tell(command: SeatCommand): string {
    return this.session().tellSeat(command);
  }

  /** Whether a touch counts: the first one does, and the same control then ignores taps for a moment. */
  #isHeard(control: string): boolean {
    const nowMs = this.monotonic();
    if (nowMs < (this.#deafUntil.get(control) ?? 0)) return false;
    this.#deafUntil.set(control, nowMs + DEAF_MS);
    return true;
  }

  #isOnItsWay(...what: SeatCommand["do"][]): boolean {
    return this.#lastOnItsWay((command) => what.includes(command.do)) !== undefined;
  }

  #lastOnItsWay(fits: (command: SeatCommand) => boolean): SeatCommand | undefined {
    return this.session()
      .onItsWay.flatMap((parcel) => (parcel.kind === "seat" ? [parcel.command] : []))
      .findLast(fits);
  }
}
