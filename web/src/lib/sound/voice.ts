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
/** A cue that began longer ago is not said any more. */
const LATE_MS = 1_500;

/** How long it takes to say something, in milliseconds. */
export function sayingMs(words: string): number {
  return BEFORE_MS + words.split(/\s+/).filter(Boolean).length * WORD_MS;
}

export class Voice {
  #said: string | null = null;

  constructor(private readonly speech: Speech) {}

  /**
   * Says the cue that is on, if there is time for it, and falls silent where none is on any more. `now` is
   * the server's clock.
   */
  hear(cues: readonly Cue[], now: number): void {
    const cue = cues.filter(({ at, until }) => at <= now && now < until).at(-1);
    if ((cue?.key ?? null) === this.#said) return;
    this.#said = cue?.key ?? null;
    this.speech.cancel();
    if (!cue || cue.words === null || now - cue.at > LATE_MS) return;
    if (sayingMs(cue.words) <= cue.until - now) this.speech.speak(cue.words);
  }
}
