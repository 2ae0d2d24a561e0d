// The sounds of one screen: cues are put on the audio clock ahead of their instant, and taken back when
// the class takes another turn. Needs a tap first, as browsers demand. Never the only sign of a change.

import { writeBreath, writeCall, writeCue, type Call, type Written } from "./score";
import type { Cue } from "./cues";

/** How far ahead cues are put on the audio clock, in milliseconds. */
export const AHEAD_MS = 600;

interface Planned {
  sources: Written;
  /** On the audio clock, in seconds. */
  at: number;
}

export class Sounds {
  #context: AudioContext | null = null;
  #planned = new Map<string, Planned>();
  /** 0 to 1. */
  volume = 1;

  get isOn(): boolean {
    return this.#context !== null;
  }

  /** Call from a tap. */
  turnOn(): void {
    this.#context ??= new AudioContext();
    void this.#context.resume().catch(() => undefined);
  }

  /** Mutes this device: what was planned is taken back. */
  turnOff(): void {
    this.plan([], 0);
    void this.#context?.close();
    this.#context = null;
    this.#planned.clear();
  }

  /** Plays a cue now, for a check of the sound. */
  check(): void {
    const context = this.#running();
    if (context) writeCue(context, "start", context.currentTime, this.volume);
  }

  /** Calls the desk. */
  call(call: Call, volume: number): void {
    const context = this.#running();
    if (context) writeCall(context, call, context.currentTime, volume);
  }

  /**
   * Plans what is to sound from now on; `now` is the server's clock. What was planned and is not among
   * `cues` any more is taken back if it has not begun.
   */
  plan(cues: readonly Cue[], now: number): void {
    const context = this.#running();
    if (!context) return;
    const latencyS = context.outputLatency || context.baseLatency || 0;
    for (const cue of cues) {
      if (this.#planned.has(cue.key)) continue;
      const at = context.currentTime + (cue.at - now) / 1000 - latencyS;
      // Too late by more than a blink: the picture has changed, and a late sound would mislead.
      if (at < context.currentTime - 0.15) continue;
      this.#planned.set(cue.key, {
        at,
        sources: this.#write(context, cue, Math.max(at, context.currentTime)),
      });
    }
    const wanted = new Set(cues.map((cue) => cue.key));
    for (const [key, { at, sources }] of this.#planned) {
      const hasBegun = at <= context.currentTime;
      if (!wanted.has(key) && !hasBegun) sources.forEach((source) => source.stop());
      if (!wanted.has(key) && (!hasBegun || at < context.currentTime - 10)) this.#planned.delete(key);
    }
  }

  #write(context: AudioContext, { sound }: Cue, at: number): Written {
    return sound.kind === "breath"
      ? writeBreath(context, at, sound.seconds, this.volume)
      : writeCue(context, sound.pattern, at, this.volume);
  }

  #running(): AudioContext | null {
    return this.#context?.state === "running" ? this.#context : null;
  }
}
