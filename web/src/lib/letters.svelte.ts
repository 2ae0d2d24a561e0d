// How wide words are in the type of the cue, measured without laying anything out.

import { createSubscriber } from "svelte/reactivity";

/** Words are measured at this size. */
const AT_PX = 100;
/** The width of each word, and of a space, at that size. */
const known = new Map<string, number>();
let canvas: CanvasRenderingContext2D | null = null;

/** The width of words in the cue's weight, in units of the type's size. Each word is measured once. */
export function widthOf(words: string): number {
  canvas ??= document.createElement("canvas").getContext("2d");
  // Without a canvas, letters are taken to be a little wider than they are.
  if (!canvas) return words.length * 0.62;
  const each = words.split(" ");
  const width = each.reduce((sum, word) => sum + measured(word), 0);
  return (width + (each.length - 1) * measured(" ")) / AT_PX;
}

function measured(word: string): number {
  let width = known.get(word);
  if (width === undefined && canvas) {
    if (known.size === 0)
      canvas.font = `750 ${AT_PX}px ${getComputedStyle(document.documentElement).fontFamily}`;
    width = canvas.measureText(word).width;
    known.set(word, width);
  }
  return width ?? 0;
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
