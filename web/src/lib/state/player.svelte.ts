// Plays one drill of a home sheet, by this device's own clock and at the person's own pace.

import { inForm, timelineIn } from "../own";
import { clockOf, countsUp, isRest, on, stageAlone, type Scene, type StepIn } from "../player";
import {
  atMost,
  fromRep,
  partsFrom,
  partsOf,
  repsDone,
  wholeOf,
  type Part,
  type Place,
} from "../practice/parts";
import { asked } from "../practice/sheet";
import { cuesBetween } from "../sound/cues";
import type { Cue } from "../sound/cue";
import type { Content, Form, HomeDrillSheet, Move, Stage } from "../wire/types";

const LOOK_AGAIN_MS = 500;
/** A page that has not drawn for so long was asleep; one behind another still draws each second. */
export const ASLEEP_MS = 10_000;

export type Playing =
  /** Waits for the first tap. */
  | "ready"
  | "doing"
  /** In a rest that lasts as long as the person likes. */
  | "resting"
  | "stopped"
  | "over";

export class HomePlayer {
  is = $state<Playing>("ready");
  scene = $state.raw<Scene | null>(null);
  form = $state<Form>("full");
  /** How many repetitions are over. */
  done = $state(0);
  /** Whether a repetition was stopped in its middle, and comes again. */
  isInRep = $state(false);
  #parts: Part[];
  #at = 0;
  #begun = 0;
  /** When the page last drew what is on. */
  #looked = 0;
  #tries = 0;
  #next: ReturnType<typeof setTimeout> | undefined;

  constructor(
    readonly item: HomeDrillSheet,
    /** Milliseconds on a clock that only goes forward. */
    private readonly monotonic: () => number,
    private readonly onOver: () => void,
    /** Whether it goes on by itself in its longer rests too, as in a home class. */
    private readonly isPaced = false,
  ) {
    this.form = item.form;
    this.#parts = this.#partsIn(item.form);
  }

  #contentIn(form: Form): Content {
    return inForm(this.item.content, { form });
  }

  /** The drill in a form, with the hold that was set for this person. */
  #partsIn(form: Form): Part[] {
    const content = this.#contentIn(form);
    const move: Move = { at: 0, step: 0, rev: 0, offset_ms: 0, running: true, stretch: [] };
    const timeline = timelineIn(content, content, move, this.item.hold_ms ?? undefined);
    return this.isPaced ? wholeOf(timeline) : partsOf(timeline);
  }

  start(): void {
    if (this.is === "over") return;
    this.#begun = this.#looked = this.monotonic();
    this.#tries += 1;
    this.is = "doing";
    this.tick();
  }

  /** The drill's stage, as a class screen would have it. */
  get stage(): Stage | null {
    void [this.is, this.form];
    const moves = this.#moves();
    return moves.length === 0 ? null : stageAlone(moves, this.#tries);
  }

  #moves(): Move[] {
    const part = this.#parts[this.#at];
    if (!part) return [];
    const { id, rev } = this.item.content;
    const offset_ms = -part.timeline.ready_ms;
    return [{ at: this.#begun, step: id, rev, offset_ms, running: true, stretch: [] }];
  }

  #stepIn({ timeline }: Part): StepIn {
    const content = this.#contentIn(this.form);
    return {
      content: { ...content, timeline: { ...content.timeline, ready_ms: timeline.ready_ms } },
      timeline,
      way: `${this.form}.${this.#at}.${this.#tries}`,
    };
  }

  #sceneAt(part: Part, offsetMs: number, seconds: number | null): Scene {
    const at = { move: this.#moves()[0]!, offsetMs, paused: false, resumesInMs: null };
    return { ...this.#stepIn(part), at, on: on(part.timeline, offsetMs), seconds, resumesIn: null };
  }

  /** The part that comes, before its first moment: for what a screen says while somebody is about to begin or rests. */
  get coming(): Scene | null {
    void [this.is, this.form];
    const part = this.#parts[this.#at];
    return part ? this.#sceneAt(part, -part.timeline.ready_ms, null) : null;
  }

  /** Draws this instant, and schedules itself for the next change. */
  tick(): void {
    clearTimeout(this.#next);
    const part = this.#parts[this.#at];
    if (this.is !== "doing" || !part) return;
    const nowMs = this.monotonic();
    // The device slept: what would have been done meanwhile was not.
    if (nowMs - this.#looked > ASLEEP_MS) return this.#stopAt(this.#looked);
    this.#looked = nowMs;
    const offsetMs = nowMs - this.#begun - part.timeline.ready_ms;
    const now = on(part.timeline, offsetMs);
    if (now.kind === "over") return this.#endPart(part);
    const scene = this.#sceneAt(part, offsetMs, clockOf(now, offsetMs));
    if (drawing(scene) !== (this.scene && drawing(this.scene))) this.scene = scene;
    const leftMs = now.kind === "ready" || now.kind === "span" ? now.leftMs : LOOK_AGAIN_MS;
    const waits = [LOOK_AGAIN_MS, leftMs, leftMs % 1_000 || 1_000];
    if (now.kind === "span" && countsUp(now)) waits.push(1_000 - ((offsetMs - now.span.start_ms) % 1_000));
    this.#next = setTimeout(() => this.tick(), Math.max(1, Math.ceil(Math.min(...waits))));
  }

  /** How many repetitions are over at this instant. */
  get soFar(): number {
    const part = this.#parts[this.#at];
    if (this.is !== "doing" || !part) return this.done;
    return this.done + repsDone(part, this.monotonic() - this.#begun - part.timeline.ready_ms);
  }

  /** What sounds within the next moments. */
  cues(behindMs: number, aheadMs: number): Cue[] {
    const part = this.#parts[this.#at];
    if (this.is !== "doing" || !part) return [];
    const now = this.monotonic();
    return cuesBetween(this.#moves(), () => this.#stepIn(part), now - behindMs, now + aheadMs);
  }

  #endPart(part: Part): void {
    this.done += repsDone(part, Infinity);
    this.halt();
    this.#at += 1;
    if (this.#at < this.#parts.length) this.is = "resting";
    else this.finish();
  }

  /** Draws nothing any more. */
  halt(): void {
    clearTimeout(this.#next);
    this.scene = null;
  }

  /** That is enough for now. */
  finish(): void {
    this.halt();
    if (this.is === "over") return;
    this.is = "over";
    this.onOver();
  }

  /** Stops at once, whatever is on. */
  stop(): void {
    this.#stopAt(this.monotonic());
  }

  #stopAt(ms: number): void {
    const part = this.#parts[this.#at];
    this.isInRep = false;
    if (this.is === "doing" && part) {
      const offsetMs = ms - this.#begun - part.timeline.ready_ms;
      this.done += repsDone(part, offsetMs);
      const now = on(part.timeline, offsetMs);
      this.isInRep = now.kind === "span" && !isRest(now.span);
      const left = fromRep(part, offsetMs);
      this.#parts = left === null ? this.#parts.toSpliced(this.#at, 1) : this.#parts.with(this.#at, left);
    }
    this.halt();
    this.is = "stopped";
    // In a home class nothing goes on because somebody stopped, or was away, in the last rest.
    if (this.#isDone && !this.isPaced) this.finish();
  }

  get #isDone(): boolean {
    return this.#at >= this.#parts.length;
  }

  /** Goes on: with the repetition that was stopped in its middle, or else with the next one. */
  goOn(): void {
    if (this.#isDone) return this.finish();
    // Whether the mouth is empty is to be looked at again.
    if (this.item.content.swallow) this.is = "ready";
    else this.start();
  }

  /** Whether the drill has an easier form that is not being done already. */
  get canBeEasier(): boolean {
    return (
      this.form !== "easier" && !this.#isDone && this.item.content.forms.some(({ form }) => form === "easier")
    );
  }

  /** Goes on in the drill's easier form, for no more repetitions than are left. */
  makeEasier(): void {
    const first = this.#parts[this.#at]?.timeline.spans.find((span) => span.rep > 0);
    const place: Place = first ?? { side: 0, set: 1, rep: 1 };
    this.form = "easier";
    const left = Math.max(0, asked(this.item).reps - this.done);
    this.#parts = atMost(partsFrom(this.#partsIn("easier"), place), left);
    this.#at = 0;
    if (this.#parts.length === 0) this.finish();
    else this.goOn();
  }
}

/** What can be told apart on a screen in a scene. */
function drawing({ way, on: now, seconds }: Scene): string {
  return `${way}|${now.kind === "span" ? now.index : now.kind}|${seconds}`;
}
