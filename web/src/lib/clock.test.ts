import { describe, expect, it } from "vitest";
import { offsetAndDelay, ServerClock } from "./clock";

/** A device with its two clocks, and a server whose clock is `aheadMs` ahead of the monotonic one. */
class Device {
  monotonicMs = 1_000;
  wallMs = 1_700_000_000_000;
  readonly clock = new ServerClock(
    () => this.monotonicMs,
    () => this.wallMs,
  );

  wait(ms: number): void {
    this.monotonicMs += ms;
    this.wallMs += ms;
  }

  exchange(aheadMs: number, upMs: number, downMs: number, clockId = "a"): void {
    const sentMs = this.monotonicMs;
    this.wait(upMs + downMs);
    const receivedMs = sentMs + upMs + aheadMs;
    this.clock.take({ sentMs, receivedMs, answeredMs: receivedMs, heardMs: this.monotonicMs }, clockId);
  }

  get errorMs(): number {
    return this.clock.now() - this.monotonicMs;
  }
}

describe("one exchange", () => {
  // RFC 5905, section 8, on a worked example: 40 ms up and 24 ms down look like 32 and 32.
  it("gives offset and delay", () => {
    const exchange = { sentMs: 10_000, receivedMs: 54_031, answeredMs: 54_031.5, heardMs: 10_064.5 };
    expect(offsetAndDelay(exchange)).toEqual({ offsetMs: 43_999, delayMs: 64 });
  });
});

describe("the server's clock", () => {
  it("is not set before the first exchange, and is off by at most half a round trip after it", () => {
    const device = new Device();
    expect(device.clock.isSet).toBe(false);
    device.exchange(5_000, 40, 24);
    expect(device.clock.isSet).toBe(true);
    expect(device.errorMs).toBeCloseTo(5_008, 6);
    expect(device.clock.uncertaintyMs).toBeCloseTo(32, 6);
  });

  it("believes the exchange with the smallest round trip", () => {
    const device = new Device();
    device.exchange(5_000, 300, 20);
    device.exchange(5_000, 10, 10);
    device.exchange(5_000, 20, 400);
    expect(device.clock.roundTripMs).toBeCloseTo(20, 6);
    expect(Math.abs(device.errorMs - 5_000)).toBeLessThan(1);
  });

  it("follows the first exchanges at once: before them nobody relied on it", () => {
    const device = new Device();
    device.exchange(5_000, 60, 0);
    expect(device.errorMs).toBeCloseTo(5_030, 0);
    device.exchange(5_000, 10, 10);
    expect(device.errorMs).toBeCloseTo(5_000, 0);
  });

  it("moves slowly to a better estimate, and never back", () => {
    const device = new Device();
    for (let i = 0; i < 12; i++) device.exchange(5_000, 60, 0);
    const before = device.clock.now();
    device.exchange(5_000, 10, 10);
    expect(device.clock.now()).toBeGreaterThanOrEqual(before);
    expect(device.errorMs).toBeGreaterThan(5_025);
    let last = device.clock.now();
    for (let i = 0; i < 80; i++) {
      device.wait(100);
      expect(device.clock.now()).toBeGreaterThan(last);
      last = device.clock.now();
    }
    expect(device.errorMs).toBeCloseTo(5_000, 0);
  });

  it("lets old exchanges fade, so that drift cannot add up", () => {
    const device = new Device();
    device.exchange(5_000, 5, 5);
    device.wait(3_600_000);
    for (let i = 0; i < 4; i++) device.exchange(5_180, 20, 20);
    expect(device.errorMs).toBeCloseTo(5_180, 0);
  });

  it("keeps a good estimate over a restart of the server until a few exchanges speak against it", () => {
    const device = new Device();
    for (let i = 0; i < 12; i++) device.exchange(5_000, 5, 5, "a");
    device.exchange(5_000, 200, 5, "b");
    expect(Math.abs(device.errorMs - 5_000)).toBeLessThan(5);
    for (let i = 0; i < 4; i++) device.exchange(5_020, 5, 5, "b");
    expect(device.errorMs).toBeCloseTo(5_020, 0);
  });

  it("starts afresh with another server clock", () => {
    const device = new Device();
    device.exchange(5_000, 5, 5, "a");
    device.exchange(-90_000, 50, 50, "b");
    expect(device.errorMs).toBeCloseTo(-90_000, 6);
  });

  it("notices sleep and a clock that was set, and goes on with the old estimate meanwhile", () => {
    const device = new Device();
    device.exchange(5_000, 5, 5);
    expect(device.clock.hasJumped()).toBe(false);
    device.wait(1_000);
    expect(device.clock.hasJumped()).toBe(false);
    device.wallMs += 60_000;
    expect(device.clock.hasJumped()).toBe(true);
    expect(device.clock.isSet).toBe(true);
    expect(device.errorMs).toBeCloseTo(5_000, 6);
    device.exchange(65_000, 5, 5);
    expect(device.errorMs).toBeCloseTo(65_000, 6);
    device.wait(3_000);
    expect(device.clock.hasJumped()).toBe(true);
  });
});
