import { stretched } from "../player";
import { expect, test } from "vitest";
import type { Content, Move, Phase, Span } from "../wire/types";
import { cuesBetween } from "./cues";
import { sayingMs, Voice } from "./voice";

function span(phase: Phase, start_ms: number, len_ms: number): Span {
  return { start_ms, len_ms, phase, cue: phase, set: 1, rep: 1, side: 0, marks: null, held_ms: 0 };
}

const SPANS = [
  span("breathe_in", 0, 3_000),
  span("hold", 3_000, 8_000),
  span("firm_up", 11_000, 2_000),
  span("rest", 13_000, 5_000),
  span("change_sides", 18_000, 2_000),
  span("move", 20_000, 4_000),
  span("release", 24_000, 3_000),
];
const CONTENT = {
  sides: [],
  timeline: { ready_ms: 5_000, total_ms: 27_000, spans: SPANS },
} as unknown as Content;
const move = (change: Partial<Move> = {}): Move => ({
  at: 100_000,
  step: 1,
  rev: 0,
  offset_ms: -5_000,
  running: true,
  stretch: [],
  ...change,
});
const inClass = (content: Content) => (one: Move) => ({
  content,
  way: "",
  timeline: stretched(content.timeline, one.stretch),
});
const cues = (moves: Move[], from = 0, to = Infinity) => cuesBetween(moves, inClass(CONTENT), from, to);
const heard = (moves: Move[], from?: number, to?: number) =>
  cues(moves, from, to).map(({ at, sound }) => [
    at,
    sound.kind === "cue" ? sound.pattern : sound.kind === "breath" ? sound.seconds : "words",
  ]);

/** The sounds of the spans themselves. */
const spansOf = (moves: Move[], from?: number, to?: number) =>
  heard(moves, from, to).filter(([, sound]) => sound !== "tick" && sound !== "pause");

test("each span sounds at its instant, by what it asks", () => {
  expect(spansOf([move()])).toEqual([
    [105_000, 3],
    [108_000, "start"],
    [116_000, "firmer"],
    [118_000, "rest"],
    [123_000, "change"],
    [125_000, "start"],
    [129_000, "stop"],
    [132_000, "stop"],
  ]);
});

test("a pause keeps silent what it holds back, and going on sounds the rest", () => {
  const paused = move({ at: 110_000, offset_ms: 5_000, running: false });
  const goesOn = move({ at: 140_000, offset_ms: 5_000 });
  expect(spansOf([move(), paused])).toEqual([
    [105_000, 3],
    [108_000, "start"],
  ]);
  expect(heard([move(), paused]).at(-1)).toEqual([110_000, "pause"]);
  expect(heard([paused, goesOn])[0], "what stands still already is silent").toEqual([146_000, "firmer"]);
});

test("three, two, one sound before work, at the end of a wait that is long enough", () => {
  const ticks = heard([move()]).filter(([, sound]) => sound === "tick");
  // Before the first breath, after the get-ready of 5 s. Neither the rest of 5 s nor the change of sides of 2 s is
  // followed by work at once, but for the movement after the change, whose wait is too short.
  expect(ticks.map(([at]) => at)).toEqual([102_000, 103_000, 104_000]);
});

test("a mark within an open hold sounds softly beside it, and the voice goes on", () => {
  const marks = { floor_ms: 10_000, target_ms: 20_000 };
  const hold = { ...span("hold", 0, 25_000), marks };
  const content = {
    sides: [],
    timeline: { ready_ms: 0, total_ms: 25_000, spans: [hold] },
  } as unknown as Content;
  const all = cuesBetween([move({ offset_ms: 0 })], inClass(content), 0, Infinity);
  const found = all.filter(({ sound }) => sound.kind === "cue" && sound.pattern === "mark");
  expect(found.map(({ at }) => at)).toEqual([110_000, 120_000]);
  const reader = voice();
  reader.hear(all, 100_050);
  reader.hear(all, 110_050);
  expect(said).toEqual(["|", "hold"]);
});

test("a beat sounds within its phase only, and is left out where it would come late", () => {
  const syllables = { ...span("voice", 2_000, 2_000), beat_ms: 500 };
  const content = {
    sides: [],
    timeline: { ready_ms: 0, total_ms: 4_000, spans: [span("breathe_in", 0, 2_000), syllables] },
  } as unknown as Content;
  const all = cuesBetween([move({ offset_ms: 0 })], inClass(content), 0, Infinity);
  const beats = all.filter(({ sound }) => sound.kind === "cue" && sound.pattern === "tick");
  // The first beat is the sound of the phase itself.
  expect(beats.map(({ at, until }) => [at - 100_000, until - at])).toEqual([
    [2_500, 100],
    [3_000, 100],
    [3_500, 100],
  ]);
});

test("only what is near is asked for, under the same key each time", () => {
  expect(heard([move()], 107_700, 108_600)).toEqual([[108_000, "start"]]);
  const [first] = cues([move()], 107_700, 108_600);
  const [again] = cues([move()], 107_900, 108_800);
  expect(again?.key).toBe(first?.key);
  expect(cues([move({ rev: 1 })], 107_700, 108_600)[0]?.key).not.toBe(first?.key);
});

test("a longer span moves what comes after it, and unknown content is silent", () => {
  expect(spansOf([move({ stretch: [{ span: 1, by_ms: 10_000 }] })])[2]).toEqual([126_000, "firmer"]);
  expect(cuesBetween([move()], () => null, 0, Infinity)).toEqual([]);
});

test("a cue ends with its span, or when the class takes another turn", () => {
  expect(
    cues([move()])
      .map(({ until }) => until)
      .slice(0, 3),
  ).toEqual([108_000, 116_000, 118_000]);
  const paused = move({ at: 110_000, offset_ms: 5_000, running: false });
  const ends = cues([move(), paused])
    .filter(({ beside }) => !beside)
    .map(({ until }) => until);
  expect(ends).toEqual([108_000, 110_000, Infinity]);
});

// Once the voice never said where to go first, nor when to stop.
test("the voice says where to go, and the rule when to stop while people get ready", () => {
  const neck = (caution: string | null, len_ms: number) =>
    ({
      kind: "drill",
      caution,
      sides: [{ name: "Chin to the right shoulder", pose: null }],
      timeline: {
        ready_ms: 5_000,
        total_ms: len_ms,
        spans: [{ ...span("move", 0, len_ms), cue: "Go slowly." }],
      },
    }) as unknown as Content;
  const words = (caution: string | null, len_ms: number) =>
    cuesBetween([move()], inClass(neck(caution, len_ms)), 0, Infinity)
      .filter(({ beside }) => !beside)
      .map((cue) => cue.words);
  expect(words("Stop if you feel dizzy.", 6_000)).toEqual([
    "Get ready. Stop if you feel dizzy.",
    "Chin to the right shoulder. Go slowly.",
    null,
  ]);
  expect(
    words("Stop if you keep coughing, are short of breath, have chest pain or feel light-headed.", 3_000),
  ).toEqual(["Get ready", "Chin to the right shoulder", null]);
});

const said: string[] = [];
const voice = (): Voice => {
  said.length = 0;
  return new Voice({ cancel: () => said.push("|"), speak: (words) => said.push(words) });
};
const spoken = (key: string, at: number, words: string, lengthMs: number) => ({
  key,
  at,
  until: at + lengthMs,
  words,
  sound: { kind: "cue", pattern: "start" } as const,
});

test("a voice says a cue once, in time, and never over the next one", () => {
  const reader = voice();
  const hold = spoken("1", 1_000, "Hold. Keep breathing.", 4_000);
  const back = spoken("2", 5_000, "Back to the middle, slowly.", 1_500);
  reader.hear([hold, back], 900);
  expect(said, "not before its instant").toEqual([]);
  reader.hear([hold, back], 1_050);
  reader.hear([hold, back], 1_150);
  expect(said).toEqual(["|", "Hold. Keep breathing."]);
  reader.hear([hold, back], 5_100);
  expect(said.slice(2), "no time for it").toEqual(["|"]);
});

test("where there is no time for all of a cue, a voice says its first sentence", () => {
  const reader = voice();
  reader.hear([spoken("1", 1_000, "Breathe in. Low and slow, into your hand.", 2_000)], 1_050);
  expect(said).toEqual(["|", "Breathe in."]);
});

/** What espeak-ng takes at 140 words a minute, measured by tests/reference/speech.py. */
const MEASURED_MS = {
  "Back to the middle, slowly.": 1_814,
  "Hold. Keep breathing.": 1_934,
  "Chin down on the ball. Press, breathe.": 2_874,
  "Swallow. Hold at the top.": 2_128,
};

test("how long words take is about what a synthesiser takes for them, and no less", () => {
  for (const [words, ms] of Object.entries(MEASURED_MS)) {
    expect(sayingMs(words) / ms, words).toBeGreaterThan(0.95);
    expect(sayingMs(words) / ms, words).toBeLessThan(1.3);
  }
});

test("a voice falls silent with a pause, and says nothing that is long past", () => {
  const reader = voice();
  const hold = spoken("1", 1_000, "Hold. Keep breathing.", 9_000);
  reader.hear([hold], 1_100);
  reader.hear([{ ...hold, until: 2_000 }], 2_050);
  expect(said).toEqual(["|", "Hold. Keep breathing.", "|"]);
  const late = voice();
  late.hear([hold], 4_000);
  expect(said).toEqual(["|"]);
});

test("words to read are read out, if there is time; while they are said, the voice says how", () => {
  const said = (phase: Span["phase"], say: string, len_ms = 5_000): string | null => {
    const span = { ...SPANS[0]!, phase, say, cue: "Say it strong.", start_ms: 0, len_ms };
    const content = { ...CONTENT, sides: [], timeline: { ready_ms: 0, total_ms: len_ms, spans: [span] } };
    return cuesBetween([move({ offset_ms: 0 })], inClass(content), 0, Infinity).find(({ key }) =>
      key.endsWith(".0"),
    )!.words;
  };
  expect(said("get_ready", "I want the *red* cup.")).toBe("I want the red cup.");
  expect(said("get_ready", "I want the *red* cup.", 500)).toBe("Say it strong.");
  expect(said("voice", "Come on in!")).toBe("Say it strong.");
  expect(said("hold", "Surprised")).toBe("Surprised");
});
