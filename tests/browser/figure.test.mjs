// The figure in all its poses on one page, in the light and the dark scheme. The pictures go into the gallery.

import assert from "node:assert/strict";
import { mkdir } from "node:fs/promises";
import { createRequire } from "node:module";
import { after, before, test } from "node:test";
import { chromium } from "playwright-core";

const FOLDER = new URL("../shots/gallery/", import.meta.url);
const WEB = new URL("../../web/", import.meta.url);
let vite, browser, page;

before(async () => {
  await mkdir(FOLDER, { recursive: true });
  const { createServer } = await import(createRequire(WEB).resolve("vite"));
  vite = await createServer({ root: WEB.pathname, configFile: `${WEB.pathname}vite.config.ts`, logLevel: "error", server: { host: "127.0.0.1", port: 0, hmr: false } });
  await vite.listen();
  browser = await chromium.launch({ executablePath: "/usr/bin/chromium", args: ["--no-sandbox"] });
  page = await browser.newPage({ viewport: { width: 1400, height: 900 } });
  await page.goto(`http://127.0.0.1:${vite.httpServer.address().port}/typeface-licence.txt`);
  await page.setContent('<div id="poses" style="display:grid;grid-template-columns:repeat(7,1fr);gap:12px;font:16px sans-serif"></div>');
  await page.evaluate(async () => {
    await import("/src/lib/css/base.css");
    const { mount } = await import("/@id/svelte");
    const { default: Figure } = await import("/src/lib/components/Figure.svelte");
    const { POSE_NAMES, hasCloseUp } = await import("/src/lib/figure/poses.ts");
    for (const pose of POSE_NAMES)
      for (const closeUp of hasCloseUp(pose) ? [false, true] : [false]) {
        const target = document.createElement("figure");
        target.style.cssText = "margin: 0; aspect-ratio: 1; background: var(--plate); color: white";
        mount(Figure, { target, props: { pose, closeUp, label: `pose ${pose}` } });
        target.append(pose);
        document.getElementById("poses").append(target);
      }
    const still = document.createElement("figure");
    still.id = "moving";
    still.style.cssText = "display: none";
    document.body.append(still);
    const { createClassComponent } = await import("/@id/svelte/legacy");
    const moving = createClassComponent({ component: Figure, target: still, props: { pose: "tall", label: "moving" } });
    globalThis.show = (pose) => moving.$set({ pose });
  });
});
after(async () => {
  await browser.close();
  await vite.close();
});

test("each pose is a picture with words for it, and no two are drawn alike", async () => {
  const drawn = await page.locator("#poses svg").evaluateAll((all) => all.map((svg) => [svg.getAttribute("role"), svg.getAttribute("aria-label"), svg.innerHTML]));
  assert.ok(drawn.length >= 20, `${drawn.length} poses`);
  for (const [role, label] of drawn) assert.ok(role === "img" && label.startsWith("pose "), label);
  assert.equal(new Set(drawn.map(([, , inner]) => inner)).size, drawn.length);
  for (const colorScheme of ["light", "dark"]) {
    await page.emulateMedia({ colorScheme });
    await page.screenshot({ path: new URL(`figure-${colorScheme}.png`, FOLDER).pathname, fullPage: true });
  }
});

test("the figure moves into a pose, or is there at once for people who want less motion", async () => {
  // The widths that the mouth had on its way to the one of another pose.
  const widths = (pose, width) =>
    page.evaluate(
      ([pose, width]) =>
        new Promise((done) => {
          const lips = () => document.querySelector("#moving .lips").getAttribute("d").match(/^M(-?[\d.]+)/)[1];
          const seen = new Set([lips()]);
          const watch = new MutationObserver(() => {
            seen.add(lips());
            if (lips() !== width) return;
            watch.disconnect();
            done([...seen]);
          });
          watch.observe(document.getElementById("moving"), { childList: true, subtree: true, attributes: true });
          globalThis.show(pose);
        }),
      [pose, width],
    );
  const moved = await widths("smile", "-64");
  assert.ok(moved.length > 3, `${moved}`);
  await page.emulateMedia({ reducedMotion: "reduce" });
  assert.deepEqual(await widths("pucker", "-23"), ["-64", "-23"]);
  await page.emulateMedia({ reducedMotion: "no-preference" });
  await page.evaluate(() => (document.documentElement.dataset.motion = "less"));
  assert.deepEqual(await widths("smile", "-64"), ["-23", "-64"]);
});

test("all digits of a countdown have the same width, so that the number does not jump", async () => {
  const faces = await page.evaluate(async () => (await document.fonts.load('700 100px "Samebreath Figures"', "0123456789")).length);
  assert.ok(faces > 0, "the typeface of the digits was loaded");
  const widths = await page.evaluate(() => {
    const probe = document.createElement("span");
    probe.style.cssText = "font: 700 100px var(--font); font-variant-numeric: tabular-nums; position: absolute";
    document.body.append(probe);
    return Array.from("0123456789", (digit) => {
      probe.textContent = digit;
      return probe.getBoundingClientRect().width;
    });
  });
  assert.ok(Math.max(...widths) - Math.min(...widths) < 0.5, `${widths}`);
});
