// The statistics of a person's page (W-33): what the core's test compares with is what scipy says now.
import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { test } from "node:test";
import { fileURLToPath } from "node:url";

const here = (path) => fileURLToPath(new URL(path, import.meta.url));

test("the kept figures of 1,000 series are those of scipy", () => {
  const file = here("../../server/core/tests/golden/statistics.txt");
  const found = spawnSync(here("../.venv/bin/python"), [here("figures.py"), file], { encoding: "utf8" });
  assert.equal(found.status, 0, found.stderr);
});
