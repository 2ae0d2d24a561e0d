// Every screen in its main states, on every size and in every theme: looked at by rules here, and written
// to tests/shots/gallery/index.html for people to leaf through. Sizes and gaps of targets, the size of the
// cue, nothing that scrolls or is cut off in a drill, and contrast at AAA (7:1) by axe-core.

import assert from "node:assert/strict";
import { mkdir, rm, writeFile } from "node:fs/promises";
import axe from "axe-core";
import { after, before, test as nodeTest } from "node:test";
import { House, goTo, key, sayName, shows } from "./people.mjs";

const test = (name, act) => nodeTest(name, { timeout: 300_000 }, act);
const FOLDER = new URL("../shots/gallery/", import.meta.url);

const SIZES = {
  phone: { width: 390, height: 844 },
  "phone, lying": { width: 844, height: 390 },
  tablet: { width: 820, height: 1180 },
  laptop: { width: 1366, height: 768 },
  TV: { width: 1920, height: 1080 },
};
const THEMES = {
  light: { colorScheme: "light", contrast: "no-preference" },
  dark: { colorScheme: "dark", contrast: "no-preference" },
  "more contrast": { colorScheme: "light", contrast: "more" },
};
/** 14 mm on a phone of 160 px an inch (Nunes et al. 2016: taps of 14 mm; arithmetic). */
const TARGET = 88;
const GAP = 32;
/** Comfortable at 1.5 m on a tablet of 132 px an inch (arithmetic from the height of 20/40 letters). */
const CUE = 81;

let house, desk, ann, wall;
const shots = [];

before(async () => {
  await rm(FOLDER, { recursive: true, force: true });
  await mkdir(FOLDER, { recursive: true });
  house = await House.open("serve", "--plan", new URL("gallery-plan.toml", import.meta.url).pathname);
  desk = await house.desk({ width: 1440, height: 900 });
  await desk.getByRole("button", { name: "Let people in" }).click();
});

after(async () => {
  await writeFile(new URL("index.html", FOLDER), album(shots));
  await house.close();
});

/** One page of all pictures, by screen and state. */
function album(all) {
  const states = [...new Set(all.map((shot) => shot.state))];
  const row = (state) =>
    `<h2>${state}</h2><div>${all
      .filter((shot) => shot.state === state)
      .map(({ file, size, theme }) => `<figure><img loading="lazy" src="${file}"><figcaption>${size}, ${theme}</figcaption></figure>`)
      .join("")}</div>`;
  return `<!doctype html><meta charset="utf-8"><title>Gallery</title><style>body{font:16px sans-serif;background:#888}div{display:flex;flex-wrap:wrap;gap:16px;align-items:start}figure{margin:0}img{max-height:420px;max-width:640px;display:block}</style>${states.map(row).join("")}`;
}

/** Photographs a state on every size and in every theme, and looks at each. */
async function gallery(page, state, sizes, look = async () => undefined) {
  for (const [size, viewport] of Object.entries(sizes)) {
    await page.setViewportSize(viewport);
    for (const [theme, media] of Object.entries(THEMES)) {
      await page.emulateMedia(media);
      const file = `${state}-${size}-${theme}.png`.replace(/[^\w.-]+/g, "_");
      await page.screenshot({ path: new URL(file, FOLDER).pathname });
      shots.push({ state, size, theme, file });
    }
    await page.emulateMedia(THEMES.light);
    await look(size, viewport);
  }
}

/** What is wrong with the page as it stands, measured in it. */
function measured(page, { target, gap }) {
  return page.evaluate(
    ({ target, gap }) => {
      const wrong = [];
      const box = (element) => element.getBoundingClientRect();
      const shown = (element) => element.checkVisibility() && box(element).width > 1;
      const name = (element) => element.textContent.trim().slice(0, 30);
      const root = document.documentElement;
      if (root.scrollHeight > innerHeight + 1) wrong.push(`scrolls: ${root.scrollHeight} > ${innerHeight}`);
      if (root.scrollWidth > innerWidth + 1) wrong.push(`scrolls sideways: ${root.scrollWidth} > ${innerWidth}`);
      const keys = [...document.querySelectorAll("nav button")].filter(shown);
      for (const key of keys) {
        const { width, height, left, top, right, bottom } = box(key);
        if (width < target || height < target) wrong.push(`${name(key)} is ${width} x ${height}`);
        if (left < 0 || top < 0 || right > innerWidth + 1 || bottom > innerHeight + 1) wrong.push(`${name(key)} is cut off`);
        for (const other of keys.filter((one) => one !== key)) {
          const b = box(other);
          const apart = Math.max(b.left - right, left - b.right, b.top - bottom, top - b.bottom);
          if (apart < gap - 0.5) wrong.push(`${name(key)} and ${name(other)} are ${apart} apart`);
        }
      }
      const nav = document.querySelector("nav");
      const floor = nav ? box(nav).top : innerHeight;
      for (const words of [...document.querySelectorAll(".cue, .seconds, .side, .next, .caution, .own, h1")].filter(shown)) {
        const { left, right, top, bottom } = box(words);
        if (left < -1 || right > innerWidth + 1 || top < -1 || bottom > floor + 1) wrong.push(`"${name(words)}" is cut off`);
      }
      // What a box with hidden overflow cuts off.
      for (const words of [...document.querySelectorAll(".words")].filter(shown)) {
        if (words.scrollHeight > words.clientHeight + 2) wrong.push(`the words need ${words.scrollHeight} of ${words.clientHeight}`);
      }
      const cue = document.querySelector(".cue");
      return { wrong, cue: cue ? parseFloat(getComputedStyle(cue).fontSize) : null };
    },
    { target, gap },
  );
}

/** The rules of a screen in a drill. */
async function inDrill(page, size, big = true) {
  const { wrong, cue } = await measured(page, { target: TARGET, gap: GAP });
  assert.deepEqual(wrong, [], size);
  console.log(`# ${size}: the cue has ${Math.round(cue)} px`);
  if (big && (size === "tablet" || size === "laptop" || size === "TV")) assert.ok(cue >= CUE, `${size}: a cue of ${cue} px`);
}

/** Contrast at AAA, and everything of A and AA, in every theme. */
async function accessible(page, state, level = "AAA") {
  await page.evaluate(axe.source);
  for (const [theme, media] of Object.entries(THEMES)) {
    await page.emulateMedia(media);
    const { violations, passes } = await page.evaluate((level) => {
      const rules = level === "AAA" ? { "color-contrast-enhanced": { enabled: true } } : {};
      return window.axe.run({ runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", ...(level === "AAA" ? ["wcag2aaa"] : [])], rules });
    }, level);
    assert.ok(passes.length > 3, "it looked at the page");
    assert.deepEqual(violations.map((v) => `${v.id}: ${v.nodes.map((n) => n.target).join(", ")}`), [], `${state}, ${theme}`);
  }
  await page.emulateMedia(THEMES.light);
}

test("joining, checking in, waiting and choosing", async () => {
  ann = await house.stranger("Ann");
  await ann.getByText("Before we begin").waitFor();
  await gallery(ann, "check-in", SIZES);
  await accessible(ann, "check-in");
  await ann.getByRole("button", { name: "I am ready" }).click();
  await shows(ann, "You are in. The class begins soon.");
  await gallery(ann, "waiting", SIZES, async (size) => assert.deepEqual((await measured(ann, { target: TARGET, gap: GAP })).wrong, [], size));
  await accessible(ann, "waiting");
  await ann.getByRole("button", { name: "My screen" }).click();
  await ann.getByRole("heading", { name: "My screen" }).waitFor();
  await gallery(ann, "my screen", SIZES);
  await accessible(ann, "my screen");
  await ann.getByRole("button", { name: "Back to class" }).click();
  const join = await ann.context().browser().newPage({ viewport: SIZES.phone });
  await join.goto(new URL("/", ann.url()).href);
  await gallery(join, "join", SIZES);
  await accessible(join, "join");
  await join.getByRole("button", { name: "Español" }).click();
  await shows(join, "Entre a su clase");
  assert.equal(await join.evaluate(() => document.documentElement.lang), "es");
  await gallery(join, "join in Spanish", { phone: SIZES.phone });
  await join.getByRole("button", { name: "English" }).click();
  await join.getByLabel("Class code").fill("ZZZZ-ZZZZ");
  await join.getByLabel("Your first name").fill("Ann");
  await join.getByRole("button", { name: "Join the class" }).click();
  await join.getByRole("alert").waitFor();
  await gallery(join, "wrong code", { phone: SIZES.phone, tablet: SIZES.tablet });
  await accessible(join, "wrong code");
  await join.close();
});

test("the class screen and the wall in a talk, ready, a hold, a rest, a pause", async () => {
  wall = await house.wall();
  await key(desk, "s");
  await sayName(desk, "Ines");
  await desk.getByRole("button", { name: "Begin the class" }).click();
  await shows(ann, "Welcome to all of you");
  await gallery(ann, "talk", SIZES, (size) => inDrill(ann, size));
  await key(desk, "PageDown");
  await shows(ann, "Get ready");
  await gallery(ann, "get ready", { phone: SIZES.phone });
  await shows(ann, "Strong ah. Keep it full.");
  await gallery(ann, "hold", SIZES, (size) => inDrill(ann, size));
  await accessible(ann, "hold");
  await gallery(wall, "wall, hold", { laptop: SIZES.laptop, TV: SIZES.TV }, (size) => inDrill(wall, size));
  await accessible(wall, "wall");
  await desk.getByRole("button", { name: "Pause", exact: true }).or(desk.getByRole("button", { name: /^Pause/ })).first().click();
  await shows(ann, "Pause. Rest and breathe.");
  await gallery(ann, "paused", SIZES, (size) => inDrill(ann, size));
  await goTo(desk, "Neck in five positions");
  await shows(ann, "Hold. Keep breathing.");
  await gallery(ann, "hold with a side", SIZES, (size) => inDrill(ann, size));
});

test("right to left, wide letters, forced colours and a lost line break nothing", async () => {
  for (const size of ["phone", "tablet", "laptop"]) {
    await ann.setViewportSize(SIZES[size]);
    await ann.evaluate(() => (document.documentElement.dir = "rtl"));
    assert.deepEqual((await measured(ann, { target: TARGET, gap: GAP })).wrong, [], `right to left, ${size}`);
    await ann.evaluate(() => (document.documentElement.dir = "ltr"));
  }
  // Text spacing as in WCAG 1.4.12, on every element.
  const spaced = (on) =>
    ann.evaluate((on) => {
      for (const { style } of document.querySelectorAll("#screen *")) {
        style.letterSpacing = on ? "0.12em" : "";
        style.wordSpacing = on ? "0.16em" : "";
      }
      dispatchEvent(new Event("resize"));
    }, on);
  await ann.setViewportSize(SIZES.tablet);
  await spaced(true);
  await ann.setViewportSize({ ...SIZES.tablet, height: SIZES.tablet.height - 1 });
  const { wrong } = await measured(ann, { target: TARGET, gap: GAP });
  assert.deepEqual(wrong, [], "with wide letters");
  await spaced(false);
  await ann.emulateMedia({ forcedColors: "active" });
  await ann.screenshot({ path: new URL("hold-forced-colours.png", FOLDER).pathname });
  shots.push({ state: "forced colours", size: "tablet", theme: "forced", file: "hold-forced-colours.png" });
  await ann.emulateMedia({ forcedColors: "none" });
  await house.proxy.cut();
  await ann.getByText("No connection.", { exact: false }).waitFor();
  await gallery(ann, "no connection", SIZES, (size) => inDrill(ann, size, false));
  await house.proxy.mend();
  await ann.getByText("No connection.", { exact: false }).waitFor({ state: "detached" });
});

test("stopping and saying what hurts", async () => {
  await ann.getByRole("button", { name: "I need to stop" }).click();
  await ann.getByText("You have stopped. That is fine.").waitFor();
  await gallery(ann, "stopped", SIZES);
  await accessible(ann, "stopped");
  await ann.getByRole("button", { name: "It hurts" }).click();
  await gallery(ann, "report", SIZES);
  await accessible(ann, "report");
  await gallery(desk, "desk, report", { desk: { width: 1440, height: 900 }, "half a screen": { width: 720, height: 900 }, phone: SIZES.phone });
  await accessible(desk, "desk", "AA");
  await desk.setViewportSize({ width: 1440, height: 900 });
});

test("the word game, and a screen in Spanish in the same class", async () => {
  const ben = await house.person("Ben");
  await goTo(desk, "The toolbox");
  await desk.getByRole("button", { name: "Show the first clue" }).click();
  await ben.getByText("It bangs the nail in.").waitFor();
  await gallery(ben, "clue", SIZES);
  await accessible(ben, "clue");
  await goTo(desk, "Steady strong ah");
  await shows(ben, "Strong ah. Keep it full.");
  // Chosen on this device before; the page starts anew in the other language.
  await ben.evaluate(() => {
    for (const place of ["samebreath.choices", "samebreath.choices.Ben"]) {
      const kept = JSON.parse(localStorage.getItem(place) ?? "{}");
      localStorage.setItem(place, JSON.stringify({ ...kept, language: "es" }));
    }
  });
  await ben.reload();
  await shows(ben, "A fuerte. Siempre llena.");
  await ben.getByRole("button", { name: "Necesito parar" }).waitFor();
  await gallery(ben, "hold in Spanish", SIZES, (size) => inDrill(ben, size));
  for (const text of ["larger", "largest"]) {
    await ben.evaluate((text) => (document.documentElement.dataset.text = text), text);
    await gallery(ben, `hold, ${text} text`, { phone: SIZES.phone, tablet: SIZES.tablet }, (size) => inDrill(ben, size));
  }
  await ben.evaluate(() => (document.documentElement.dataset.text = "usual"));
  // Zoom of 200 % and 400 % on a laptop; at 400 % the page may scroll, downwards only.
  await ben.setViewportSize({ width: 683, height: 384 });
  assert.deepEqual((await measured(ben, { target: TARGET, gap: GAP })).wrong, [], "at 200 %");
  await ben.setViewportSize({ width: 320, height: 256 });
  const sideways = await ben.evaluate(() => document.documentElement.scrollWidth);
  assert.ok(sideways <= 320, `${sideways} px wide at 320 px`);
  await ben.getByRole("button", { name: "Necesito parar" }).scrollIntoViewIfNeeded();
  assert.deepEqual(ben.errors, []);
  await ben.context().close();
});

test("the end", async () => {
  await ann.getByRole("button", { name: "Go back" }).or(ann.getByRole("button", { name: "I can go on" })).first().click().catch(() => undefined);
  await desk.getByRole("button", { name: "End the class" }).click();
  await desk.getByRole("button", { name: "Yes, end it" }).click();
  await shows(wall, "The class is over. Thank you for coming. Stand up slowly.");
  await gallery(wall, "wall, end", { TV: SIZES.TV });
});

test("a browser that cannot run the page is told so", async () => {
  const context = await house.browser.newContext({ javaScriptEnabled: false, viewport: SIZES.phone });
  const page = await context.newPage();
  await page.goto(new URL("/", ann.url()).href);
  await page.getByText("This browser is too old", { exact: false }).waitFor();
  await gallery(page, "unsupported browser", { phone: SIZES.phone });
  await context.close();
});

test("nothing failed on the pages", () => {
  for (const page of [desk, ann, wall]) assert.deepEqual(page.errors, []);
});
