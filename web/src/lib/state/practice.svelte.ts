// Practice at home: what to do, the player with a clock of its own, and how it went. It knows no DOM; the parts are passed in.

import { inForm, timelineIn } from "../own";
import { clockOf, countsUp, on, type Scene } from "../player";
import type { Keep, KeptLog } from "../practice/keep";
import { fromRep, partsFrom, partsOf, repsDone, type Part, type Place } from "../practice/parts";
import type { Sent } from "../practice/send";
import { asked } from "../practice/sheet";
import { cuesBetween } from "../sound/cues";
import type { Cue } from "../sound/cue";
import type {
  Content,
  Ease,
  Form,
  HomeDone,
  HomeDrillSheet,
  Move,
  OwnSheet,
  OwnSheets,
  Stage,
} from "../wire/types";

export type PracticeStep =
  | "looking"
  /** Several people's sheets are on this device. */
  | "who"
  | "choose"
  | "ready"
  | "doing"
  | "resting"
  | "stopped"
  | "how"
  | "by_hand"
  | "hurt"
  | "saved"
  | "ended";

export interface PracticeParts {
  /** The sheets of a link as they are now; rejects where they cannot be had. */
  read(link: string): Promise<OwnSheets>;
  /** Sends what waits. */
  send(keep: Keep, link: string): Promise<Sent>;
  /** Milliseconds on a clock that only goes forward. */
  monotonic(): number;
  /** The day here, and how many minutes the clock is ahead of UTC. */
  today(): { day: string; offset_minutes: number };
  newId(): string;
  /** Called with the sheets once they are read, with a device that is a person's own. */
  kept(own: OwnSheets, link: string): Promise<void>;
}

/** What somebody is doing: a drill of a sheet. */
export interface Doing {
  of: OwnSheet;
  item: HomeDrillSheet;
}

const LOOK_AGAIN_MS = 500;

export class PracticeState {
  step = $state<PracticeStep>("looking");
  link = $state<string | null>(null);
  own = $state.raw<OwnSheets | null>(null);
  /** Everybody whose sheets are on this device. */
  everybody = $state.raw<{ link: string; name: string }[]>([]);
  doing = $state.raw<Doing | null>(null);
  scene = $state.raw<Scene | null>(null);
  form = $state<Form>("full");
  /** How many repetitions are over. */
  done = $state(0);
  /** Whether the server was reached last. */
  online = $state(false);
  /** Whether the drill was taken from the sheet while it was open. */
  withdrawn = $state(false);
  /** What is done and not yet sent; what the server asks about is among it. */
  waiting = $state.raw<KeptLog[]>([]);
  /** Whether only the person may open the link again before what waits can be sent. */
  needsLink = $state(false);
  #parts: Part[] = [];
  #at = 0;
  #begun = 0;
  #tries = 0;
  #next: ReturnType<typeof setTimeout> | undefined;

  constructor(
    private readonly keep: Keep,
    private readonly parts: PracticeParts,
  ) {}

  /** Opens the page of a link, or, where the address names none, that of whoever's sheets are on the device. */
  async begin(link: string | null): Promise<void> {
    const kept = await this.keep.sheets();
    this.everybody = kept.map(({ link, own }) => ({ link, name: own.name }));
    const only = kept.length === 1 ? kept[0]!.link : null;
    const chosen = link ?? only;
    if (chosen === null) this.step = kept.length > 1 ? "who" : "ended";
    else await this.open(chosen);
  }

  async open(link: string): Promise<void> {
    this.link = link;
    const kept = (await this.keep.sheets()).find((one) => one.link === link);
    if (kept) [this.own, this.step] = [kept.own, "choose"];
    await this.#lookAtLogs();
    await this.look();
    if (this.step === "looking") this.step = this.own === null ? "ended" : "choose";
  }

  /** Sends what waits, and reads the sheets anew: what a clinician took back goes, also from under a drill that is on. */
  async look(): Promise<void> {
    const { link } = this;
    if (link === null) return;
    const sent = await this.parts.send(this.keep, link);
    this.needsLink = sent === "no_pass";
    await this.#lookAtLogs();
    if (sent === "ended") return this.#wipe();
    try {
      const own = await this.parts.read(link);
      [this.own, this.online] = [own, true];
      this.#checkDoing(own);
      await this.parts.kept(own, link);
    } catch (error) {
      this.online = false;
      const code: unknown =
        error !== null && typeof error === "object" && "code" in error ? error.code : null;
      if (code === "link_ended") {
        await this.keep.forget(link);
        this.#wipe();
      } else if (code === "no_pass") {
        this.needsLink = true;
      }
    }
  }

  #wipe(): void {
    this.#halt();
    [this.own, this.doing, this.waiting, this.step] = [null, null, [], "ended"];
  }

  #checkDoing(own: OwnSheets): void {
    const { doing } = this;
    if (doing === null) return;
    const still = own.sheets.some(
      ({ class: of, sheet }) =>
        of === doing.of.class && sheet.items.some(({ drill }) => drill === doing.item.drill),
    );
    const isOpen = ["ready", "doing", "resting", "stopped"].includes(this.step);
    if (still || !isOpen) return;
    this.#halt();
    this.withdrawn = true;
    if (this.done > 0) void this.#note({ done: this.done });
    [this.doing, this.step] = [null, "choose"];
  }

  async #lookAtLogs(): Promise<void> {
    this.waiting = this.link === null ? [] : await this.keep.logs(this.link);
  }

  // --- the player

  choose(of: OwnSheet, item: HomeDrillSheet): void {
    this.doing = { of, item };
    [this.form, this.done, this.withdrawn, this.#at] = [item.form, 0, false, 0];
    this.#parts = this.#partsIn(item.form);
    this.step = "ready";
  }

  /** The drill in a form, with the hold that was set for this person. */
  #contentIn(form: Form): Content {
    const { content } = this.doing!.item;
    return inForm(content, { form });
  }

  #partsIn(form: Form): Part[] {
    const { item } = this.doing!;
    const content = this.#contentIn(form);
    const move: Move = { at: 0, step: 0, rev: 0, offset_ms: 0, running: true, stretch: [] };
    return partsOf(timelineIn(content, content, move, item.hold_ms ?? undefined));
  }

  start(): void {
    this.#begun = this.parts.monotonic();
    this.#tries += 1;
    this.step = "doing";
    this.tick();
  }

  /** The drill's stage, as a class screen would have it. */
  get stage(): Stage | null {
    const [move] = this.#moves();
    if (!move) return null;
    return {
      seq: this.#tries,
      phase: "running",
      moves: [move],
      steps: [],
      number: 1,
      of: 1,
      clue: null,
      effort: null,
      lead_lost: false,
      safety_pause: null,
      before: null,
      after: null,
    };
  }

  #moves(): Move[] {
    const part = this.#parts[this.#at];
    if (!this.doing || !part) return [];
    const { id, rev } = this.doing.item.content;
    const offset_ms = -part.timeline.ready_ms;
    return [{ at: this.#begun, step: id, rev, offset_ms, running: true, stretch: [] }];
  }

  #stepIn(): { content: Content; timeline: Part["timeline"]; way: string } {
    const { timeline } = this.#parts[this.#at]!;
    const content = this.#contentIn(this.form);
    return {
      content: { ...content, timeline: { ...content.timeline, ready_ms: timeline.ready_ms } },
      timeline,
      way: `${this.form}.${this.#at}.${this.#tries}`,
    };
  }

  /** The part that comes, before its first moment: for what a screen says while somebody is about to begin or rests. */
  get coming(): Scene | null {
    void [this.step, this.form];
    const part = this.#parts[this.#at];
    const [move] = this.#moves();
    if (!part || !move) return null;
    const offsetMs = -part.timeline.ready_ms;
    const at = { move, offsetMs, paused: false, resumesInMs: null };
    return { ...this.#stepIn(), at, on: on(part.timeline, offsetMs), seconds: null, resumesIn: null };
  }

  /** Draws this instant, and schedules itself for the next change. */
  tick(): void {
    clearTimeout(this.#next);
    const part = this.#parts[this.#at];
    if (this.step !== "doing" || !part) return;
    const offsetMs = this.parts.monotonic() - this.#begun - part.timeline.ready_ms;
    const now = on(part.timeline, offsetMs);
    if (now.kind === "over") return this.#endPart(part);
    const seconds = clockOf(now, offsetMs);
    const before = this.scene;
    const place = now.kind === "span" ? now.index : now.kind;
    const placeBefore = before?.on.kind === "span" ? before.on.index : before?.on.kind;
    const way = `${this.form}.${this.#at}.${this.#tries}`;
    if (place !== placeBefore || seconds !== before?.seconds || way !== before.way) {
      const at = { move: this.#moves()[0]!, offsetMs, paused: false, resumesInMs: null };
      this.scene = { ...this.#stepIn(), at, on: now, seconds, resumesIn: null };
    }
    const left = now.kind === "ready" || now.kind === "span" ? now.leftMs : LOOK_AGAIN_MS;
    const waits = [LOOK_AGAIN_MS, left, left % 1_000 || 1_000];
    if (now.kind === "span" && countsUp(now)) waits.push(1_000 - ((offsetMs - now.span.start_ms) % 1_000));
    this.#next = setTimeout(() => this.tick(), Math.max(1, Math.ceil(Math.min(...waits))));
  }

  /** What sounds within the next moments. */
  cues(behindMs: number, aheadMs: number): Cue[] {
    if (this.step !== "doing") return [];
    const now = this.parts.monotonic();
    return cuesBetween(this.#moves(), () => this.#stepIn(), now - behindMs, now + aheadMs);
  }

  #endPart(part: Part): void {
    this.done += repsDone(part, Infinity);
    this.#halt();
    this.#at += 1;
    this.step = this.#at < this.#parts.length ? "resting" : "how";
  }

  #halt(): void {
    clearTimeout(this.#next);
    this.scene = null;
  }

  get #offsetMs(): number {
    const part = this.#parts[this.#at];
    return part ? this.parts.monotonic() - this.#begun - part.timeline.ready_ms : 0;
  }

  /** Stops at once, whatever is on. */
  stop(): void {
    const part = this.#parts[this.#at];
    if (this.step === "doing" && part) {
      const offsetMs = this.#offsetMs;
      this.done += repsDone(part, offsetMs);
      const left = fromRep(part, offsetMs);
      this.#parts = this.#parts.with(this.#at, left);
    }
    this.#halt();
    this.step = "stopped";
  }

  /** Goes on with the repetition that was stopped. */
  again(): void {
    this.start();
  }

  /** The easier form, where the drill has one and it is not being done already. */
  get canBeEasier(): boolean {
    const content = this.doing?.item.content;
    return this.form !== "easier" && content?.forms.some(({ form }) => form === "easier") === true;
  }

  /** Goes on with the same repetition in the drill's easier form. */
  makeEasier(): void {
    const first = this.#parts[this.#at]?.timeline.spans.find((span) => span.rep > 0);
    const place: Place = first ?? { side: 0, set: 1, rep: 1 };
    this.form = "easier";
    this.#parts = partsFrom(this.#partsIn("easier"), place);
    this.#at = 0;
    if (this.#parts.length === 0) this.step = "how";
    else this.start();
  }

  /** Enough for now: what was done is noted, and how it was is asked. */
  enough(): void {
    this.step = "how";
  }

  /** Back to the choice before anything was done. */
  leave(): void {
    this.#halt();
    [this.doing, this.step] = [null, "choose"];
  }

  // --- how it went

  async say(ease: Ease | null): Promise<void> {
    // A tremor's second tap says nothing more.
    if (this.step !== "how") return;
    this.step = "saved";
    await this.#note({ done: this.done, ease });
  }

  /** It hurt, in the middle of it or afterwards. */
  async sayHurt(): Promise<void> {
    if (this.step === "hurt") return;
    this.#halt();
    const isByHand = this.step === "by_hand";
    this.step = "hurt";
    await this.#note({ done: isByHand ? null : this.done, hurt: true, noted: isByHand ? "hand" : "screen" });
  }

  /** They did it without the screen. */
  byHand(of: OwnSheet, item: HomeDrillSheet): void {
    [this.doing, this.form, this.step] = [{ of, item }, item.form, "by_hand"];
  }

  async sayByHand(how: "all" | "some" | "none"): Promise<void> {
    if (this.step !== "by_hand") return;
    this.step = "saved";
    const { reps } = asked(this.doing!.item);
    await this.#note({ done: { all: reps, some: null, none: 0 }[how], noted: "hand" });
  }

  async #note(what: Partial<HomeDone["log"]>): Promise<void> {
    const { doing, link } = this;
    if (doing === null || link === null) return;
    const log: HomeDone["log"] = {
      id: this.parts.newId(),
      drill: doing.item.drill,
      form: this.form,
      asked: asked(doing.item),
      done: null,
      ease: null,
      hurt: false,
      noted: "screen",
      ...this.parts.today(),
      ...what,
    };
    await this.keep.keepLog({ id: log.id, link, done: { class: doing.of.class, log }, asks: false });
    await this.#lookAtLogs();
    // Whoever is to look after them should know at once.
    void this.look();
  }

  another(): void {
    [this.doing, this.step] = [null, "choose"];
  }

  /** What the server asks about: it was today, or it is left out. */
  async answerDay(log: KeptLog, wasToday: boolean): Promise<void> {
    await this.keep.dropLog(log.id);
    if (wasToday) {
      const id = this.parts.newId();
      const of = { ...log.done.log, id, ...this.parts.today() };
      await this.keep.keepLog({ ...log, id, done: { ...log.done, log: of }, asks: false });
    }
    await this.#lookAtLogs();
    await this.look();
  }
}
