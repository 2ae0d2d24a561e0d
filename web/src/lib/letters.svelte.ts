// How wide words are in the type of the cue, measured without laying anything out.

import { createSubscriber } from "svelte/reactivity";

/** Words are measured at this size. */
const AT_PX = 100;
const known = new Map<string, number>();
let canvas: CanvasRenderingContext2D | null = null;

/** The width of words in the cue's weight, in units of the type's size. */
export function widthOf(words: string): number {
  const before = known.get(words);
  if (before !== undefined) return before;
  canvas ??= document.createElement("canvas").getContext("2d");
  // Without a canvas, letters are taken to be a little wider than they are.
  if (!canvas) return words.length * 0.62;
  canvas.font = `750 ${AT_PX}px ${getComputedStyle(document.documentElement).fontFamily}`;
  const width = canvas.measureText(words).width / AT_PX;
  known.set(words, width);
  return width;
}

/** Reading this makes an effect run again when a typeface has come, and what was measured with another is void. */
export const whenLettersCome = createSubscriber((again) => {
  const come = (): void => {
    known.clear();
    again();
  };
  document.fonts?.addEventListener("loadingdone", come);
  return () => document.fonts?.removeEventListener("loadingdone", come);
});
