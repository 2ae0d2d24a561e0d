import { expect, test } from "vitest";
import { largest } from "./fit";

test("the largest size that fits is found, and the least one where none does", () => {
  const upTo = (limit: number) => largest(20, 200, (size) => size <= limit);
  expect(upTo(500)).toBe(200);
  expect(upTo(150)).toBeGreaterThan(147);
  expect(upTo(150)).toBeLessThanOrEqual(150);
  expect(upTo(5)).toBe(20);
});
