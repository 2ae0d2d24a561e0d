import { describe, expect, it } from "vitest";
import { text } from "./messages";
import { en } from "./messages/en";
import { es } from "./messages/es";
import { clockOf, on } from "./player";
import { countText, shown, type Person, type Shown } from "./shown";
import type { Scene } from "./player";
import type { ClueFrame, Content, Marks, Phase, Span, Stage } from "./wire/types";

const t = text.stage;

function span(start_ms: number, len_ms: number, phase: Phase, marks: Marks | null = null): Span {
  return { start_ms, len_ms, phase, cue: `say ${phase}`, set: 1, rep: 1, side: 0, marks, held_ms: 0 };
}

const OPEN: Marks = { floor_ms: 10_000, target_ms: 20_000 };
const CONTENT: Content = {
  id: 1,
  rev: 0,
  kind: "drill",
  title: "Steady strong ah",
  purpose: null,
  caution: "Stop if your throat hurts.",
  easier: null,
  forms: [],
  pose: "mouth-ah",
  sides: [],
  reps: 2,
  sets: 1,
  eyes_away: false,
  tap: "rests",
  swallow: false,
  timeline: {
    ready_ms: 5_000,
    spans: [
      span(0, 3_000, "breathe_in"),
      span(3_000, 25_000, "hold", OPEN),
      span(28_000, 12_000, "rest"),
      span(40_000, 5_000, "move"),
      span(45_000, 5_000, "hold"),
      span(50_000, 150_000, "rest"),
    ],
    total_ms: 200_000,
  },
};
const STAGE = {
  seq: 1,
  phase: "running",
  moves: [],
  steps: [],
  number: 1,
  of: 3,
  clue: null,
  effort: null,
  lead_lost: false,
  safety_pause: null,
} as unknown as Stage;

interface Moment {
  offsetMs?: number;
  paused?: boolean;
  resumesInMs?: number | null;
  content?: Partial<Content>;
  stage?: Partial<Stage>;
  clue?: ClueFrame | null;
  clueSeconds?: number | null;
  person?: Person;
}

function look(of: Moment): Shown {
  const content = { ...CONTENT, ...of.content };
  const offsetMs = of.offsetMs ?? 0;
  const now = on(content.timeline, offsetMs);
  const move = { at: 0, step: 1, rev: 0, offset_ms: 0, running: !of.paused, stretch: [] };
  const resumesInMs = of.resumesInMs ?? null;
  const scene: Scene = {
    content,
    timeline: content.timeline,
    way: "",
    at: { move, offsetMs, paused: of.paused ?? false, resumesInMs },
    on: now,
    seconds: clockOf(now, offsetMs),
    resumesIn: resumesInMs === null ? null : Math.ceil(resumesInMs / 1000),
  };
  return shown({ ...STAGE, ...of.stage }, scene, of.clue ?? null, of.clueSeconds ?? null, of.person);
}

describe("what the class sees", () => {
  it("counts an open hold up, from 0, and says the target's seconds when they are held", () => {
    const at = (offsetMs: number) => look({ offsetMs }).number;
    expect([at(3_000), at(3_999), at(4_000), at(22_999), at(23_000)]).toEqual(["0", "0", "1", "19", "20"]);
    expect(look({ offsetMs: 4_000 }).unit).toBe(t.units.held);
  });

  it("counts up where people count aloud to a beat, also for whoever holds for a time of their own", () => {
    const spans = CONTENT.timeline.spans.map((one) =>
      one.phase === "hold" ? { ...one, beat_ms: 1_000 } : one,
    );
    const content = { timeline: { ...CONTENT.timeline, spans } };
    expect(look({ offsetMs: 46_000, content })).toMatchObject({ number: "1", unit: t.units.held });
  });

  it("counts everything else down, and long rests in minutes", () => {
    expect(look({ offsetMs: -4_500 })).toMatchObject({
      number: "5",
      unit: t.units.startsIn,
      cue: t.getReady,
    });
    expect(look({ offsetMs: 45_000 })).toMatchObject({ number: "5", unit: t.units.left });
    expect(look({ offsetMs: 50_000 })).toMatchObject({ number: "2:30", unit: t.units.restLong });
    expect(countText(99)).toBe("99");
    expect(countText(100)).toBe("1:40");
  });

  it("says to watch first, with the seconds until it starts, and counts it as no repetition", () => {
    const watch: Span = { ...span(0, 20_000, "watch"), cue: "Watch first.", rep: 0 };
    const after: Span = { ...span(20_000, 5_000, "hold"), cue: "Hold." };
    const content = { timeline: { ready_ms: 5_000, spans: [watch, after], total_ms: 25_000 } };
    const seen = look({ offsetMs: 2_000, content });
    expect(seen).toMatchObject({ cue: "Watch first.", number: "18", unit: t.units.startsIn, tally: null });
    expect([seen.resting, seen.pose, seen.next]).toEqual([true, "mouth-ah", t.next("Hold.")]);
    expect(look({ offsetMs: 21_000, content }).tally).not.toBeNull();
  });

  it("names a form of one's own in the head, and leaves the stop rule while people get ready", () => {
    const ready = look({ offsetMs: -3_000, person: { ownForm: "For you: seated." } });
    expect([ready.own, ready.under]).toEqual([null, "Stop if your throat hurts."]);
    expect(look({ offsetMs: 1_000, person: { ownForm: "For you: seated." } }).own).toBe("For you: seated.");
    const clocked = look({ offsetMs: 1_000, person: { ownClock: true } });
    expect([clocked.title, clocked.own]).toEqual([t.ownWay("Steady strong ah"), null]);
  });

  it("makes the first sentence of a cue the largest words, and drops none of the others", () => {
    const withCue = (cue: string, more: Moment = {}): Shown => {
      const { timeline } = CONTENT;
      const spans = timeline.spans.map((one) => ({ ...one, cue }));
      return look({
        offsetMs: 4_000,
        content: { timeline: { ...timeline, spans }, ...more.content },
        ...more,
      });
    };
    expect(withCue("Strong ah. Keep it full.")).toMatchObject({ lead: "Strong ah.", below: "Keep it full." });
    expect(withCue("Breathe in.")).toMatchObject({ lead: "Breathe in.", below: null });
    expect(withCue("All at once. Say it strong!")).toMatchObject({
      lead: "All at once.",
      below: "Say it strong!",
    });
    const sides = [{ name: "Right shoulder", pose: null }];
    const { timeline } = CONTENT;
    const spans = timeline.spans.map((one) => ({ ...one, cue: "Hold. Keep breathing." }));
    const aside = look({
      offsetMs: 4_000,
      content: { timeline: { ...timeline, spans }, sides },
    } as unknown as Moment);
    expect(aside).toMatchObject({ lead: "Hold.", below: "Right shoulder. Keep breathing." });
    // Whoever has a form of their own reads that below, so the cue stays whole.
    expect(withCue("Hold. Keep breathing.", { person: { ownForm: "For you: seated." } })).toMatchObject({
      lead: "Hold. Keep breathing.",
      below: null,
    });
    const safety = look({ offsetMs: 4_000, stage: { safety_pause: 1 } });
    expect(safety.lead).toBe(t.safetyPause);
  });

  it("has words about the mouth and the eyes that are no longer than the server reckons with", () => {
    const words = (sentence: string): number => sentence.split(/\s+/).length;
    for (const { stage } of [en, es]) {
      expect(words(stage.mouthEmpty)).toBeLessThanOrEqual(6);
      expect(words(stage.eyesAway)).toBeLessThanOrEqual(9);
    }
  });

  it("says a rest's own words without saying twice that it is one", () => {
    const spans = CONTENT.timeline.spans.map((one) => ({ ...one, cue: "Rest. Breathe easy." }));
    const rest = look({ offsetMs: 30_000, content: { timeline: { ...CONTENT.timeline, spans } } });
    expect(rest).toMatchObject({ cue: t.resting, under: "Breathe easy." });
  });

  it("shows the words of a repetition largest, what to do with them below, and where the tune goes", () => {
    const say = "The kettle's hot?";
    const spans = CONTENT.timeline.spans.map((one) => ({
      ...one,
      cue: "Ask it.",
      say,
      tune: "rise" as const,
    }));
    const of = (more: Moment = {}): Shown =>
      look({ offsetMs: 4_000, content: { timeline: { ...CONTENT.timeline, spans } }, ...more });
    expect(of()).toMatchObject({ lead: say, below: "Ask it.", cue: say, under: "Ask it.", tune: "rise" });
    expect(of({ offsetMs: 30_000 }), "an answer that stands through the rest").toMatchObject({
      lead: say,
      below: "Ask it.",
    });
    for (const still of [of({ paused: true }), of({ person: { restInstead: "Rest." } })])
      expect([still.lead === say, still.tune]).toEqual([false, null]);
    expect(of({ stage: { safety_pause: 1 } })).toMatchObject({ lead: t.safetyPause, tune: null });
  });

  it("draws the beat of a phase, and none elsewhere", () => {
    const spans = CONTENT.timeline.spans.map((one, at) => (at === 0 ? { ...one, beat_ms: 500 } : one));
    const of = (offsetMs: number) =>
      look({ offsetMs, content: { timeline: { ...CONTENT.timeline, spans } } });
    expect([of(100).band?.beatMs, of(30_000).band?.beatMs, of(-1_000).band?.beatMs]).toEqual([
      500,
      null,
      null,
    ]);
  });

  it("has one band for a hold and its firmer end", () => {
    const [first] = CONTENT.timeline.spans;
    const spans = [
      { ...first!, phase: "hold" as const, start_ms: 0, len_ms: 50_000 },
      { ...first!, phase: "firm_up" as const, start_ms: 50_000, len_ms: 10_000 },
    ];
    const timeline = { ...CONTENT.timeline, spans, total_ms: 60_000 };
    const [hold, firm] = [20_000, 52_000].map((offsetMs) => look({ offsetMs, content: { timeline } }).band);
    expect(hold).toMatchObject({ lengthMs: 60_000, leftMs: 40_000, firmFrom: 50 / 60 });
    expect(firm).toMatchObject({ lengthMs: 60_000, leftMs: 8_000, firmFrom: 50 / 60, name: hold?.name });
  });

  it("says Rest in a rest, with the words of the drill below", () => {
    expect(look({ offsetMs: 30_000 })).toMatchObject({
      cue: t.resting,
      under: "say rest",
      unit: t.units.rest,
      resting: true,
      picture: t.atRest,
      phase: "rest",
    });
  });

  it("shows where to go in the largest words, and how below", () => {
    const sides = [{ name: "Chin to the right shoulder", pose: "turn-right" }];
    expect(look({ offsetMs: 40_000, content: { sides } })).toMatchObject({
      cue: "Chin to the right shoulder",
      under: "say move",
      pose: "turn-right",
      unit: t.units.toGetThere,
      band: { end: t.ends.hold },
    });
  });

  it("keeps the rule for stopping in sight for as long as anybody does something", () => {
    expect(look({ offsetMs: -1_000 })).toMatchObject({ under: CONTENT.caution, care: true, caution: null });
    for (const offsetMs of [1_000, 10_000, 30_000, 46_000])
      expect(look({ offsetMs }).caution, `at ${offsetMs}`).toBe(CONTENT.caution);
    expect(look({ offsetMs: 200_000 }).caution).toBeNull();
    expect(look({ offsetMs: 10_000, paused: true }).caution).toBeNull();
  });

  it("has no number and no band in a safety pause, and its own words", () => {
    const s = look({ offsetMs: 10_000, paused: true, stage: { safety_pause: 1 } });
    expect(s).toMatchObject({
      cue: t.safetyPause,
      next: t.safetyThen,
      number: null,
      band: null,
      safety: true,
    });
    expect(s.resting).toBe(false);
  });

  it("counts to the end of a pause once that is settled, and nothing before", () => {
    expect(look({ offsetMs: 10_000, paused: true }).number).toBeNull();
    expect(look({ offsetMs: 10_000, paused: true, resumesInMs: 3_200 })).toMatchObject({
      cue: t.goesOnIn,
      number: "4",
    });
  });

  it("asks for an empty mouth before a swallow drill", () => {
    const swallow = { swallow: true };
    expect(look({ offsetMs: -5_000, paused: true, content: swallow })).toMatchObject({
      cue: text.mouth.question,
      under: t.mouthEmpty,
      care: true,
      number: null,
    });
  });

  it("shows a person who rests nothing but the rest", () => {
    const s = look({ offsetMs: 10_000, person: { restInstead: t.rest, ownForm: "smaller" } });
    expect(s).toMatchObject({ cue: t.rest, own: null, under: null, number: null, band: null, caution: null });
    expect(s).toMatchObject({ pose: "tall", phase: "rest", resting: true });
  });

  it("shows a clue, its hints, and then its answer with the reason", () => {
    const content: Partial<Content> = {
      kind: "clues",
      timeline: { ready_ms: 0, spans: [], total_ms: 0 },
    };
    const clue = {
      game: "clue",
      number: 1,
      of: 8,
      clue: "It bangs the nail in.",
      hints: ["a tool", "H…"],
      answer: null,
      because: null,
    } as unknown as ClueFrame;
    expect(look({ content, clue, clueSeconds: 30 })).toMatchObject({
      cue: clue.clue,
      under: null,
      hints: ["a tool", "H…"],
      number: "30",
    });
    expect(look({ content, clue: { ...clue, answer: "hammer" } })).toMatchObject({
      cue: "hammer",
      under: clue.clue,
      hints: [],
    });
    expect(look({ content, clue, paused: true }).clue).toBeNull();
  });
});
