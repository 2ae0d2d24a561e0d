// Words as large as their box takes. Measured when the words or the box change, never while time runs; what
// was measured once is known when the same words come again, so that a cue that returns costs no layout.

const STEPS = 10;
/** Words are weighed at this size. */
const WEIGHED_PX = 100;

export interface Fit {
  /** Font sizes in CSS px. */
  least: number;
  most: number;
}

/** The largest size at which everything fits, found by halving; `fits` measures. */
export function largest(least: number, most: number, fits: (size: number) => boolean): number {
  if (fits(most)) return most;
  let [good, bad] = [least, most];
  for (let step = 0; step < STEPS; step++) {
    const middle = (good + bad) / 2;
    if (fits(middle)) good = middle;
    else bad = middle;
  }
  return Math.floor(good);
}

/** Words by their widths, in parts of the font size, and the box that they are to fill, in CSS px. */
export interface Sentence {
  widths: readonly number[];
  space: number;
  lineHeight: number;
  boxWidth: number;
  boxHeight: number;
}

/** Whether the words fit at `size` when each line takes as many as it can. */
export function fitsAt(sentence: Sentence, size: number): boolean {
  const wide = sentence.boxWidth / size;
  let [lines, filled] = [1, 0];
  for (const width of sentence.widths) {
    if (width > wide) return false;
    const behind = filled > 0 ? filled + sentence.space + width : width;
    if (behind > wide) lines += 1;
    filled = behind > wide ? width : behind;
  }
  return lines * sentence.lineHeight * size <= sentence.boxHeight;
}

/** What the words would be like, without laying them out. */
function weigh(words: HTMLElement, box: HTMLElement): Sentence | null {
  const canvas = document.createElement("canvas").getContext("2d");
  if (!canvas) return null;
  const { fontWeight, fontFamily, fontSize, lineHeight } = getComputedStyle(words);
  canvas.font = `${fontWeight} ${WEIGHED_PX}px ${fontFamily}`;
  const widthOf = (text: string): number => canvas.measureText(text).width / WEIGHED_PX;
  return {
    widths: (words.textContent ?? "").trim().split(/\s+/).map(widthOf),
    space: widthOf(" "),
    lineHeight: parseFloat(lineHeight) / parseFloat(fontSize) || 1.2,
    boxWidth: box.clientWidth,
    boxHeight: box.clientHeight,
  };
}

/** Sets the font size of the first child so that it fills its box and does not leave it. */
export function fit(box: HTMLElement, { least, most }: Fit): { destroy: () => void } {
  const known = new Map<string, string>();
  let room = "";
  const keyOf = (words: HTMLElement): string => `${room} ${words.textContent}`;
  const measured = (words: HTMLElement): string => {
    const fits = (size: number): boolean => {
      words.style.fontSize = `${size}px`;
      const high = Math.max(words.scrollHeight, box.scrollHeight) <= box.clientHeight;
      return high && words.scrollWidth <= box.clientWidth;
    };
    // Each layout at another size costs an old tablet a tenth of a second; the first guess is seldom wrong.
    const sentence = weigh(words, box);
    const guess = sentence ? largest(least, most, (size) => fitsAt(sentence, size)) : most;
    return `${largest(least, guess, fits)}px`;
  };
  const settle = (): void => {
    const words = box.firstElementChild as HTMLElement | null;
    if (!words || box.clientHeight === 0) return;
    room = `${box.clientWidth} x ${box.clientHeight}`;
    const size = known.get(keyOf(words)) ?? measured(words);
    known.set(keyOf(words), size);
    words.style.fontSize = size;
  };
  const resized = new ResizeObserver(settle);
  // With new words other things change as well: they are measured once all of it is there, in the same frame.
  const reworded = new MutationObserver(() => {
    const words = box.firstElementChild as HTMLElement | null;
    const size = words && known.get(keyOf(words));
    if (words && size) words.style.fontSize = size;
    else requestAnimationFrame(settle);
  });
  resized.observe(box);
  reworded.observe(box, { childList: true, characterData: true, subtree: true });
  // Whatever was measured with other letters is void.
  void document.fonts?.ready.then(() => {
    known.clear();
    settle();
  });
  settle();
  return {
    destroy: () => {
      resized.disconnect();
      reworded.disconnect();
    },
  };
}
