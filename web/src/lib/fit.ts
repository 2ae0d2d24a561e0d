// Words as large as their box takes. Measured when the words or the box change, never while time runs.

const STEPS = 7;

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

/** Sets the font size of the first child so that it fills its box and does not leave it. */
export function fit(box: HTMLElement, { least, most }: Fit): { destroy: () => void } {
  const measure = (): void => {
    const words = box.firstElementChild as HTMLElement | null;
    if (!words || box.clientHeight === 0) return;
    const fits = (size: number): boolean => {
      words.style.fontSize = `${size}px`;
      const high = Math.max(words.scrollHeight, box.scrollHeight) <= box.clientHeight;
      return high && words.scrollWidth <= box.clientWidth;
    };
    words.style.fontSize = `${largest(least, most, fits)}px`;
  };
  const room = new ResizeObserver(measure);
  const words = new MutationObserver(measure);
  room.observe(box);
  words.observe(box, { childList: true, characterData: true, subtree: true });
  void document.fonts?.ready.then(measure);
  measure();
  return {
    destroy: () => {
      room.disconnect();
      words.disconnect();
    },
  };
}
