import { describe, expect, test } from "vitest";
import { inForm, stretchedIn } from "./own";
import { stretched } from "./player";
import type { Content, Phase, Span, Timeline } from "./wire/types";

function timeline(...parts: [Phase, number][]): Timeline {
  let at = 0;
  const spans = parts.map(([phase, seconds]): Span => {
    const start_ms = at;
    at += seconds * 1_000;
    return {
      start_ms,
      len_ms: seconds * 1_000,
      phase,
      cue: phase,
      set: 1,
      rep: 1,
      side: 0,
      marks: phase === "hold" ? { floor_ms: 5_000, target_ms: 10_000 } : null,
      held_ms: phase === "hold" ? 10_000 : 0,
    };
  });
  return { ready_ms: 5_000, spans, total_ms: at };
}

const CLASS = timeline(["breathe_in", 3], ["hold", 15], ["rest", 20], ["hold", 15]);
const EASIER = timeline(["breathe_in", 3], ["hold", 5], ["rest", 30], ["hold", 5], ["rest", 10]);
const content = {
  reps: 2,
  timeline: CLASS,
  forms: [{ form: "easier", reps: 1, timeline: EASIER }],
} as unknown as Content;
const told = ({ spans }: Timeline) => spans.map((s) => [s.phase, s.start_ms / 1_000, s.len_ms / 1_000]);

describe("the form of one person", () => {
  test("has its own clock and count; who has none of their own does as the class does", () => {
    expect(inForm(content, { form: "easier" })).toMatchObject({ reps: 1, timeline: EASIER });
    for (const form of ["full", "harder", "rest"] as const) expect(inForm(content, { form })).toBe(content);
    expect(inForm(content, null)).toBe(content);
  });

  test("with a hold of their own they rest sooner, and begin again with the class", () => {
    const own = inForm(content, { form: "full", hold_ms: 8_000 });
    expect(told(own.timeline)).toEqual([
      ["breathe_in", 0, 3],
      ["hold", 3, 8],
      ["rest", 11, 27],
      ["hold", 38, 8],
      ["rest", 46, 7],
    ]);
    expect(own.timeline.spans[1]?.marks, "a mark of the class is not theirs").toBeNull();
    expect(inForm(content, { form: "full", hold_ms: 15_000 }).timeline.spans).toHaveLength(4);
    expect(told(inForm(content, { form: "easier", hold_ms: 8_000 }).timeline)).toEqual(told(EASIER));
  });

  test("of a hold with a firmer end, what is longer than theirs is a rest", () => {
    const firm = { ...content, timeline: timeline(["hold", 50], ["firm_up", 10], ["rest", 5]) };
    const at = (hold_ms: number) => told(inForm(firm, { form: "full", hold_ms }).timeline);
    expect(at(30_000)).toEqual([
      ["hold", 0, 30],
      ["rest", 30, 35],
    ]);
    expect(at(55_000)).toEqual([
      ["hold", 0, 50],
      ["firm_up", 50, 0 + 5],
      ["rest", 55, 10],
    ]);
  });
});

describe("more time and less", () => {
  const stretch = (span: number, by_ms: number) => [{ span, by_ms }];

  test("moves everything after it in the same way as in the class", () => {
    const own = { ...content, timeline: EASIER };
    const longer = stretchedIn(own, content, stretch(1, 6_000));
    // The rest that the class's hold ends in is the longer one.
    expect(told(longer)).toEqual([
      ["breathe_in", 0, 3],
      ["hold", 3, 5],
      ["rest", 8, 36],
      ["hold", 44, 5],
      ["rest", 49, 10],
    ]);
    const cut = stretchedIn(own, content, stretch(2, -15_000));
    expect(told(cut)).toEqual([
      ["breathe_in", 0, 3],
      ["hold", 3, 5],
      ["rest", 8, 15],
      ["hold", 23, 5],
      ["rest", 28, 10],
    ]);
    for (const change of [stretch(1, 6_000), stretch(2, -15_000), stretch(0, 1_500), stretch(3, -7_000)])
      expect(stretchedIn(own, content, change).total_ms).toBe(stretched(CLASS, change).total_ms);
  });

  test("a part that was cut off takes no time in any form", () => {
    const short = stretchedIn({ ...content, timeline: EASIER }, content, stretch(3, -12_000));
    expect(told(short).slice(3)).toEqual([
      ["hold", 38, 3],
      ["rest", 41, 0],
    ]);
  });

  test("without a form it is the class's own", () => {
    expect(stretchedIn(content, content, stretch(1, 2_000))).toEqual(stretched(CLASS, stretch(1, 2_000)));
  });
});
