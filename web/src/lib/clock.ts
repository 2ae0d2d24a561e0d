// Estimates the server's clock, with four stamps for each exchange as in RFC 5905. Of the last exchanges, the
// least uncertain one counts. After the first few, the estimate is slewed and not stepped, so that no countdown
// jumps.
//
// A path that is slower one way than the other puts the estimate off by half the difference, which stamps cannot
// show.

/** One exchange: asked and answered on this device's clock, received and sent back on the server's. */
export interface Exchange {
  sentMs: number;
  receivedMs: number;
  answeredMs: number;
  heardMs: number;
}

/**
 * RFC 5905, section 8: how far the server's clock is ahead, and the round trip without the time spent at the
 * server.
 */
export function offsetAndDelay(e: Exchange): { offsetMs: number; delayMs: number } {
  return {
    offsetMs: (e.receivedMs - e.sentMs + (e.answeredMs - e.heardMs)) / 2,
    delayMs: e.heardMs - e.sentMs - (e.answeredMs - e.receivedMs),
  };
}

interface Sample {
  offsetMs: number;
  delayMs: number;
  atMs: number;
}

const KEPT = 32;
/** How many exchanges begin an estimate (`link.ts`). Until then it follows the best of them at once. */
const FIRST = 12;
/** An estimate that already serves is not given up for fewer exchanges, unless it is off by at least this much. */
const SURE = 4;
const FAR_MS = 1_000;
/** Consumer crystals drift up to about 50 parts in a million (from memory). */
const DRIFT = 50e-6;
/** A smaller error is slewed; a larger one sets the clock at once. */
const STEP_MS = 80;
/** At most 5 ms a second, which nobody sees in a countdown. */
const SLEW = 0.005;
/** When the device's two clocks differ by more than this, it has slept or its clock was set. */
const JUMP_MS = 250;
/** A page that did not run for this long may have slept. */
const GAP_MS = 2_000;

/** Estimates the server's clock from exchanges. */
export class ServerClock {
  #samples: Sample[] = [];
  #isSet = false;
  /** The estimate belongs to an earlier server clock and serves until more is known. */
  #serves = false;
  #clockId: string | null = null;
  #offsetMs = 0;
  #slewedAtMs = 0;
  #apartMs: number;
  #lookedAtMs: number;

  /** `monotonic` never goes back; `wall` is the device's time of day. Both in milliseconds. */
  constructor(
    private readonly monotonic: () => number,
    private readonly wall: () => number,
  ) {
    this.#apartMs = wall() - monotonic();
    this.#lookedAtMs = monotonic();
  }

  /** Whether there has been any exchange. After a jump, the old estimate serves until the next one. */
  get isSet(): boolean {
    return this.#isSet;
  }

  /** The smallest round trip among the last exchanges. */
  get roundTripMs(): number | null {
    return this.#samples.length > 0 ? Math.min(...this.#samples.map((s) => s.delayMs)) : null;
  }

  /** How far off the estimate can be. */
  get uncertaintyMs(): number {
    const best = this.#best();
    return best ? cost(best, this.monotonic()) : Infinity;
  }

  /** Takes an exchange into account. An exchange with another server clock starts afresh. */
  take(exchange: Exchange, clockId: string): void {
    if (clockId !== this.#clockId) {
      this.#samples = [];
      this.#serves = this.#isSet;
    }
    this.#clockId = clockId;
    const { offsetMs, delayMs } = offsetAndDelay(exchange);
    if (!Number.isFinite(offsetMs) || delayMs < 0) return;
    this.#slew();
    this.#samples.push({ offsetMs, delayMs, atMs: exchange.heardMs });
    if (this.#samples.length > KEPT) this.#samples.shift();
    const target = this.#best()?.offsetMs ?? offsetMs;
    const offMs = Math.abs(target - this.#offsetMs);
    if (this.#samples.length >= SURE || offMs > FAR_MS) this.#serves = false;
    this.#isSet = true;
    if (!this.#serves && (this.#samples.length <= FIRST || offMs >= STEP_MS)) this.#offsetMs = target;
  }

  /** The server's clock now, in milliseconds since 1970. */
  now(): number {
    this.#slew();
    return this.monotonic() + this.#offsetMs;
  }

  /**
   * Checks whether the device has slept, or its clock was set, since the last check. If so, all earlier exchanges
   * are void, and the caller should ask anew.
   */
  hasJumped(): boolean {
    const monotonicMs = this.monotonic();
    const apartMs = this.wall() - monotonicMs;
    const jumped = Math.abs(apartMs - this.#apartMs) > JUMP_MS || monotonicMs - this.#lookedAtMs > GAP_MS;
    this.#apartMs = apartMs;
    this.#lookedAtMs = monotonicMs;
    if (jumped) this.#samples = [];
    return jumped;
  }

  #best(): Sample | undefined {
    const nowMs = this.monotonic();
    return this.#samples.toSorted((a, b) => cost(a, nowMs) - cost(b, nowMs))[0];
  }

  #slew(): void {
    const nowMs = this.monotonic();
    const most = Math.max(0, nowMs - this.#slewedAtMs) * SLEW;
    this.#slewedAtMs = nowMs;
    const target = this.#best()?.offsetMs;
    if (target === undefined) return;
    const error = target - this.#offsetMs;
    this.#offsetMs += Math.sign(error) * Math.min(Math.abs(error), most);
  }
}

function cost(sample: Sample, nowMs: number): number {
  return sample.delayMs / 2 + DRIFT * Math.max(0, nowMs - sample.atMs);
}
