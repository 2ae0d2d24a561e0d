// A real browser renders the cue sounds without a loudspeaker, and scipy measures their pitch, length, level,
// harmonics and rhythm. They must have 500 to 1,000 Hz and harmonics, which older ears hear better (a 520 Hz square
// wave woke 92 % of people, 3,100 Hz 56 %: Bruck and Thomas 2009), and last 0.3 to 0.5 s.

import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { mkdir, readFile, writeFile } from "node:fs/promises";
import { createRequire } from "node:module";
import { after, before, test } from "node:test";
import { chromium } from "playwright-core";

const FOLDER = new URL("../shots/sound/", import.meta.url);
const HERE = new URL("../reference/", import.meta.url).pathname;
const PATTERNS = ["start", "change", "firmer", "stop", "rest", "pause", "safety"];
/** They sound beside what is on, and softly. */
const BESIDE = ["tick", "mark"];
const AT = 0.5;
let browser, measured;

before(async () => {
  await mkdir(FOLDER, { recursive: true });
  const web = new URL("../../web/", import.meta.url);
  const ts = createRequire(web)("typescript");
  const source = await readFile(new URL("src/lib/sound/score.ts", web), "utf8");
  const code = ts.transpileModule(source, { compilerOptions: { module: ts.ModuleKind.ESNext, target: ts.ScriptTarget.ESNext } }).outputText;
  browser = await chromium.launch({ executablePath: "/usr/bin/chromium", args: ["--no-sandbox"] });
  const page = await browser.newPage();
  const render = (kind, volume) =>
    page.evaluate(
      async ({ code, kind, volume, at }) => {
        const score = await import(`data:text/javascript,${encodeURIComponent(code)}`);
        const context = new OfflineAudioContext(1, 48_000 * 6, 48_000);
        if (kind === "breath") score.writeBreath(context, at, 3, volume);
        else if (kind === "call" || kind === "urgent") score.writeCall(context, kind, at, volume);
        else score.writeCue(context, kind, at, volume);
        const buffer = await context.startRendering();
        const bytes = new Uint8Array(buffer.getChannelData(0).buffer);
        let text = "";
        for (let i = 0; i < bytes.length; i += 8192) text += String.fromCharCode(...bytes.subarray(i, i + 8192));
        return btoa(text);
      },
      { code, kind, volume, at: AT },
    );
  const files = [];
  for (const [name, kind, volume] of [...PATTERNS, ...BESIDE, "breath", "call", "urgent"].map((kind) => [kind, kind, 1]).concat([["start, soft", "start", 1 / 3]])) {
    const file = new URL(`${name.replace(/\W+/g, "_")}.f32`, FOLDER).pathname;
    await writeFile(file, Buffer.from(await render(kind, volume), "base64"));
    files.push({ name, file });
  }
  measured = JSON.parse(execFileSync(`${HERE}../.venv/bin/python`, [`${HERE}sound.py`, JSON.stringify(files)], { encoding: "utf8" }));
});
after(() => browser.close());

test("each cue lies between 500 and 1,000 Hz, has harmonics, and lasts 0.3 to 0.5 s", () => {
  for (const name of PATTERNS) {
    const { notes, length, above } = measured[name];
    for (const [, , hz] of notes) assert.ok(hz >= 500 && hz <= 1000, `${name}: ${hz} Hz`);
    assert.ok(length >= 0.3 && length <= 0.5, `${name}: ${length} s`);
    assert.ok(above > 0.08, `${name}: ${above} of the energy is harmonics`);
    assert.ok(Math.abs(notes[0][0] - AT) < 0.02, `${name} begins at ${notes[0][0]}`);
  }
});

test("no two cues have the same rhythm", () => {
  const rhythm = (name) => measured[name].notes.map(([, length]) => (length > 0.2 ? "long" : "short")).join(" ");
  const rhythms = PATTERNS.map(rhythm);
  assert.deepEqual(rhythms, ["short long", "short short short", "short short", "long short", "long", "long short short", "long long"]);
});

test("three, two, one and the marks are one soft note each, and a breath is as loud as the sound of a rest", () => {
  const decibels = (name, than) => 20 * Math.log10(measured[name].level / measured[than].level);
  for (const name of BESIDE) {
    const { notes, above } = measured[name];
    assert.equal(notes.length, 1, name);
    assert.ok(notes[0][2] >= 500 && notes[0][2] <= 1000, `${name}: ${notes[0][2]} Hz`);
    assert.ok(above > 0.08, `${name}: ${above} of the energy is harmonics`);
    assert.ok(decibels(name, "start") < -4, `${name}: ${decibels(name, "start")} dB`);
  }
  assert.ok(Math.abs(decibels("breath", "rest")) < 2, `${decibels("breath", "rest")} dB`);
});

test("a breath's tone rises, and so does the cue for work; the cue for its end falls", () => {
  const { breath, start, stop, rest } = measured;
  assert.ok(breath.last > breath.first * 1.3, `${breath.first} to ${breath.last} Hz`);
  assert.ok(breath.first >= 400 && breath.last <= 1100);
  assert.ok(Math.abs(breath.length - 3) < 0.4, `${breath.length} s`);
  assert.ok(start.last > start.first && stop.last < stop.first && rest.last < rest.first);
});

test("the volume setting works, a call is louder than a cue, and nothing clips", () => {
  const peak = (name) => Math.max(...measured[name].notes.map(([, , , peak]) => peak));
  assert.ok(Math.abs(peak("start, soft") / peak("start") - 1 / 3) < 0.02);
  assert.ok(peak("call") > 2 * peak("start") * 0.9);
  for (const name of Object.keys(measured)) assert.ok(peak(name) < 1, name);
});
