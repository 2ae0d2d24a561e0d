import { expect, test } from "vitest";
import { isSame } from "./same";

test("the order of keys and parts left out say nothing, and all else does", () => {
  expect(isSame({ a: 1, b: [1, { c: null }] }, { b: [1, {}], a: 1 })).toBe(true);
  expect(isSame(null, undefined)).toBe(true);
  for (const [a, b] of [
    [{ a: 1 }, { a: 2 }],
    [{ a: 1 }, { a: 1, b: 0 }],
    [[1, 2], [1]],
    [[1], [1, null]],
    [[], {}],
    [0, null],
    ["1", 1],
    [{ a: {} }, { a: [] }],
  ]) {
    expect(isSame(a, b), JSON.stringify([a, b])).toBe(false);
    expect(isSame(b, a), JSON.stringify([b, a])).toBe(false);
  }
});
