// Measures how far apart real browsers show the same change. Pages are behind links of different kinds, one desk
// starts, pauses, goes on and goes to the next step, and things go wrong in between. Prints tables, and writes JSON
// and a plot. The only thing it asserts is that there was something to compare.
//
//   node tests/sync/main.mjs [--quick] [--only=killed,away] [--seconds=240]        (after cargo build --release)

import assert from "node:assert/strict";
import { mkdir, writeFile } from "node:fs/promises";
import { chromium } from "playwright-core";
import { Server } from "../server.mjs";
import { checksIn } from "../browser/people.mjs";
import { Proxy } from "../browser/proxy.mjs";
import { LINKS } from "./links.mjs";
import { plot } from "./plot.mjs";
import { behind, changesOf, percentiles, skews, watchPage, wordsOf } from "./stamps.mjs";
import { lateChanges, traceOf, tracePage } from "./trace.mjs";

const quick = process.argv.includes("--quick");
/** Parts of the names of the scenes to run; without it, all of them run. */
const only = process.argv.find((word) => word.startsWith("--only="))?.slice(7).split(",").filter(Boolean);
const PLAN = new URL("plan.toml", import.meta.url).pathname;
const OUT = new URL("../shots/sync/", import.meta.url);
const PAGES = 4;
/** How long each scene is watched. A minute gives only some 300 pairs, so a single late change would set its p99. */
const seconds = Number(process.argv.find((word) => word.startsWith("--seconds="))?.slice(10) ?? 60);
assert.ok(seconds >= 10, "--seconds takes a number from 10, as in --seconds=240");
const WATCH_MS = quick ? 6_000 : seconds * 1_000;
const TROUBLE_MS = quick ? 3_000 : 20_000;
const ASLEEP_MS = quick ? 4_000 : 60_000;
const SLOWER = 6;
const BARE = "bare pages";
/** One scene of each kind, to see that they work. */
const QUICK = [BARE, "80 up, 20 down", "the server killed and started"];
const wanted = (scene) => (quick ? QUICK.includes(scene) : !only?.length || only.some((part) => scene.includes(part)));
/** After this many answers on a new socket, a page gives up its old estimate of the server's clock. */
const ANSWERS = 4;
/** Small, so that drawing five pages without a graphics card does not slow this machine down. */
const SIZE = { width: 390, height: 640 };
const FLAGS = ["--no-sandbox", "--disable-gpu", "--autoplay-policy=no-user-gesture-required", "--disable-background-timer-throttling=false"];

const sleep = (ms) => new Promise((resolve) => setTimeout(resolve, ms));
const round = (ms) => (Number.isFinite(ms) ? ms.toFixed(1) : "-");

class Class {
  static async open() {
    const one = new Class();
    one.server = await new Server().start("serve", "--plan", PLAN);
    one.browser = await chromium.launch({ executablePath: "/usr/bin/chromium", args: FLAGS });
    one.desk = await one.#page(one.server.links.desk, one.server.port);
    await one.desk.getByRole("button", { name: "Let people in" }).click();
    one.pages = [];
    one.links = [];
    return one;
  }

  async #page(link, port, choices = {}) {
    const context = await this.browser.newContext({ viewport: SIZE });
    const page = await context.newPage();
    page.setDefaultTimeout(60_000);
    page.on("websocket", (socket) => {
      page.inStepAt = null;
      let [answers, stages] = [0, 0];
      socket.on("framereceived", ({ payload }) => {
        if (String(payload).startsWith('{"kind":"clock"')) answers += 1;
        if (String(payload).startsWith('{"kind":"stage"')) stages += 1;
        if (answers === ANSWERS && stages > 0) page.inStepAt ??= performance.now();
      });
    });
    await page.addInitScript(watchPage);
    await page.addInitScript(tracePage);
    await page.addInitScript((choices) => localStorage.setItem("samebreath.choices", JSON.stringify(choices)), choices);
    const url = new URL(link);
    url.port = String(port);
    await page.goto(url.href);
    return page;
  }

  /** A participant behind a link, with tones on, so that they can be compared with the picture. */
  async join(name, character) {
    const link = await Proxy.to(this.server.port, character);
    const page = await this.#page(this.server.links.class, link.port, { language: "en", sounds: true });
    await page.getByLabel("Your first name").fill(name);
    await page.getByRole("button", { name: "Join the class" }).click();
    await page.waitForURL("**/class/**");
    await checksIn(page);
    this.links.push(link);
    this.pages.push(page);
    return page;
  }

  async start() {
    await this.desk.getByRole("button", { name: "Begin the class" }).click();
    await this.desk.getByRole("button", { name: "Next step" }).waitFor();
    await this.desk.keyboard.press("PageDown");
    await Promise.all(this.pages.map((page) => page.getByRole("timer").first().waitFor()));
    this.clocks = await Promise.all(this.pages.map(behind));
    this.deskClock = await behind(this.desk);
  }

  /** Watches for `ms`. If the desk `leads`, it pauses, goes on and goes to the other step each minute. */
  async watch(ms, leads = true) {
    await this.changes();
    const rounds = leads ? Math.max(1, Math.round(ms / 60_000)) : 0;
    const presses = Array.from({ length: rounds }, (_, n) => [" ", " ", n % 2 ? "PageUp" : "PageDown"]).flat();
    for (const key of presses) {
      await sleep(ms / (presses.length + 1));
      await this.desk.keyboard.press(key);
    }
    await sleep(ms / (presses.length + 1));
    return this.changes();
  }

  changes() {
    return Promise.all(this.pages.map((page, index) => changesOf(page, this.clocks[index])));
  }

  /** The changes that some page made late, and why. */
  async late(changes) {
    const traces = await Promise.all(this.pages.map((page, index) => traceOf(page, this.clocks[index])));
    return lateChanges(changes, traces, await traceOf(this.desk, this.deskClock));
  }

  async close() {
    await this.browser.close();
    for (const link of this.links) link.close();
    await this.server.stop();
  }
}

const rows = [];
/** The changes that one page made more than two frames after another, and why. */
const late = [];
const noteLate = async (scene, held, changes) => {
  for (const change of await held.late(changes)) late.push({ scene, ...change });
};
const note = (scene, changes, boundMs = 0) => {
  const { n, p50, p95, p99, max } = percentiles(skews(changes));
  assert.ok(n > 0, `${scene}: nothing to compare`);
  const frames = percentiles(skews(changes, { of: "frame" }));
  const made = percentiles(skews(changes, { of: "made" }));
  const numbers = percentiles(skews(changes, { numbersOnly: true }));
  const numbersMade = percentiles(skews(changes, { of: "made", numbersOnly: true }));
  rows.push({ scene, n, p50, p95, p99, max, frames, made, numbers, numbersMade, boundMs });
  const figures = [p50, p95, p99, max, frames.p99, made.p99, numbers.p99, numbersMade.p99, boundMs];
  console.log(`| ${scene} | ${n} | ${figures.map(round).join(" | ")} |`);
};

console.log("How far apart the same change was shown: when its frame was laid out; by the stamps of the frames, which");
console.log("tell the same frame from the next one; and when it was made, before the frame. All pages draw new words at");
console.log("once on the processors of this machine; numbers alone cost next to nothing.");
console.log(`${PAGES} pages, each scene ${WATCH_MS / 1000} s${quick ? "; quick run" : ""}\n`);
console.log("| scene | pairs | p50 ms | p95 ms | p99 ms | max ms | by stamps of frames, p99 ms | made, p99 ms | numbers alone, p99 ms | numbers made, p99 ms | half the asymmetry, ms |\n| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |");

/**
 * What the machine and its browser do by themselves: the same number of pages count seconds with a timer on our own
 * clock, without a network, a server or anything else to draw.
 */
async function bare() {
  const browser = await chromium.launch({ executablePath: "/usr/bin/chromium", args: FLAGS });
  const open = async () => {
    const page = await (await browser.newContext({ viewport: SIZE })).newPage();
    await page.addInitScript(watchPage);
    await page.goto("data:text/html,<h1>bare</h1><p role=timer></p>");
    return page;
  };
  // One page more than are compared, because the desk of the other scenes draws too.
  const pages = [];
  for (let n = 0; n <= PAGES; n++) pages.push(await open());
  const clocks = await Promise.all(pages.map(behind));
  const count = ({ offset }) => {
    const timer = document.querySelector("[role=timer]");
    const next = () => {
      const leftMs = 1000 - ((performance.now() + offset) % 1000);
      setTimeout(() => {
        timer.textContent = String(Math.round((performance.now() + offset) / 1000));
        next();
      }, leftMs);
    };
    next();
  };
  for (const [at, page] of pages.entries()) await page.evaluate(count, clocks[at]);
  await sleep(WATCH_MS);
  const changes = await Promise.all(pages.slice(0, PAGES).map((page, at) => changesOf(page, clocks[at])));
  await browser.close();
  return changes;
}

if (wanted(BARE)) note(BARE, await bare());

let clockBoundMs = 0;
for (const [name, character] of Object.entries(LINKS)) {
  if (!wanted(name)) continue;
  const held = await Class.open();
  // What an asymmetric link costs can only be seen as a difference from another link.
  const mixed = name.includes("up");
  for (let n = 0; n < PAGES; n++) await held.join(`Person ${n}`, mixed && n % 2 === 0 ? LINKS.LAN : character);
  await held.start();
  const changes = await held.watch(WATCH_MS);
  note(name, changes, mixed ? Math.abs(character.up.ms - character.down.ms) / 2 : 0);
  await noteLate(name, held, changes);
  clockBoundMs = Math.max(clockBoundMs, ...held.clocks.map(({ bound }) => bound));
  await held.close();
}

/** Sound minus picture for each change of a cue, in milliseconds; both on the page's own clock. */
function soundAgainst(sounds, changes) {
  const cues = changes.filter((change, at) => at > 0 && wordsOf(change) !== wordsOf(changes[at - 1]));
  return cues.flatMap(({ at }) => {
    const apart = sounds.map((sound) => sound.at - at).toSorted((a, b) => Math.abs(a) - Math.abs(b))[0];
    return apart !== undefined && Math.abs(apart) < 250 ? [apart] : [];
  });
}

// Things that go wrong in between, on a LAN and on a bad home link.
const back = [];
const troubles = {
  [`a processor ${SLOWER} times slower, two of ${PAGES}`]: async ({ pages }) => {
    for (const page of pages.slice(2)) {
      const session = await page.context().newCDPSession(page);
      await session.send("Emulation.setCPUThrottlingRate", { rate: SLOWER });
    }
  },
  "a page hidden for a while": async ({ pages: [page] }) => {
    await hidden(page, true);
    await sleep(ASLEEP_MS / 2);
    await hidden(page, false);
  },
  "a page asleep": async ({ pages: [page] }) => {
    const session = await page.context().newCDPSession(page);
    await session.send("Page.setWebLifecycleState", { state: "frozen" });
    await sleep(ASLEEP_MS);
    await session.send("Page.setWebLifecycleState", { state: "active" });
  },
  "a device's clock set 2 s on": async ({ pages: [page] }) => {
    await page.evaluate(() => {
      const now = Date.now;
      Date.now = () => now.call(Date) + 2_000;
    });
  },
  "the network away and back": async ({ links, pages }) => {
    for (const link of links) link.breakAll();
    return inStep(pages, performance.now());
  },
  "the server killed and started": async ({ server, pages }) => {
    await server.kill();
    await server.start("serve");
    return inStep(pages, performance.now());
  },
};

function hidden(page, is) {
  return page.evaluate((is) => {
    if (is) {
      window.frame = window.requestAnimationFrame;
      window.requestAnimationFrame = (act) => (window.waits = act) && 0;
      Object.defineProperty(document, "visibilityState", { get: () => "hidden", configurable: true });
    } else {
      delete document.visibilityState;
      window.requestAnimationFrame = window.frame;
      if (window.waits) requestAnimationFrame(window.waits);
    }
    document.dispatchEvent(new Event("visibilitychange"));
  }, is);
}

/** Milliseconds from `since` until each page has the stage and an estimate of the clock on a new socket. */
async function inStep(pages, since) {
  while (pages.some(({ inStepAt }) => (inStepAt ?? 0) < since)) await sleep(20);
  return pages.map(({ inStepAt }) => inStepAt - since);
}

for (const [trouble, happens] of Object.entries(troubles)) {
  if (!wanted(trouble)) continue;
  for (const link of quick ? ["LAN"] : ["LAN", "bad home link"]) {
    const held = await Class.open();
    for (let n = 0; n < PAGES; n++) await held.join(`Person ${n}`, LINKS[link]);
    await held.start();
    clockBoundMs = Math.max(clockBoundMs, ...held.clocks.map(({ bound }) => bound));
    await sleep(1_500);
    await held.changes();
    const ms = await happens(held);
    if (ms) back.push({ trouble, link, ms });
    const changes = await held.watch(TROUBLE_MS, false);
    note(`${trouble}, ${link}`, changes);
    await noteLate(`${trouble}, ${link}`, held, changes);
    await held.close();
  }
}

// One page alone, as on its own device. First its sounds are compared with its picture. Then, on a processor as slow
// as an old tablet's, it shows what a hold costs while only the countdown changes.
const { sound, tablet } = await (async () => {
  const held = await Class.open();
  const page = await held.join("Person", LINKS.LAN);
  await held.start();
  // A drill with many cues.
  await held.desk.keyboard.press("PageDown");
  await page.getByText("Long steady hiss").waitFor();
  await held.desk.close();
  await changesOf(page, { offset: 0 });
  await sleep(WATCH_MS);
  const changes = await changesOf(page, { offset: 0 });
  const sound = soundAgainst(await page.evaluate(() => window.sounds.splice(0)), changes);
  const session = await page.context().newCDPSession(page);
  await session.send("Emulation.setCPUThrottlingRate", { rate: SLOWER });
  await session.send("Performance.enable");
  await sleep(6_000);
  const metrics = async () => Object.fromEntries((await session.send("Performance.getMetrics")).metrics.map(({ name, value }) => [name, value]));
  const before = await metrics();
  await sleep(TROUBLE_MS);
  const after = await metrics();
  const seconds = after.Timestamp - before.Timestamp;
  const rate = (name) => (after[name] - before[name]) / seconds;
  await held.close();
  return { sound, tablet: { core: rate("TaskDuration"), layouts: rate("LayoutCount"), styles: rate("RecalcStyleCount") } };
})();

console.log("\nChanges made more than two frames apart, explained by what the last page had heard:\n");
console.log("| scene | change | apart ms | cause | told after the first page made it, ms | clock off, first and last, ms | longest task, ms |\n| --- | --- | --- | --- | --- | --- | --- |");
for (const { scene, shown, apartMs, cause, early, late: last } of late) {
  const figures = [round(last.toldMs), `${round(early.clockOffMs)} and ${round(last.clockOffMs)}`, round(last.busyMs)];
  console.log(`| ${scene} | ${shown.replaceAll("|", ", ")} | ${round(apartMs)} | ${cause} | ${figures.join(" | ")} |`);
}

const heard = percentiles(sound.map(Math.abs));
for (const { trouble, link, ms } of back) console.log(`\nIn step again, ${trouble}, ${link}: ${ms.map(round).join(", ")} ms.`);
console.log(`\nEach page's clock is known to within ${round(clockBoundMs)} ms.`);
// A short run may contain no change of a cue.
console.log(`Sound minus picture, ${heard.n} cues: p50 ${round(heard.p50)}, p95 ${round(heard.p95)}, p99 ${round(heard.p99)}, most ${round(heard.max)} ms.`);

console.log(`A page on a processor ${SLOWER} times slower, in a hold: ${(tablet.core * 100).toFixed(1)} % of its main thread, ${tablet.layouts.toFixed(1)} layouts a second.`);

await mkdir(OUT, { recursive: true });
await writeFile(new URL("sync.json", OUT), JSON.stringify({ quick, pages: PAGES, rows, late, sound: heard, tablet, back, clockBoundMs }, null, 2));
await writeFile(new URL("sync.svg", OUT), plot(rows));
