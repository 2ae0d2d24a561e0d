// Makes words as large as their box allows. They are measured when the words or the box change, never while time
// runs. Sizes are remembered, so that a cue that comes back costs no layout.

const STEPS = 10;
/** Where a guess does not fit, a slightly smaller size usually does. */
const NEAR = 0.96;
/** How many measured sizes are kept. */
const KEPT = 200;
/** Words are measured at this font size. */
const WEIGHED_PX = 100;

export interface Fit {
  /** Font sizes in CSS px. */
  least: number;
  most: number;
}

/** The largest size at which everything fits, found by halving; `fits` does the measuring. */
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

/** The words, or their parts where a line may break, in units of the font size; and the box, in CSS px. */
export interface Sentence {
  /** The width of each part, and its distance from the one before it on the same line. */
  pieces: readonly { width: number; gap: number }[];
  lineHeight: number;
  /** How far letters reach above the first line and below the last, added together. */
  overhang: number;
  boxWidth: number;
  boxHeight: number;
}

/** Whether the words fit at `size`, with as many on each line as it can take. */
export function fitsAt(sentence: Sentence, size: number): boolean {
  const wide = sentence.boxWidth / size;
  let [lines, filled] = [1, 0];
  for (const { width, gap } of sentence.pieces) {
    if (width > wide) return false;
    const behind = filled > 0 ? filled + gap + width : width;
    if (behind > wide) lines += 1;
    filled = behind > wide ? width : behind;
  }
  return (lines * sentence.lineHeight + sentence.overhang) * size <= sentence.boxHeight;
}

/** Works out a size that should fit, without laying the words out. */
function weigh(words: HTMLElement, box: HTMLElement): Sentence | null {
  const canvas = document.createElement("canvas").getContext("2d");
  if (!canvas) return null;
  const { fontWeight, fontFamily, fontSize, lineHeight } = getComputedStyle(words);
  canvas.font = `${fontWeight} ${WEIGHED_PX}px ${fontFamily}`;
  const widthOf = (text: string): number => canvas.measureText(text).width / WEIGHED_PX;
  const { fontBoundingBoxAscent, fontBoundingBoxDescent } = canvas.measureText("");
  const lettersHeight = (fontBoundingBoxAscent + fontBoundingBoxDescent) / WEIGHED_PX;
  const high = parseFloat(lineHeight) / parseFloat(fontSize) || 1.2;
  return {
    // A line may end after a hyphen.
    pieces: [...(words.textContent ?? "").matchAll(/(\s*)([^\s-]*-*)/g)]
      .filter(([whole]) => whole !== "")
      .map(([, gap, piece]) => ({ width: widthOf(piece ?? ""), gap: gap ? widthOf(" ") : 0 })),
    lineHeight: high,
    // Older browsers do not have this.
    overhang: Math.max(0, lettersHeight - high) || 0,
    boxWidth: box.clientWidth,
    boxHeight: box.clientHeight,
  };
}

/** Sets the font size of the first child so that it fills its box without overflowing. */
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
    // Each layout at another size costs an old tablet some ten milliseconds, and a guess is seldom far off.
    const sentence = weigh(words, box);
    const guess = sentence ? largest(least, most, (size) => fitsAt(sentence, size)) : most;
    const near = [guess, Math.floor(guess * NEAR)].find((size) => size <= least || fits(size));
    return `${near ?? largest(least, guess * NEAR, fits)}px`;
  };
  const settle = (): void => {
    const words = box.firstElementChild as HTMLElement | null;
    if (!words || box.clientHeight === 0) return;
    room = `${box.clientWidth} x ${box.clientHeight}`;
    const size = known.get(keyOf(words)) ?? measured(words);
    if (known.size >= KEPT) known.clear();
    known.set(keyOf(words), size);
    words.style.fontSize = size;
  };
  const resized = new ResizeObserver(settle);
  // Other things change with new words too, so measuring waits until all of them are in place, within the same
  // frame.
  const reworded = new MutationObserver(() => {
    const words = box.firstElementChild as HTMLElement | null;
    const size = words && known.get(keyOf(words));
    if (words && size) words.style.fontSize = size;
    else requestAnimationFrame(settle);
  });
  resized.observe(box);
  reworded.observe(box, { childList: true, characterData: true, subtree: true });
  // Sizes measured with other fonts are void.
  const lettered = (): void => {
    known.clear();
    settle();
  };
  document.fonts?.addEventListener("loadingdone", lettered);
  settle();
  return {
    destroy: () => {
      resized.disconnect();
      reworded.disconnect();
      document.fonts?.removeEventListener("loadingdone", lettered);
    },
  };
}
