// A voice that reads the cues: in short sentences, at the instant of each cue, and never over the next one.

import type { Cue } from "./cue";

/** What is used of the browser's speech. */
export interface Speech {
  cancel(): void;
  speak(words: string): void;
}

/** About 130 words a minute: a pace that older ears follow (rate from memory). */
const WORD_MS = 460;
const BEFORE_MS = 350;
/** A cue that began longer ago than this is no longer said. */
const LATE_MS = 1_500;

/** How long the words take to say, in milliseconds. */
export function sayingMs(words: string): number {
  return BEFORE_MS + words.split(/\s+/).filter(Boolean).length * WORD_MS;
}

export class Voice {
  #said: string | null = null;

  constructor(private readonly speech: Speech) {}

  /**
   * Says the present cue, if there is time for it, and falls silent where there is none. `now` is on the server's
   * clock.
   */
  hear(cues: readonly Cue[], now: number): void {
    const cue = cues.filter(({ at, until, beside }) => !beside && at <= now && now < until).at(-1);
    if ((cue?.key ?? null) === this.#said) return;
    this.#said = cue?.key ?? null;
    this.speech.cancel();
    if (!cue || cue.words === null || now - cue.at > LATE_MS) return;
    if (sayingMs(cue.words) <= cue.until - now) this.speech.speak(cue.words);
  }
}
