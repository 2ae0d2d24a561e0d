// Explains why a change was late on one page, from what each page heard: every clock exchange, when each stage came,
// and how long the page was busy. True times come from the desk, which is behind no link.

import { together } from "./stamps.mjs";

/** More than two frames, which a person can see. */
const LATE_MS = 2 * (1000 / 60);
/** How many exchanges a page goes by, as in `web/src/lib/clock.ts`. */
const KEPT = 32;
const DRIFT = 50e-6;

/** Runs in the page before its own code. Notes what the page hears of clock and stage, and when it was busy. */
export function tracePage() {
  const trace = (window.trace = { exchanges: [], stages: [], busy: [] });
  window.WebSocket = class extends WebSocket {
    constructor(...args) {
      super(...args);
      this.addEventListener("message", ({ data }) => {
        const at = performance.now();
        if (data.startsWith('{"kind":"clock"')) {
          const { sent_ms: sent, received_ms: received, answered_ms: answered } = JSON.parse(data);
          trace.exchanges.push({ sent, received, answered, at });
        }
        if (data.startsWith('{"kind":"stage"')) trace.stages.push({ at });
      });
    }
  };
  const note = (list) => list.getEntries().forEach(({ startTime: at, duration: ms }) => trace.busy.push({ at, ms }));
  new PerformanceObserver(note).observe({ type: "longtask" });
}

/** What a page noted, on our clock. `clock` says how far the page's own clock is behind. */
export async function traceOf(page, clock) {
  const { exchanges, stages, busy } = await page.evaluate(() => window.trace);
  const ours = ({ at, ...rest }) => ({ at: at + clock.offset, ...rest });
  return {
    exchanges: exchanges.map(({ sent, ...rest }) => ({ ...ours(rest), sent: sent + clock.offset })),
    stages: stages.map(ours),
    busy: busy.map(ours),
  };
}

const delayMs = ({ at, sent, received, answered }) => at - sent - (answered - received);
const aheadMs = ({ at, sent, received, answered }) => (received - sent + (answered - at)) / 2;

/** How far the server's clock is ahead of ours, according to the exchanges that a page would go by at `at`. */
function serverAheadMs({ exchanges }, at) {
  const known = exchanges.filter((one) => one.at <= at).slice(-KEPT);
  const cost = (one) => delayMs(one) / 2 + DRIFT * (at - one.at);
  const best = known.toSorted((a, b) => cost(a) - cost(b))[0];
  return best ? aheadMs(best) : NaN;
}

/**
 * The changes that some page made more than two frames after another. For the first and the last page each has: how
 * far its clock was off, when it had been told (negative: before the first page made it), and its longest task then.
 */
export function lateChanges(pages, traces, desk) {
  return together(pages).flatMap((same) => {
    const made = same.map(({ made }) => made);
    const [from, to] = [Math.min(...made), Math.max(...made)];
    if (to - from <= LATE_MS) return [];
    const of = (ms) => {
      const at = made.indexOf(ms);
      const trace = traces[at];
      const told = trace.stages.findLast((stage) => stage.at <= ms);
      const busy = trace.busy.filter((task) => task.at + task.ms > from - 100 && task.at < to).map((task) => task.ms);
      const clockOffMs = serverAheadMs(trace, ms) - serverAheadMs(desk, ms);
      return { page: at, clockOffMs, toldMs: told ? told.at - from : NaN, busyMs: Math.max(0, ...busy) };
    };
    const [early, late] = [of(from), of(to)];
    return [{ shown: same[0].shown, apartMs: to - from, early, late, cause: cause(to - from, early, late) }];
  });
}

/** The cause that explains most of a late change. A page whose clock is behind is late. */
function cause(apartMs, early, late) {
  if (late.toldMs > apartMs / 2) return "told late";
  if (early.clockOffMs - late.clockOffMs > apartMs / 2) return "clock";
  return late.busyMs > apartMs / 2 ? "page busy" : "machine busy";
}
