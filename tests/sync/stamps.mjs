// When each page changed its countdown, all on this process's clock. Pages stamp changes with their own monotonic
// clock. How far that is from ours is measured over the debugging socket, which stays on this machine and does not go
// through the links.

const EXCHANGES = 200;

/** How far the page's clock is behind ours, in milliseconds, and how wrong that figure can be. */
export async function behind(page) {
  let best = { offset: 0, bound: Infinity };
  for (let n = 0; n < EXCHANGES; n++) {
    const before = performance.now();
    const there = await page.evaluate(() => performance.now());
    const after = performance.now();
    const bound = (after - before) / 2;
    if (bound < best.bound) best = { offset: (before + after) / 2 - there, bound };
  }
  return best;
}

/**
 * Runs in the page. Notes every change of the countdown, with when it was made and in which frame it was shown, and
 * every cue that is put on the audio clock.
 */
export function watchPage() {
  const changes = (window.changes = []);
  let last = "";
  // The element's size changes with every change, so the observer is called in the frame that lays it out.
  const probe = document.createElement("i");
  probe.style.cssText = "position:fixed;top:0;height:1px;opacity:0;contain:strict;pointer-events:none";
  const laidOut = [];
  new ResizeObserver(() => {
    // A frame's stamp says when the frame began, but not how late in it a busy page does the layout.
    const frame = document.timeline.currentTime;
    for (const change of laidOut.splice(0)) changes.push({ ...change, at: performance.now(), frame });
  }).observe(probe);
  const look = () => {
    const timer = document.querySelector("[role=timer]")?.textContent;
    const cue = document.querySelector(".cue")?.textContent;
    const step = document.querySelector("h1")?.textContent;
    const shown = timer === undefined ? "" : `${step}|${cue}|${timer}`;
    const made = performance.now();
    if (shown !== last && shown !== "") {
      laidOut.push({ shown, made });
      probe.style.width = probe.style.width === "1px" ? "2px" : "1px";
    }
    last = shown;
  };
  document.addEventListener("DOMContentLoaded", () => {
    document.documentElement.append(probe);
    new MutationObserver(look).observe(document.body, { subtree: true, childList: true, characterData: true });
  });
  const sounds = (window.sounds = []);
  for (const Source of [OscillatorNode, AudioBufferSourceNode]) {
    const start = Source.prototype.start;
    Source.prototype.start = function (when, ...rest) {
      // This goes by what the browser says about its loudspeaker, as the page does. It shows when a sound is planned
      // and how that keeps step with the picture, but not what a loudspeaker adds.
      const { contextTime, performanceTime } = this.context.getOutputTimestamp();
      if (contextTime > 0) sounds.push({ at: performanceTime + (when - contextTime) * 1000 });
      return start.call(this, when, ...rest);
    };
  }
}

/** The changes since the last call, on our clock. */
export async function changesOf(page, clock) {
  const changes = await page.evaluate(() => window.changes.splice(0));
  const ours = (ms) => ms + clock.offset;
  return changes.map(({ shown, made, at, frame }) => ({ shown, made: ours(made), at: ours(at), frame: ours(frame) }));
}

/** The part of a change that is in words: the step and the cue. */
export const wordsOf = ({ shown }) => shown.split("|").slice(0, 2).join("|");

/** The changes that all pages made, each with every page's own record of it, in the order of `pages`. */
export function together([first, ...others]) {
  const find = (change) => (page) => page.find((other) => other.shown === change.shown && Math.abs(other.at - change.at) < 900);
  return first.map((change) => [change, ...others.map(find(change))]).filter((same) => same.every(Boolean));
}

/**
 * How far apart any two pages showed the same change, in milliseconds. With `of` "made" it is when they made it, with
 * "frame" the stamps of their frames. For all changes, or only those of the countdown's number.
 */
export function skews(pages, { of = "at", numbersOnly = false } = {}) {
  const all = [];
  const [first] = pages;
  for (const same of together(pages)) {
    const before = first[first.indexOf(same[0]) - 1];
    if (numbersOnly && (!before || wordsOf(same[0]) !== wordsOf(before))) continue;
    const times = same.map((change) => change[of]);
    for (const [index, one] of times.entries()) for (const other of times.slice(index + 1)) all.push(Math.abs(one - other));
  }
  return all;
}

export function percentiles(values) {
  const sorted = values.toSorted((a, b) => a - b);
  const at = (share) => sorted[Math.min(sorted.length - 1, Math.floor(sorted.length * share))] ?? NaN;
  return { n: sorted.length, p50: at(0.5), p95: at(0.95), p99: at(0.99), max: sorted.at(-1) ?? NaN };
}
