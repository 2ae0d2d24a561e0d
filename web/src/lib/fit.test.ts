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
  const pieces = [2, 1, 3].map((width) => ({ width, gap: 0.5 }));
  const sentence = { pieces, lineHeight: 1.1, overhang: 0, boxWidth: 350, boxHeight: 221 };
  // At 100 px the first two words (3.5) fill a line, and the third has the second line: 2 x 110 px high.
  expect(fitsAt(sentence, 100)).toBe(true);
  expect(fitsAt(sentence, 101)).toBe(false);
  expect(fitsAt({ ...sentence, boxHeight: 219 }, 100)).toBe(false);
  // Letters that are higher than their line need room above the first and below the last.
  expect(fitsAt({ ...sentence, overhang: 0.2 }, 100)).toBe(false);
  expect(fitsAt({ ...sentence, overhang: 0.2 }, 92)).toBe(true);
  expect(fitsAt({ ...sentence, overhang: 0.2 }, 93)).toBe(false);
  // A word that is wider than the box fits at no height.
  expect(fitsAt({ ...sentence, boxWidth: 299, boxHeight: 10_000 }, 100)).toBe(false);
  // Without a gap, as behind a hyphen, a little more goes into a line.
  const hyphened = { ...sentence, pieces: [2, 1, 3].map((width) => ({ width, gap: 0 })), boxWidth: 300 };
  expect([fitsAt(hyphened, 100), fitsAt({ ...sentence, boxWidth: 300 }, 100)]).toEqual([true, false]);
});
