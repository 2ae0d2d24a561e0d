// A voice that reads the cues: in short sentences, at the instant of each cue, and never over the next one.

import type { Cue } from "./cue";

/** What is used of the browser's speech. */
export interface Speech {
  cancel(): void;
  speak(words: string): void;
}

/**
 * How long voices take at 140 words a minute, a pace that older ears follow (rate from memory): fitted to what the
 * synthesiser espeak-ng takes for the cues of all drills, in English and Spanish (tests/reference/speech.py).
 */
const LETTER_MS = 60;
const WORD_MS = 64;
const STOP_MS = 575;
const COMMA_MS = 330;
const AROUND_MS = 230;
/** A cue that began longer ago than this is no longer said. */
const LATE_MS = 1_500;

/** How long the words take to say, in milliseconds. */
export function sayingMs(words: string): number {
  const many = (what: RegExp): number => words.match(what)?.length ?? 0;
  const stops = many(/[.!?…]+(?=\s*\S)/gu) * STOP_MS + many(/[,;:]/gu) * COMMA_MS;
  return AROUND_MS + many(/[\p{L}\p{N}]/gu) * LETTER_MS + many(/\S+/gu) * WORD_MS + stops;
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
    const first = /^.+?[.!?…]/u.exec(cue.words)?.[0] ?? cue.words;
    const words = [cue.words, first].find((some) => sayingMs(some) <= cue.until - now);
    if (words) this.speech.speak(words);
  }
}
