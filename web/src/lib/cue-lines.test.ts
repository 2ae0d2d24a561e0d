import { expect, test } from "vitest";
import { broken } from "./cue-lines";

/** Every letter half as wide as it is high. */
const half = (words: string): number => words.length / 2;
const room = (width: number, height: number) => ({ width, height, most: 100 });

test("one short line may be a third larger than two", () => {
  expect(broken("Rest.", room(1000, 300), half)).toEqual({ lines: ["Rest."], size: 135 });
});

test("a cue of two sentences breaks between them", () => {
  const { lines } = broken("Strong ah. Keep it full.", room(600, 220), half);
  expect(lines).toEqual(["Strong ah.", "Keep it full."]);
});

test("a sentence that is too long breaks where its lines come out largest", () => {
  const { lines, size } = broken("Chin to the right shoulder.", room(500, 220), half);
  expect(lines).toEqual(["Chin to the", "right shoulder."]);
  expect(size).toBe(Math.floor(500 / half("right shoulder.")));
});

test("whole sentences are given up where they would be much smaller", () => {
  const text = "It helps you reach the roof, one step at a time. No hurry.";
  const { lines } = broken(text, room(400, 400), half);
  expect(lines.length).toBeGreaterThan(2);
  expect(lines.join(" ")).toBe(text);
});

test("whatever the words and the room, all words are there and fit", () => {
  for (const text of [
    "a",
    "one two three four five six seven eight nine ten eleven",
    "Verylongwordwithoutanyspace here",
  ])
    for (const width of [80, 300, 900])
      for (const height of [40, 200, 600]) {
        const { lines, size } = broken(text, room(width, height), half);
        expect(lines.join(" ")).toBe(text);
        for (const line of lines) expect(half(line) * size).toBeLessThanOrEqual(width);
        expect(lines.length * size).toBeLessThanOrEqual(height);
      }
});

test("no words are no lines", () => {
  expect(broken("  ", room(100, 100), half).lines).toEqual([]);
});
