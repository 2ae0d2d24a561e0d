import { expect, test } from "vitest";
import type { ClueCard, DrillCard, Family } from "../wire/types";
import { found, marked, NOTHING_WANTED, type Wanted } from "./search";

const FAMILIES = { neck: "neck", posture: "posture", voice: "voice", breath: "breath" } as Record<
  Family,
  string
>;
const drill = (name: string, family: Family, purpose = "", more: Partial<DrillCard> = {}): DrillCard =>
  ({
    drill: { id: name, name, family, purpose, eyes_away: false },
    clock_ms: 90_000,
    off_for_all: false,
    off_for: [],
    ...more,
  }) as unknown as DrillCard;
const round = (theme: string, ...clues: [string, string][]): ClueCard =>
  ({
    id: theme,
    theme,
    words: clues.map(([clue, answer]) => ({ clue, answer, hints: [] })),
  }) as unknown as ClueCard;

const DRILLS = [
  drill("Ear toward the shoulder", "neck"),
  drill("Look over the shoulder", "neck"),
  drill("Shoulder rolls", "posture"),
  drill("Steady strong ah", "voice", "A voice that carries."),
  drill("Sit tall", "posture", "Room for the breath, loose shoulders."),
];
const ROUNDS = [
  round("A winter evening", ["It warms your hands by the fire.", "mug"]),
  round("The wardrobe", ["Its strap goes over your shoulder.", "bag"]),
];
const names = (wanted: Partial<Wanted>): string[] =>
  found(DRILLS, ROUNDS, { ...NOTHING_WANTED, ...wanted }, FAMILIES, "Word game").map((hit) => hit.name);

test("a name that begins with the word comes first, then other names, what a drill is for, and clues", () => {
  expect(names({ words: "shoulder" })).toEqual([
    "Shoulder rolls",
    "Ear toward the shoulder",
    "Look over the shoulder",
    "Sit tall",
    "The wardrobe",
  ]);
});

test("rounds of the word game are found by their theme, and by the words of a clue", () => {
  expect(names({ words: "winter" })).toEqual(["A winter evening"]);
  const [hit] = found(DRILLS, ROUNDS, { ...NOTHING_WANTED, words: "strap" }, FAMILIES, "Word game");
  expect(hit).toMatchObject({
    is: "round",
    clue: { number: 1, words: "Its strap goes over your shoulder." },
  });
});

test("words of the trade find what the library calls by plain ones", () => {
  expect(names({ words: "phonation" })).toEqual(["Steady strong ah"]);
  expect(names({ words: "nothing like it" })).toEqual([]);
});

test("limits leave out what does not fit, and never a round for what it asks of a body", () => {
  const nod = drill("Nod down", "neck", "", { off_for: ["neck"] });
  const only = (wanted: Partial<Wanted>) =>
    found([nod], ROUNDS, { ...NOTHING_WANTED, ...wanted }, FAMILIES, "Word game").map((hit) => hit.name);
  expect(only({ condition: "jaw" })).toContain("Nod down");
  for (const wanted of [{ condition: "neck" }, { withinMs: 60_000 }, { part: "voice" as const }])
    expect(only(wanted), JSON.stringify(wanted)).not.toContain("Nod down");
  expect(only({ condition: "neck" })).toEqual(["A winter evening", "The wardrobe"]);
  expect(only({ part: "rounds" })).toEqual(["A winter evening", "The wardrobe"]);
  expect(only({ part: "neck" })).toEqual(["Nod down"]);
});

test("what was looked for is marked in the name, however it is written", () => {
  expect(marked("Ear toward the shoulder", "SHOULDER ")).toEqual([
    { text: "Ear toward the ", hit: false },
    { text: "shoulder", hit: true },
  ]);
  expect(marked("Sit tall", "xyz")).toEqual([{ text: "Sit tall", hit: false }]);
});
