import { expect, test } from "vitest";
import { inOwnWords } from ".";
import { en } from "./en";
import { es } from "./es";

test("the desk's own sentence is shown in the person's language, and what was written by hand stays", () => {
  expect(inOwnWords(en.seat.askedWell, es)).toBe(es.seat.askedWell);
  expect(es.seat.askedWell).toContain(es.seat.stop);
  expect(en.seat.askedWell).toContain(en.seat.stop);
  expect(inOwnWords("Well done today.", es)).toBe("Well done today.");
});
