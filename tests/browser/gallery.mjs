// Takes a picture of a screen's state in every size and theme, checks it against rules, and puts the pictures of all
// test files on one page, tests/shots/gallery/index.html, for people to look through.

import assert from "node:assert/strict";
import { mkdir, readFile, readdir, rm, writeFile } from "node:fs/promises";
import axe from "axe-core";

const FOLDER = new URL("../shots/gallery/", import.meta.url);

export const SIZES = {
  phone: { width: 390, height: 844 },
  "phone, lying": { width: 844, height: 390 },
  "half a screen": { width: 720, height: 900 },
  tablet: { width: 820, height: 1180 },
  "old tablet": { width: 1024, height: 600 },
  laptop: { width: 1366, height: 768 },
  TV: { width: 1920, height: 1080 },
};
export const THEMES = {
  light: { colorScheme: "light", contrast: "no-preference" },
  dark: { colorScheme: "dark", contrast: "no-preference" },
  "more contrast": { colorScheme: "light", contrast: "more" },
};
/** 14 mm on a phone of 160 px an inch (Nunes et al. 2016: taps of 14 mm; arithmetic). */
export const TARGET = 88;
export const GAP = 32;
/** Comfortable at 1.5 m on a tablet of 132 px an inch (arithmetic from the height of 20/40 letters). */
export const CUE = 81;

export const DESK_SIZES = {
  desk: { width: 1440, height: 900 },
  "half a screen": { width: 720, height: 900 },
  phone: SIZES.phone,
};

/** The pictures of one test file. The page with all pictures is written again after each file. */
export class Album {
  #part;
  #shots = [];

  constructor(part) {
    this.#part = part;
  }

  async open() {
    await mkdir(FOLDER, { recursive: true });
    for (const file of await readdir(FOLDER)) {
      if (file.startsWith(`${this.#part}-`)) await rm(new URL(file, FOLDER));
    }
  }

  /** Takes and checks a picture of a state in every size and theme. */
  async take(page, state, sizes, look = async () => undefined) {
    for (const [size, viewport] of Object.entries(sizes)) {
      await page.setViewportSize(viewport);
      for (const [theme, media] of Object.entries(THEMES)) {
        await page.emulateMedia(media);
        await settled(page);
        await this.one(page, state, size, theme);
      }
      await page.emulateMedia(THEMES.light);
      await settled(page);
      await look(size, viewport);
    }
  }

  /** Takes one picture of the page as it is now. */
  async one(page, state, size, theme) {
    const file = `${this.#part}-${state}-${size}-${theme}.png`.replace(/[^\w.-]+/g, "_");
    await page.screenshot({ path: new URL(file, FOLDER).pathname });
    this.#shots.push({ state, size, theme, file });
  }

  async close() {
    await writeFile(new URL(`${this.#part}-shots.json`, FOLDER), JSON.stringify(this.#shots));
    const parts = (await readdir(FOLDER)).filter((file) => file.endsWith("-shots.json")).sort();
    const all = await Promise.all(parts.map(async (file) => JSON.parse(await readFile(new URL(file, FOLDER), "utf8"))));
    await writeFile(new URL("index.html", FOLDER), onePage(all.flat()));
  }
}

/** Writes one page with all pictures, by screen and state. */
function onePage(all) {
  const states = [...new Set(all.map((shot) => shot.state))];
  const row = (state) =>
    `<h2>${state}</h2><div>${all
      .filter((shot) => shot.state === state)
      .map(({ file, size, theme }) => `<figure><img loading="lazy" src="${file}"><figcaption>${size}, ${theme}</figcaption></figure>`)
      .join("")}</div>`;
  return `<!doctype html><meta charset="utf-8"><title>Gallery</title><style>body{font:16px sans-serif;background:#888}div{display:flex;flex-wrap:wrap;gap:16px;align-items:start}figure{margin:0}img{max-height:420px;max-width:640px;display:block}</style>${states.map(row).join("")}`;
}

/** Waits until colour transitions are over. */
const settled = (page) =>
  page.evaluate(() => Promise.all(document.getAnimations().filter((one) => one instanceof CSSTransition).map((one) => one.finished.catch(() => undefined))));

/** What is wrong with the page, measured once it has been drawn at its size, because words are only fitted then. */
export function measured(page, { target, gap }) {
  return page.evaluate(
    async ({ target, gap }) => {
      const drawn = () => new Promise((go) => requestAnimationFrame(go));
      await drawn();
      await drawn();
      const wrong = [];
      const box = (element) => element.getBoundingClientRect();
      const shown = (element) => element.checkVisibility() && box(element).width > 1;
      const name = (element) => element.textContent.trim().slice(0, 30);
      const root = document.documentElement;
      if (root.scrollHeight > innerHeight + 1) wrong.push(`scrolls: ${root.scrollHeight} > ${innerHeight}`);
      if (root.scrollWidth > innerWidth + 1) wrong.push(`scrolls sideways: ${root.scrollWidth} > ${innerWidth}`);
      const keys = [...document.querySelectorAll("main button")].filter(shown);
      // The answers to one question may be nearer to each other than keys that move the class.
      const apartBy = (...two) => (two.every((key) => key.closest("nav")) ? gap : Math.min(gap, 16));
      for (const key of keys) {
        const { width, height, left, top, right, bottom } = box(key);
        if (width < target || height < target) wrong.push(`${name(key)} is ${width} x ${height}`);
        if (left < 0 || top < 0 || right > innerWidth + 1 || bottom > innerHeight + 1) wrong.push(`${name(key)} is cut off`);
        for (const other of keys.filter((one) => one !== key)) {
          const b = box(other);
          const apart = Math.max(b.left - right, left - b.right, b.top - bottom, top - b.bottom);
          if (apart < apartBy(key, other) - 0.5) wrong.push(`${name(key)} and ${name(other)} are ${apart} apart`);
        }
      }
      const nav = document.querySelector("nav");
      const floor = nav ? box(nav).top : innerHeight;
      for (const words of [...document.querySelectorAll(".cue, .seconds, .side, .next, .caution, .own, h1")].filter(shown)) {
        const { left, right, top, bottom } = box(words);
        const ends = words.closest("nav") ? innerHeight : floor;
        if (left < -1 || right > innerWidth + 1 || top < -1 || bottom > ends + 1) wrong.push(`"${name(words)}" is cut off`);
      }
      // Text that a box with hidden overflow cuts off.
      for (const box of [...document.querySelectorAll("#screen *")].filter(shown)) {
        const hides = getComputedStyle(box).overflowY === "hidden" && !box.closest(".aside, svg");
        if (hides && box.scrollHeight > box.clientHeight + 2) wrong.push(`${box.className} needs ${box.scrollHeight} of ${box.clientHeight}`);
      }
      const cue = document.querySelector(".cue");
      return { wrong, keys: keys.length, cue: cue ? parseFloat(getComputedStyle(cue).fontSize) : null };
    },
    { target, gap },
  );
}

/** The rules of a screen that asks something: nothing scrolls, keys are large and apart. */
export async function asks(page, size) {
  const { wrong, keys } = await measured(page, { target: TARGET, gap: GAP });
  assert.deepEqual(wrong, [], size);
  assert.ok(keys > 0, `${size}: there is no key to check`);
}

/** The rules of a screen in a drill. */
export async function inDrill(page, size, big = true) {
  const { wrong, cue } = await measured(page, { target: TARGET, gap: GAP });
  assert.deepEqual(wrong, [], size);
  console.log(`# ${size}: the cue has ${Math.round(cue)} px`);
  if (big && (size === "tablet" || size === "laptop" || size === "TV")) assert.ok(cue >= CUE, `${size}: a cue of ${cue} px`);
}

/** Every combination of the device's settings and the person's choice that has its own colours. */
const COLOURS = [
  ...Object.entries(THEMES).map(([theme, media]) => ({ theme, media, chosen: "usual" })),
  { theme: "dark, more contrast", media: { colorScheme: "dark", contrast: "more" }, chosen: "usual" },
  { theme: "light, more chosen", media: THEMES.light, chosen: "more" },
  { theme: "dark, more chosen", media: THEMES.dark, chosen: "more" },
];

/** WCAG 2.2, 1.4.10: at a width of 320 px nothing needs sideways scrolling, neither the page nor any part of it. */
export async function reflows(page, state) {
  const before = page.viewportSize();
  await page.setViewportSize({ width: 320, height: 640 });
  const wide = await page.evaluate(async () => {
    const drawn = () => new Promise((go) => requestAnimationFrame(go));
    await drawn();
    await drawn();
    const scrolls = (box) => box.scrollWidth > box.clientWidth + 1 && /auto|scroll/.test(getComputedStyle(box).overflowX);
    // A table of data needs two dimensions and may scroll by itself (WCAG 2.2, 1.4.10); by the keyboard too.
    const isTable = (box) => box.matches('[role="region"][tabindex="0"]:has(> table)');
    const parts = [...document.querySelectorAll("#screen *")].filter((box) => box.checkVisibility() && scrolls(box) && !isTable(box));
    const outside = [...document.querySelectorAll("#screen :is(button, input, select, summary, p, h1, h2, a)")].filter((one) => {
      const { width, left, right } = one.getBoundingClientRect();
      return !one.closest("table") && one.checkVisibility() && width > 1 && (left < -1 || right > innerWidth + 1);
    });
    const root = document.documentElement;
    return [
      ...(root.scrollWidth > 320 ? [`the page: ${root.scrollWidth}`] : []),
      ...parts.map((box) => `${box.tagName} ${box.className}: ${box.scrollWidth} of ${box.clientWidth}`),
      ...outside.map((one) => `"${one.textContent.trim().slice(0, 30)}" goes over the edge`),
    ];
  });
  assert.deepEqual(wide, [], `${state}, 320 px wide`);
  await page.setViewportSize(before);
}

/** Checks contrast at AAA and all rules of A and AA in every theme, and that the page reflows. */
export async function accessible(page, state, level = "AAA") {
  await page.evaluate(axe.source);
  const before = await page.evaluate(() => document.documentElement.dataset.contrast);
  for (const { theme, media, chosen } of COLOURS) {
    await page.emulateMedia(media);
    await page.evaluate((chosen) => (document.documentElement.dataset.contrast = chosen), chosen);
    await settled(page);
    const { violations, passes } = await page.evaluate((level) => {
      const rules = { "page-has-heading-one": { enabled: true }, ...(level === "AAA" ? { "color-contrast-enhanced": { enabled: true } } : {}) };
      return window.axe.run({ runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", ...(level === "AAA" ? ["wcag2aaa"] : [])], rules });
    }, level);
    assert.ok(passes.length > 3, "axe-core checked the page");
    assert.deepEqual(violations.map((v) => `${v.id}: ${v.nodes.map((n) => n.target).join(", ")}`), [], `${state}, ${theme}`);
  }
  await page.evaluate((before) => (document.documentElement.dataset.contrast = before), before);
  await page.emulateMedia(THEMES.light);
  await reflows(page, state);
}
