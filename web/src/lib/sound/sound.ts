// The sounds of one screen. Cues are put on the audio clock ahead of their instant, and taken back when the class
// moves elsewhere. Browsers demand a tap first. A sound is never the only sign of a change.

import { writeBreath, writeCall, writeCue, type Call, type Written } from "./score";
import type { Cue } from "./cue";

/**
 * How far ahead cues are put on the audio clock, in milliseconds: a page behind another one may run only once a
 * minute.
 */
export const AHEAD_MS = 90_000;
/** The longest that a sound lasts; anything that began earlier is over. */
export const BEHIND_MS = 5_000;
/**
 * While its start is between these many seconds away, a planned sound follows the estimate of the server's clock.
 */
const SETTLED_S = 0.25;
const FAR_S = 2;
const SHIFT_S = 0.008;
/** A sound later than this would mislead, since the picture has changed by then. */
const LATE_S = 0.15;

interface Planned {
  sources: Written;
  /** When it begins, in seconds on the audio clock. */
  at: number;
  /** When it is cut off, if it is. */
  until: number;
}

/** After sleep, what a browser last knew about its loudspeaker is out of date. */
const STALE_MS = 1_000;

/**
 * What leaves the loudspeaker now, in seconds on the audio clock. Browsers say when they last knew it; where one
 * does not, the time of the next block of samples has to do, which is exact only to one block.
 */
function audibleNow(context: AudioContext): number {
  const { contextTime = 0, performanceTime = 0 } = context.getOutputTimestamp();
  const ageMs = performance.now() - performanceTime;
  if (contextTime > 0 && ageMs < STALE_MS) return contextTime + ageMs / 1000;
  return context.currentTime - (context.outputLatency || context.baseLatency || 0);
}

export class Sounds {
  #context: AudioContext | null = null;
  #planned = new Map<string, Planned>();
  /** The volume, from 0 to 1. */
  volume = 1;

  /** `onAudible` is told whether this device can be heard now. */
  constructor(private readonly onAudible: (audible: boolean) => void = () => undefined) {}

  /** Call it from a tap; resolves once sounds can be heard. */
  async turnOn(): Promise<void> {
    if (!this.#context) {
      this.#context = new AudioContext();
      this.#context.onstatechange = () => this.onAudible(this.#running() !== null);
    }
    await this.#context.resume().catch(() => undefined);
    this.onAudible(this.#running() !== null);
  }

  /** Mutes this device and takes back what was planned. */
  turnOff(): void {
    if (!this.#context) return;
    this.plan([], 0);
    this.#context.onstatechange = null;
    void this.#context.close();
    this.#context = null;
    this.#planned.clear();
    this.onAudible(false);
  }

  /** Plays a cue now, to test the sound. */
  check(): void {
    const context = this.#running();
    if (context) writeCue(context, "start", context.currentTime, this.volume);
  }

  /** Sounds an alarm at the desk. */
  call(call: Call, volume: number): void {
    const context = this.#running();
    if (context) writeCall(context, call, context.currentTime, volume);
  }

  /**
   * Plans what is to sound from now on; `now` is on the server's clock. A planned sound that is no longer among
   * `cues`, or whose cue has ended, falls silent.
   */
  plan(cues: readonly Cue[], now: number): void {
    const context = this.#running();
    if (!context) return;
    const audibleS = audibleNow(context);
    const clock = (ms: number): number => audibleS + (ms - now) / 1000;
    for (const cue of cues) {
      const [at, until] = [clock(cue.at), clock(cue.until)];
      const planned = this.#planned.get(cue.key);
      const ahead = planned ? planned.at - context.currentTime : 0;
      const follows = planned && ahead > SETTLED_S && ahead < FAR_S && Math.abs(planned.at - at) > SHIFT_S;
      if (planned && !follows) {
        this.#cut(context, planned, until);
        continue;
      }
      planned?.sources.forEach((source) => source.stop());
      this.#planned.delete(cue.key);
      if (at < context.currentTime - LATE_S) continue;
      const sources = this.#write(context, cue, Math.max(at, context.currentTime));
      const fresh = { at, sources, until: Infinity };
      this.#planned.set(cue.key, fresh);
      this.#cut(context, fresh, until);
    }
    const wanted = new Set(cues.map((cue) => cue.key));
    for (const [key, { sources }] of this.#planned) {
      if (wanted.has(key)) continue;
      sources.forEach((source) => source.stop());
      this.#planned.delete(key);
    }
  }

  /** Ends a sound at `until`, if that is before its own end. */
  #cut(context: AudioContext, planned: Planned, until: number): void {
    if (!(until < planned.at + BEHIND_MS / 1000) || Math.abs(until - planned.until) < SHIFT_S) return;
    planned.until = until;
    planned.sources.forEach((source) => source.stop(Math.max(until, context.currentTime)));
  }

  #write(context: AudioContext, { sound }: Cue, at: number): Written {
    switch (sound.kind) {
      case "breath":
        return writeBreath(context, at, sound.seconds, this.volume);
      case "cue":
        return writeCue(context, sound.pattern, at, this.volume);
      case "words":
        return [];
      default:
        return sound satisfies never;
    }
  }

  #running(): AudioContext | null {
    return this.#context?.state === "running" ? this.#context : null;
  }
}
