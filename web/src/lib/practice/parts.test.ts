import { describe, expect, it } from "vitest";
import type { Span } from "../wire/types";
import { AH, HISS, timeline } from "./examples";
import { timedId } from "./id";
import { atMost, fromRep, LEAD_MS, OPEN_REST_MS, partsFrom, partsOf, repsDone } from "./parts";

describe("the parts of a drill", () => {
  it("are cut at its longer rests, and nothing follows the last repetition", () => {
    const [first, second, ...more] = partsOf(AH);
    expect(more).toEqual([]);
    expect(first!.timeline).toMatchObject({ ready_ms: 7_000, total_ms: 13_000 });
    expect(second!.timeline).toMatchObject({ ready_ms: LEAD_MS, total_ms: 13_000 });
    expect(second!.timeline.spans[0]).toMatchObject({ start_ms: 0, rep: 2 });
    expect([first!.repEnds, second!.repEnds]).toEqual([[13_000], [13_000]]);
    expect(partsOf(HISS)).toHaveLength(1);
    expect(partsOf(HISS)[0]!.repEnds).toEqual([6_000, 16_000, 26_000]);
    expect(partsOf({ ready_ms: 0, spans: [], total_ms: 0 })).toEqual([]);
  });

  it("hold as much work as the drill itself, to the millisecond", () => {
    const work = (spans: readonly Span[]): number =>
      spans.filter(({ phase }) => phase !== "rest").reduce((sum, { len_ms }) => sum + len_ms, 0);
    for (const whole of [AH, HISS]) {
      expect(partsOf(whole).reduce((sum, part) => sum + work(part.timeline.spans), 0)).toBe(
        work(whole.spans),
      );
    }
    expect(OPEN_REST_MS).toBeGreaterThanOrEqual(LEAD_MS);
  });

  it("end with as many repetitions as there is room for", () => {
    const reps = (most: number): number[][] => atMost(partsOf(AH), most).map(({ repEnds }) => [...repEnds]);
    expect([reps(0), reps(1), reps(2), reps(9)]).toEqual([
      [],
      [[13_000]],
      [[13_000], [13_000]],
      [[13_000], [13_000]],
    ]);
    const [one] = atMost(partsOf(HISS), 2);
    expect([one!.timeline.total_ms, one!.timeline.spans.length]).toEqual([16_000, 3]);
  });

  it("count a repetition once it is over", () => {
    const [part] = partsOf(HISS);
    expect([0, 5_999, 6_000, 16_000, 99_000].map((ms) => repsDone(part!, ms))).toEqual([0, 0, 1, 2, 3]);
  });

  it("begin again with the repetition that was stopped, also in another form", () => {
    const [part] = partsOf(HISS);
    const left = fromRep(part!, 12_000)!;
    expect(left.timeline.spans[0]).toMatchObject({ rep: 2, start_ms: 0 });
    expect(left.repEnds).toEqual([6_000, 16_000]);
    // In the rest after the first repetition that one is over; the next one comes.
    expect(fromRep(part!, 7_000)!.timeline.spans[0]!.rep).toBe(2);
    expect(fromRep(part!, 60_000)).toBeNull();
    const easier = partsOf(timeline(["voice", 3, 1], ["rest", 4, 1], ["voice", 3, 2]));
    expect(partsFrom(easier, { side: 0, set: 1, rep: 2 })[0]!.timeline.spans[0]).toMatchObject({ rep: 2 });
    // The easier form has fewer: there is nothing left to do.
    expect(partsFrom(easier, { side: 0, set: 1, rep: 3 })).toEqual([]);
  });
});

it("an id sorts by time and says its version (RFC 9562, 5.7; the time is that of its appendix A.6)", () => {
  const bytes = Uint8Array.from("0123456789abcdef", (_, at) => at * 17);
  const id = timedId(0x017f22e279b0, bytes);
  expect(id.slice(0, 13)).toBe("017f22e2-79b0");
  expect(id).toMatch(/^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/);
  expect(timedId(0x017f22e279b1, new Uint8Array(16)) > id).toBe(true);
});
