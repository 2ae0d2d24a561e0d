// Checks the library's words against outside references: reading level (textstat), how common a word is
// (wordfreq), syllables (cmudict, pyphen) and edit distance (RapidFuzz).
import { execFileSync } from "node:child_process";
import assert from "node:assert/strict";
import { test } from "node:test";

const here = new URL(".", import.meta.url).pathname;

function judge(script) {
  const python = `${here}../.venv/bin/python`;
  return JSON.parse(execFileSync(python, [`${here}${script}`, `${here}../../server`], { encoding: "utf8" }));
}

test("what participants read is at or below US school grade 6, and a cue is one clause", () => {
  const { judged, offenders } = judge("reading.py");
  assert.ok(judged >= 51 + 2 * 59, `${judged} files`);
  assert.deepEqual(offenders, []);
});

test("levels and hints of the clues agree with word frequency and syllables", () => {
  const { judged, offenders } = judge("words.py");
  assert.ok(judged >= 2 * 59 * 12, `only ${judged} clues were judged in two languages`);
  assert.deepEqual(offenders, []);
});

// A synthesiser's length of each cue, in the phase in which it stands; `tests/reference/content.py` prints them.
test("no cue of a drill or its forms takes longer to say than its phase lasts", () => {
  const cues = judge("speech.py");
  assert.ok(cues.length >= 600, `only ${cues.length} cues`);
  assert.deepEqual(cues.filter(({ has_ms, says_ms }) => says_ms > has_ms), []);
});

test("each paper for hosts says that it is a form, and what participants are given is at or below grade 6", () => {
  const { judged, offenders, grades } = judge("papers.py");
  assert.ok(judged >= 9 && Object.keys(grades).length === 2, `${judged} papers, ${Object.keys(grades)}`);
  assert.deepEqual(offenders, []);
});
