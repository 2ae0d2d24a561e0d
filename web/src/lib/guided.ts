// What guides the person at a screen, as they chose it: sounds, a voice, and how the screen looks.

import { applyChoices } from "./choices";
import { NOTHING, type Shelf } from "./shelf";
import { Guide } from "./sound/guide";
import { Sounds } from "./sound/sound";
import { ChoicesState } from "./state/choices.svelte";

/** Their choices are kept on `shelf`; another language loads the page anew. */
export function guided(shelf: Shelf | null): { sounds: Sounds; choices: ChoicesState; guide: Guide } {
  const sounds = new Sounds((audible) => (choices.audible = audible));
  const choices = new ChoicesState(
    shelf ?? NOTHING,
    navigator.languages,
    (now) => {
      applyChoices(document.documentElement, now);
      sounds.volume = now.volume / 3;
      if (!now.sounds) sounds.turnOff();
    },
    () => location.reload(),
  );
  return { sounds, choices, guide: new Guide(sounds, choices) };
}
