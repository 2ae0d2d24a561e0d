import { readdirSync, readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { POSE_NAMES } from "./poses";

test("every pose that a drill names can be drawn", () => {
  const folder = new URL("../../../../server/drills/", import.meta.url);
  const files = readdirSync(folder).filter((name) => name.endsWith(".toml"));
  expect(files.length).toBeGreaterThan(40);
  const named = files.flatMap((file) => {
    const text = readFileSync(new URL(file, folder), "utf8");
    return [...text.matchAll(/^pose = "(.*)"$/gm)].map((match) => `${file}: ${match[1] ?? ""}`);
  });
  const unknown = named.filter((pose) => !POSE_NAMES.includes(pose.split(": ")[1] ?? ""));
  expect(unknown).toEqual([]);
});
