// Goes through a home class from its first drill to its last, by this device's own clock. It knows no DOM.

import type { HomeDrillSheet, OwnHomeClass } from "../wire/types";
import { ASLEEP_MS, type HomePlayer } from "./player.svelte";

/** Whether there is something to be done, or to be thought about, before a drill. */
function waitsForTap({ content, needs, hurt }: HomeDrillSheet): boolean {
  return content.swallow || needs.length > 0 || hurt !== null;
}

export class HomeRun {
  /** Which drill is on or comes next, from 1. */
  number = $state(0);
  /** Whether what is on is a rest between two drills. */
  isResting = $state(false);
  /** The seconds that are left of such a rest, or until the next drill begins; null where that waits for a tap, and in a drill. */
  secondsLeft = $state<number | null>(null);
  /** Whether it was stopped in a rest or before a drill. */
  isStopped = $state(false);
  /** How many drills there are. */
  readonly drills: number;
  #at = -1;
  #player: HomePlayer | null = null;
  /** When what is waited for comes, and when the page last looked. */
  #until = 0;
  #looked = 0;
  #next: ReturnType<typeof setTimeout> | undefined;

  constructor(
    readonly of: OwnHomeClass,
    /** Made once for each time that somebody goes through it. */
    readonly id: string,
    private readonly monotonic: () => number,
    /** Opens the player of a drill. */
    private readonly open: (item: HomeDrillSheet) => HomePlayer,
    private readonly onOver: () => void,
  ) {
    this.drills = of.sheet.steps.filter((step) => step.kind === "drill").length;
  }

  /** The drill that comes after a rest. */
  get coming(): HomeDrillSheet | null {
    const steps = this.of.sheet.steps.slice(Math.max(0, this.#at));
    return steps.find((step) => step.kind === "drill")?.sheet ?? null;
  }

  /** The first drill waits until somebody begins it. The next ones come by themselves, but for some. */
  next(): void {
    this.halt();
    this.#at += 1;
    const step = this.of.sheet.steps[this.#at];
    this.isResting = step?.kind === "rest";
    if (!step) return this.onOver();
    if (step.kind === "rest") return this.#wait(step.ms);
    this.number += 1;
    this.#player = this.open(step.sheet);
    if (this.number > 1 && !waitsForTap(this.#player.item)) this.#wait(this.of.sheet.between_ms);
  }

  #wait(ms: number): void {
    this.#looked = this.monotonic();
    this.#until = this.#looked + ms;
    this.#tick();
  }

  #tick(): void {
    const now = this.monotonic();
    // The device slept: nobody may be there any more.
    if (now - this.#looked > ASLEEP_MS) return this.stop();
    this.#looked = now;
    const leftMs = this.#until - now;
    if (leftMs <= 0) return this.goOn();
    this.secondsLeft = Math.ceil(leftMs / 1_000);
    this.#next = setTimeout(() => this.#tick(), leftMs % 1_000 || 1_000);
  }

  /** Begins at once what comes. */
  goOn(): void {
    this.halt();
    if (this.isResting) this.next();
    else this.#player?.start();
  }

  /** Stops a rest, or the time before a drill. */
  stop(): void {
    this.halt();
    this.isStopped = true;
  }

  /** Goes back to what was stopped: to the drill that comes, which waits now. */
  resume(): void {
    if (this.isResting) this.next();
    this.halt();
  }

  /** Nothing comes by itself any more. */
  halt(): void {
    clearTimeout(this.#next);
    [this.secondsLeft, this.isStopped] = [null, false];
  }
}
