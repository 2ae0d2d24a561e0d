// Guides the person at this screen by sound, voice and a touch of vibration, each only in addition to what the screen shows.

import { language } from "../messages";
import type { Choices } from "../choices";
import type { Cue } from "./cue";
import type { Sounds } from "./sound";
import { Voice } from "./voice";

/** Only a cue that began this recently is felt as a vibration. */
const JUST_NOW_MS = 300;

/** Says words at once, in place of what is being said; none fall silent. */
export function say(words: string): void {
  speechSynthesis.cancel();
  const saying = new SpeechSynthesisUtterance(words);
  saying.lang = language;
  saying.rate = 0.95;
  speechSynthesis.speak(saying);
}

/** What the person at this screen chose, and what their device can do. */
interface Guided {
  readonly now: Choices;
  readonly audible: boolean;
  canSpeak: boolean;
  cuesBegun: number;
}

export class Guide {
  readonly #voice = new Voice({ cancel: () => speechSynthesis.cancel(), speak: say });
  #shaken = "";
  #unlocked = false;

  constructor(
    private readonly sounds: Sounds,
    private readonly choices: Guided,
  ) {
    // Some browsers know their voices only a little later, and some have none in this language or at all.
    if ("speechSynthesis" in window) {
      this.#lookForVoices();
      speechSynthesis.addEventListener("voiceschanged", () => this.#lookForVoices());
    }
    // What was chosen before needs one tap anywhere; a touch that has only begun does not count.
    for (const tap of ["pointerup", "click", "keydown"]) document.addEventListener(tap, () => this.#unlock());
  }

  #lookForVoices(): void {
    const known = speechSynthesis.getVoices();
    this.choices.canSpeak = known.some((one) => one.lang.toLowerCase().startsWith(language));
  }

  #unlock(): void {
    const { now, audible, canSpeak } = this.choices;
    if (now.sounds && !audible) void this.sounds.turnOn();
    if (now.voice && canSpeak && !this.#unlocked) {
      this.#unlocked = true;
      speechSynthesis.speak(new SpeechSynthesisUtterance(""));
    }
  }

  /** Plans these cues, and takes back any others; `now` is on their clock. */
  lead(cues: readonly Cue[], now: number): void {
    const { now: chosen, canSpeak } = this.choices;
    this.sounds.plan(chosen.sounds || chosen.voice ? cues : [], now);
    if (canSpeak) this.#voice.hear(chosen.voice ? cues : [], now);
    const begun = cues.filter((cue) => cue.at <= now && now < cue.at + JUST_NOW_MS).at(-1);
    // A browser without vibration, or without a tap before it, does nothing.
    if (begun && begun.key !== this.#shaken) {
      this.#shaken = begun.key;
      if (chosen.sounds || chosen.edge) navigator.vibrate?.(60);
      this.choices.cuesBegun += 1;
    }
  }
}
