// Checks the store's SQL with PostgreSQL's own parser (pglast).
import { execFileSync } from "node:child_process";
import assert from "node:assert/strict";
import { test } from "node:test";

const here = new URL(".", import.meta.url).pathname;

test("PostgreSQL's parser accepts every query of the store", () => {
  const python = `${here}../.venv/bin/python`;
  const found = execFileSync(python, [`${here}sql.py`, `${here}../../server`], { encoding: "utf8" });
  const { judged, offenders } = JSON.parse(found);
  assert.ok(judged >= 25, `${judged} queries`);
  assert.deepEqual(offenders, []);
});
