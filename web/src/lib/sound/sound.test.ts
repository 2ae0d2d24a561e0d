import { afterEach, beforeEach, expect, test, vi } from "vitest";
import type { Cue } from "./cue";
import { Sounds } from "./sound";

/** What an audio graph was asked for: each source, with the times at which it starts and stops. */
interface Source {
  starts: number;
  stops: number;
}
let written: Source[];
let context: { currentTime: number; state: string; outputLatency: number };
/** What the browser says about its loudspeaker; at first it says nothing. */
let output: AudioTimestamp;

class Node {
  gain = new Ramp();
  frequency = new Ramp();
  #source: Source = { starts: -1, stops: Infinity };
  connect(next: unknown): unknown {
    return next;
  }
  start(at: number): void {
    this.#source.starts = at;
    written.push(this.#source);
  }
  stop(at = context.currentTime): void {
    this.#source.stops = at;
  }
}
class Ramp {
  setValueAtTime(): void {
    // Only the start and stop times of sources are checked.
  }
  linearRampToValueAtTime(): void {
    // As above.
  }
}

beforeEach(() => {
  written = [];
  output = { contextTime: 0, performanceTime: 0 };
  context = { currentTime: 10, state: "running", outputLatency: 0.05 };
  const Context = function () {
    return Object.assign(context, {
      sampleRate: 48_000,
      getOutputTimestamp: () => output,
      resume: () => Promise.resolve(),
      close: () => Promise.resolve(),
      createBuffer: () => ({ getChannelData: () => new Float32Array(1) }),
    });
  };
  vi.stubGlobal("AudioContext", Context);
  for (const name of ["OscillatorNode", "GainNode", "AudioBufferSourceNode", "BiquadFilterNode"]) {
    vi.stubGlobal(name, Node);
  }
});
afterEach(() => vi.unstubAllGlobals());

const cue = (change: Partial<Cue> = {}): Cue => ({
  key: "1",
  at: 101_000,
  until: 105_000,
  sound: { kind: "breath", seconds: 4 },
  words: "Breathe in.",
  ...change,
});

test("a sound is planned once, ahead, with the output's latency taken off", async () => {
  const sounds = new Sounds();
  await sounds.turnOn();
  sounds.plan([cue()], 100_000);
  sounds.plan([cue()], 100_000);
  expect(written).toHaveLength(1);
  expect(written[0]!.starts).toBeCloseTo(10 + 1 - 0.05);
});

test("where the browser says what leaves the loudspeaker, that is what a sound is planned by", async () => {
  const sounds = new Sounds();
  await sounds.turnOn();
  output = { contextTime: 9.9, performanceTime: performance.now() - 20 };
  sounds.plan([cue()], 100_000);
  expect(written[0]!.starts).toBeCloseTo(9.9 + 0.02 + 1, 1);
  // After sleep, a device may report only what it knew before.
  output = { contextTime: 9.9, performanceTime: performance.now() - 60_000 };
  sounds.plan([cue({ key: "2" })], 100_000);
  expect(written.at(-1)!.starts).toBeCloseTo(10 + 1 - 0.05);
});

test("what is too late is not played, and nothing before a tap", async () => {
  const sounds = new Sounds();
  sounds.plan([cue()], 100_000);
  await sounds.turnOn();
  sounds.plan([cue()], 101_400);
  expect(written).toEqual([]);
});

test("a pause cuts off what sounds, and takes back what has not begun", async () => {
  const sounds = new Sounds();
  await sounds.turnOn();
  const later = cue({ key: "2", at: 105_000, until: 109_000 });
  sounds.plan([cue(), later], 100_000);
  context.currentTime = 11.5;
  sounds.plan([cue({ until: 101_500 })], 101_500);
  expect(written.map(({ stops }) => stops)).toEqual([11.5, 11.5]);
});

test("a planned sound follows the estimate of the server's clock until shortly before", async () => {
  const sounds = new Sounds();
  await sounds.turnOn();
  sounds.plan([cue()], 100_000);
  sounds.plan([cue()], 100_030);
  expect(written.map(({ starts }) => starts - 10)).toEqual([expect.closeTo(0.95), expect.closeTo(0.92)]);
  context.currentTime = 10.8;
  sounds.plan([cue()], 100_790);
  expect(written, "no more shifting when it is near").toHaveLength(2);
});

test("a muted device is silent at once and says so", async () => {
  const heard: boolean[] = [];
  const sounds = new Sounds((audible) => heard.push(audible));
  await sounds.turnOn();
  sounds.plan([cue()], 100_000);
  sounds.turnOff();
  expect(written[0]!.stops).toBe(10);
  expect(heard).toEqual([true, false]);
});
