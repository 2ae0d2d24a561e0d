import { expect, test } from "vitest";
import { mountOf } from "./site";

test("a script knows by its own address where the program lies", () => {
  expect(mountOf("https://class.example/assets/class-Ab1.js")).toBe("");
  expect(mountOf("https://clinic.example/a/b/assets/class-Ab1.js")).toBe("/a/b");
  expect(mountOf("https://clinic.example/assets/voice/assets/x.js")).toBe("/assets/voice");
  expect(mountOf("file:///somewhere/src/lib/site.ts")).toBe("");
});
