import { expect, test } from "vitest";
import { fitsAt, largest } from "./fit";

test("the largest size that fits is found, and the least one where none does", () => {
  const upTo = (limit: number) => largest(20, 200, (size) => size <= limit);
  expect(upTo(500)).toBe(200);
  expect(upTo(150)).toBeGreaterThan(147);
  expect(upTo(150)).toBeLessThanOrEqual(150);
  expect(upTo(5)).toBe(20);
});

test("words fill lines one after another, and the lines fill the box", () => {
  const sentence = { widths: [2, 1, 3], space: 0.5, lineHeight: 1.1, boxWidth: 350, boxHeight: 221 };
  // At 100 px the first two words (3.5) fill a line, and the third has the second line: 2 x 110 px high.
  expect(fitsAt(sentence, 100)).toBe(true);
  expect(fitsAt(sentence, 101)).toBe(false);
  expect(fitsAt({ ...sentence, boxHeight: 219 }, 100)).toBe(false);
  // A word that is wider than the box fits at no height.
  expect(fitsAt({ ...sentence, boxWidth: 299, boxHeight: 10_000 }, 100)).toBe(false);
  expect(largest(20, 200, (size) => fitsAt(sentence, size))).toBe(99);
});
