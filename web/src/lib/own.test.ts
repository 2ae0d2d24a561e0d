import { describe, expect, test } from "vitest";
import { inForm, timelineIn } from "./own";
import { stretched } from "./player";
import type { Content, Move, Phase, Span, Timeline } from "./wire/types";

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
const move = (more: Partial<Move> = {}): Move =>
  ({ at: 0, step: 1, rev: 0, offset_ms: -5_000, running: true, stretch: [], ...more }) as Move;
const easier = inForm(content, { form: "easier" });

/** The class's own way, with holds of at most so many seconds. */
function held(seconds: number, whole: Timeline = CLASS, moved: Partial<Move> = {}): Timeline {
  const one = { ...content, timeline: whole };
  return timelineIn(one, one, move(moved), seconds * 1_000);
}

describe("the form of one person", () => {
  test("has its own clock and count; who has none of their own does as the class does", () => {
    expect(easier).toMatchObject({ reps: 1, timeline: EASIER });
    for (const form of ["full", "harder", "rest"] as const) expect(inForm(content, { form })).toBe(content);
    expect(inForm(content, null)).toBe(content);
    expect(timelineIn(content, content, move(), undefined)).toBe(CLASS);
  });

  test("with a hold of their own they rest sooner, and begin again with the class", () => {
    expect(told(held(8))).toEqual([
      ["breathe_in", 0, 3],
      ["hold", 3, 8],
      ["rest", 11, 27],
      ["hold", 38, 8],
      ["rest", 46, 7],
    ]);
    expect(held(8).spans[1]?.marks, "a mark of the class is not theirs").toBeNull();
    expect(told(held(15))).toEqual(told(CLASS));
    expect(told(timelineIn(easier, content, move(), 8_000))).toEqual(told(EASIER));
  });

  test("who has held as long as they may comes back at once, and rests afterwards", () => {
    const neck = timeline(["move", 5], ["hold", 25], ["release", 5], ["change_sides", 8], ["hold", 25]);
    expect(told(held(8, neck))).toEqual([
      ["move", 0, 5],
      ["hold", 5, 8],
      ["release", 13, 5],
      ["rest", 18, 17],
      ["change_sides", 35, 8],
      ["hold", 43, 8],
      ["rest", 51, 17],
    ]);
    const lift = timeline(["hold", 60], ["rest", 60]);
    expect(held(20, lift).spans[1]?.cue, "the rest says what it says in the class").toBe("rest");
  });

  test("of a hold with a firmer end, what is longer than theirs is a rest", () => {
    const firm = timeline(["hold", 50], ["firm_up", 10], ["rest", 5]);
    expect(told(held(30, firm))).toEqual([
      ["hold", 0, 30],
      ["rest", 30, 35],
    ]);
    expect(told(held(55, firm))).toEqual([
      ["hold", 0, 50],
      ["firm_up", 50, 5],
      ["rest", 55, 10],
    ]);
  });
});

describe("when the class takes more time, or jumps", () => {
  const stretch = [{ span: 1, by_ms: 6_000 }];

  test("what follows comes later, and the rest that the class's hold ends in is longer", () => {
    const longer = timelineIn(easier, content, move({ stretch }), undefined);
    expect(told(longer)).toEqual([
      ["breathe_in", 0, 3],
      ["hold", 3, 5],
      ["rest", 8, 36],
      ["hold", 44, 5],
      ["rest", 49, 10],
    ]);
    expect(longer.total_ms).toBe(stretched(CLASS, stretch).total_ms);
  });

  test("nobody holds longer than they may because the class does", () => {
    expect(told(held(15, CLASS, { stretch })).slice(1, 3)).toEqual([
      ["hold", 3, 15],
      ["rest", 18, 26],
    ]);
  });

  test("work that is not the class's keeps its length, and a rest follows it", () => {
    const breaths = timeline(["breathe_in", 4], ["breathe_out", 6], ["breathe_in", 4], ["breathe_out", 6]);
    const own = timeline(
      ["breathe_in", 3],
      ["breathe_out", 4],
      ["breathe_in", 3],
      ["breathe_out", 4],
      ["rest", 6],
    );
    const [mine, whole] = [own, breaths].map((one) => ({ ...content, timeline: one })) as [Content, Content];
    const longer = timelineIn(mine, whole, move({ stretch: [{ span: 1, by_ms: 10_000 }] }), undefined);
    expect(told(longer)).toEqual([
      ["breathe_in", 0, 3],
      ["breathe_out", 3, 4],
      ["breathe_in", 7, 3],
      ["rest", 10, 10],
      ["breathe_out", 20, 4],
      ["rest", 24, 6],
    ]);
  });

  test("who would land in the middle of a repetition of their own rests until the next one", () => {
    const at =
      (rep: number) =>
      (span: Span): Span => ({ ...span, rep });
    const whole = timeline(["hold", 10], ["hold", 10], ["hold", 10], ["hold", 10]);
    const own = timeline(["hold", 15], ["release", 5], ["hold", 15], ["release", 5]);
    own.spans = [...own.spans.slice(0, 2).map(at(1)), ...own.spans.slice(2).map(at(2))];
    const [mine, all] = [own, whole].map((one) => ({ ...content, timeline: one })) as [Content, Content];
    expect(told(timelineIn(mine, all, move({ offset_ms: 10_000 }), undefined))).toEqual([
      ["hold", 0, 10],
      ["rest", 10, 10],
      ["hold", 20, 15],
      ["release", 35, 5],
    ]);
    // A pause goes on where it stood, which is no boundary of the class.
    expect(timelineIn(mine, all, move({ offset_ms: 12_000 }), undefined)).toEqual(own);
  });

  test("without a form it is the class's own", () => {
    expect(timelineIn(content, content, move({ stretch }), undefined)).toEqual(stretched(CLASS, stretch));
  });
});
