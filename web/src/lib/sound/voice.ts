// A voice that reads the cues: short sentences, at the instant of the cue, and never over the next one.

import type { Cue } from "./cues";

/** What of the browser's speech is used. */
export interface Speech {
  cancel(): void;
  speak(words: string): void;
}

/** About 130 words a minute: a pace that older ears follow (rate from memory). */
const WORD_MS = 460;
const BEFORE_MS = 350;

/** How long it takes to say something, in milliseconds. */
export function sayingMs(words: string): number {
  return BEFORE_MS + words.split(/\s+/).filter(Boolean).length * WORD_MS;
}

export class Voice {
  #said = "";

  constructor(private readonly speech: Speech) {}

  /** Says the newest of the cues that have begun, if there is time for it. `now` is the server's clock. */
  hear(cues: readonly Cue[], now: number): void {
    const cue = cues.filter(({ at }) => at <= now).at(-1);
    if (!cue || cue.key === this.#said) return;
    this.#said = cue.key;
    this.speech.cancel();
    const left = cue.at + cue.lengthMs - now;
    if (cue.words !== null && sayingMs(cue.words) <= left) this.speech.speak(cue.words);
  }
}
