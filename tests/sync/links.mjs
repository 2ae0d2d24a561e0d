// Network links of different kinds: how long each piece of data takes in each direction. A queue that other traffic
// fills (bufferbloat) grows and empties in its own rhythm.

/** A delay of `ms`, plus `jitter` on average, and now and then a `spike`. */
function way(ms, jitter = 0, spike = { share: 0, ms: 0 }, bloat = { ms: 0, every: 1 }) {
  const delayMs = () => {
    const rest = jitter > 0 ? -Math.log(1 - Math.random()) * jitter : 0;
    const burst = Math.random() < spike.share ? Math.random() * spike.ms : 0;
    // Half of the time somebody is uploading, and the queue fills up in a sawtooth.
    const phase = (performance.now() % bloat.every) / bloat.every;
    return ms + rest + burst + (phase < 0.5 ? bloat.ms * phase * 2 : 0);
  };
  return Object.assign(delayMs, { ms });
}

/** One-way delays in milliseconds, chosen from memory after common descriptions of such links. */
export const LINKS = {
  LAN: { up: way(0.3, 0.2), down: way(0.3, 0.2) },
  "good Wi-Fi": { up: way(2, 2, { share: 0.02, ms: 40 }), down: way(2, 1.5, { share: 0.02, ms: 30 }) },
  "bad home link": { up: way(20, 30, { share: 0.05, ms: 120 }, { ms: 180, every: 7_000 }), down: way(20, 20, { share: 0.05, ms: 80 }) },
  mobile: { up: way(45, 15, { share: 0.03, ms: 150 }), down: way(30, 12, { share: 0.03, ms: 100 }) },
  "80 up, 20 down": { up: way(80, 1), down: way(20, 1) },
};
