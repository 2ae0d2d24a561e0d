import { readdirSync, readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { POSE_NAMES } from "./poses";

test("every pose that a drill or an item names can be drawn", () => {
  const named = ["drills", "items"].flatMap((kind) => {
    const folder = new URL(`../../../../server/${kind}/`, import.meta.url);
    const files = readdirSync(folder).filter((name) => name.endsWith(".toml"));
    expect(files.length).toBeGreaterThan(40);
    return files.flatMap((file) => {
      const text = readFileSync(new URL(file, folder), "utf8");
      return [...text.matchAll(/^pose = "(.*)"$/gm)].map((match) => `${file}: ${match[1] ?? ""}`);
    });
  });
  const unknown = named.filter((pose) => !POSE_NAMES.includes(pose.split(": ")[1] ?? ""));
  expect(unknown).toEqual([]);
});
