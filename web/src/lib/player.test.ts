import { describe, expect, it } from "vitest";
import { asksDone, on, position, stretched, waitsForLead, wholeSeconds } from "./player";
import type { Content, Move, Phase, Span, Timeline } from "./wire/types";

function span(start_ms: number, len_ms: number, phase: Phase): Span {
  return { start_ms, len_ms, phase, cue: phase, set: 1, rep: 1, side: 0, marks: null, held_ms: 0 };
}

const TIMELINE: Timeline = {
  ready_ms: 5_000,
  spans: [span(0, 3_000, "breathe_in"), span(3_000, 10_000, "hold"), span(13_000, 12_000, "rest")],
  total_ms: 25_000,
};

function move(at: number, offset_ms: number, running: boolean): Move {
  return { at, step: 1, rev: 0, offset_ms, running, stretch: [] };
}

describe("the position", () => {
  it("comes from the move in force, counted on from its instant", () => {
    const moves = [move(1_000, -5_000, true), move(20_000, 9_000, false)];
    expect(position([], 0)).toBeNull();
    expect(position(moves, 500)?.offsetMs).toBe(-5_000);
    expect(position(moves, 4_000)?.offsetMs).toBe(-2_000);
    expect(position(moves, 19_999)?.offsetMs).toBe(13_999);
    expect(position(moves, 60_000)).toMatchObject({ offsetMs: 9_000, paused: true, resumesInMs: null });
  });

  it("says when a pause ends, once that is settled", () => {
    const moves = [move(20_000, 9_000, false), move(30_000, 9_000, true)];
    expect(position(moves, 26_500)).toMatchObject({ paused: true, resumesInMs: 3_500 });
    expect(position(moves, 31_000)).toMatchObject({ offsetMs: 10_000, paused: false });
  });
});

describe("what is on", () => {
  it("names what comes, and what follows that so soon that it needs its notice now", () => {
    const of = (offsetMs: number) => {
      const now = on(TIMELINE, offsetMs);
      return now.kind === "ready" || now.kind === "span" ? [now.next?.cue, now.then?.cue] : null;
    };
    expect(of(-2_000)).toEqual(["breathe_in", "hold"]);
    expect(of(1_000)).toEqual(["hold", undefined]);
    expect(of(14_000)).toEqual([undefined, undefined]);
  });

  it("follows the spans", () => {
    expect(on(TIMELINE, -2_000)).toMatchObject({ kind: "ready", leftMs: 2_000 });
    expect(on(TIMELINE, 0)).toMatchObject({ kind: "span", index: 0, leftMs: 3_000 });
    expect(on(TIMELINE, 12_999)).toMatchObject({ kind: "span", index: 1, leftMs: 1 });
    expect(on(TIMELINE, 13_000)).toMatchObject({ kind: "span", index: 2, next: null });
    expect(on(TIMELINE, 25_000)).toEqual({ kind: "over" });
    expect(on({ ready_ms: 0, spans: [], total_ms: 0 }, 5)).toEqual({ kind: "unclocked" });
  });

  it("waits when whoever leads is lost, once what they began has run to its end", () => {
    const runs = { move: move(0, 0, true), offsetMs: 0, paused: false, resumesInMs: null };
    const stands = { ...runs, paused: true };
    const hold = on(TIMELINE, 5_000);
    expect(waitsForLead(true, runs, hold, false)).toBe(false);
    expect(waitsForLead(true, stands, hold, false)).toBe(true);
    expect(waitsForLead(true, runs, { kind: "over" }, false)).toBe(true);
    expect(waitsForLead(true, runs, { kind: "unclocked" }, false)).toBe(true);
    expect(waitsForLead(true, runs, { kind: "unclocked" }, true)).toBe(false);
    expect(waitsForLead(false, stands, { kind: "over" }, false)).toBe(false);
  });

  it("names the next work, not the next rest", () => {
    const long = { ...TIMELINE, spans: [...TIMELINE.spans, span(25_000, 4_000, "hold")], total_ms: 29_000 };
    expect(on(long, 14_000)).toMatchObject({ next: { start_ms: 25_000 }, nextInMs: 11_000 });
  });

  it("lengthens what was given more time", () => {
    const longer = stretched(TIMELINE, [{ span: 1, by_ms: 5_000 }]);
    expect(longer.spans.map((s) => [s.start_ms, s.len_ms])).toEqual([
      [0, 3_000],
      [3_000, 15_000],
      [18_000, 12_000],
    ]);
    expect(longer.total_ms).toBe(30_000);
  });
});

describe("asking for Done", () => {
  it("happens in rests and after the clock only", () => {
    const asked = (tap: Content["tap"]) =>
      [-1, 1_000, 5_000, 14_000, 26_000].map((ms) =>
        asksDone({ kind: "drill", tap } as Content, on(TIMELINE, ms)),
      );
    expect(asked("rests")).toEqual([false, false, false, true, true]);
    expect(asked("after")).toEqual([false, false, false, false, true]);
    expect(asksDone({ kind: "talk" } as Content, { kind: "unclocked" })).toBe(false);
  });
});

describe("the countdown", () => {
  it("shows whole seconds, each for a whole second", () => {
    expect([20_000, 19_001, 19_000, 1, 0, -5].map(wholeSeconds)).toEqual([20, 20, 19, 1, 0, 0]);
  });
});
