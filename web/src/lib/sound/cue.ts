// What is sounded, and when.

import type { Pattern } from "./score";

export type Sound =
  { kind: "cue"; pattern: Pattern } | { kind: "breath"; seconds: number } | { kind: "words" };

export interface Cue {
  /** The same key for the same sound, however often it is asked for. */
  key: string;
  /** When the sound begins, in milliseconds on the server's clock. */
  at: number;
  /** When what it asks for ends, including when the class moves elsewhere; same clock. */
  until: number;
  sound: Sound;
  /** The words of the cue, for a voice; empty after the end. */
  words: string | null;
  /** It sounds beside what is on, such as a mark within a hold: a voice that is speaking goes on. */
  beside?: boolean;
}
