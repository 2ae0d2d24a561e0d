import { createRawSnippet } from "svelte";
import { expect, test, vi } from "vitest";
import { render } from "vitest-browser-svelte";
import { page } from "vitest/browser";
import "../css/base.css";
import "../css/class.css";
import { CONTENT as DRILL, span } from "../desk/examples";
import { clockOf, on } from "../player";
import { shown, type Person } from "../shown";
import type { Scene } from "../player";
import type { Content, Stage } from "../wire/types";
import ClassStage from "./ClassStage.svelte";
import { overlaps } from "./overlaps";
import FootBar from "./FootBar.svelte";

const CONTENT: Content = {
  ...DRILL,
  id: 1,
  timeline: {
    ready_ms: 5_000,
    spans: [
      span(0, 3_000, "breathe_in", "One big breath in."),
      span(3_000, 25_000, "hold", "Strong ah. Keep it full."),
      span(28_000, 130_000, "rest", "Breathe easily."),
      span(158_000, 5_000, "voice", "A long cue that needs room: say the whole of it, slowly, and strong."),
    ],
    total_ms: 163_000,
  },
};
const STAGE = { number: 2, of: 9, lead_lost: false, safety_pause: null } as unknown as Stage;
const key = (name: string) =>
  createRawSnippet(() => ({ render: () => `<button class="${name}">${name}</button>` }));

function sceneAt(offsetMs: number, paused = false): Scene {
  const now = on(CONTENT.timeline, offsetMs);
  const move = { at: 0, step: 1, rev: 0, offset_ms: 0, running: !paused, stretch: [] };
  return {
    content: CONTENT,
    timeline: CONTENT.timeline,
    way: "",
    at: { move, offsetMs, paused, resumesInMs: null },
    on: now,
    seconds: clockOf(now, offsetMs),
    resumesIn: null,
  };
}

/** The stage at a position in its step. */
function stageAt(offsetMs: number, of: { paused?: boolean; safety?: boolean; person?: Person } = {}) {
  const stage = { ...STAGE, safety_pause: of.safety ? 1 : null };
  const scene = sceneAt(offsetMs, of.paused);
  return { s: shown(stage, scene, null, null, of.person) };
}

const SIZES: [string, number, number][] = [
  ["phone", 390, 844],
  ["small phone", 360, 640],
  ["phone, lying", 844, 390],
  ["half a screen", 720, 900],
  ["half a small laptop", 683, 700],
  ["tablet", 820, 1180],
  ["old tablet", 1024, 600],
  ["laptop", 1366, 768],
  ["TV", 1920, 1080],
];

for (const [device, width, height] of SIZES)
  test(`on a ${device}, nothing has moved from a step's beginning to its end`, async () => {
    await page.viewport(width, height);
    const screen = await render(ClassStage, stageAt(-3_000));
    screen.container.style.cssText = `position: fixed; inset: 0; height: ${height}px`;
    const places = (): string => {
      const box = (of: string): string => {
        const { left, top, right, bottom } =
          screen.container.querySelector(of)?.getBoundingClientRect() ?? {};
        return [of, left, top, right, bottom]
          .map((n) => (typeof n === "number" ? Math.round(n) : n))
          .join(" ");
      };
      const cue = screen.container.querySelector(".words")?.getBoundingClientRect();
      return [box(".pic"), box(".band-place"), `words ${cue?.left}`].join("\n");
    };
    const first = places();
    const moments: Partial<Parameters<typeof screen.rerender>[0]>[] = [
      stageAt(1_000),
      stageAt(9_500),
      stageAt(24_500),
      { ...stageAt(40_000), ask: key("asked") },
      { ...stageAt(159_000, { person: { ownForm: "For you: do it smaller and shorter." } }), ask: undefined },
      stageAt(163_000),
      stageAt(9_500, { paused: true, safety: true }),
    ];
    for (const moment of moments) {
      await screen.rerender(moment);
      expect(places()).toBe(first);
      const cue = screen.container.querySelector<HTMLElement>(".cue");
      const room = cue?.parentElement;
      expect(cue && room && cue.scrollWidth <= room.clientWidth + 1, cue?.textContent).toBe(true);
      expect(overlaps()).toEqual([]);
    }
    await screen.unmount();
  });

test("with each second only the number is another: the band and the figure are left alone", async () => {
  await page.viewport(820, 1180);
  const screen = await render(ClassStage, stageAt(9_500));
  const band = () => screen.container.querySelector(".fill")?.getAnimations()[0];
  const began = band();
  expect(began).toBeDefined();
  const frames = vi.spyOn(window, "requestAnimationFrame");
  const changed: string[] = [];
  const watch = new MutationObserver((all) =>
    changed.push(...all.map(({ target }) => target.textContent ?? "")),
  );
  watch.observe(screen.container, { subtree: true, childList: true, characterData: true, attributes: true });
  await screen.rerender(stageAt(10_500));
  await screen.rerender(stageAt(11_500));
  changed.push(...watch.takeRecords().map(({ target }) => target.textContent ?? ""));
  watch.disconnect();
  expect(changed).toEqual(["7", "8"]);
  expect(frames).not.toHaveBeenCalled();
  expect(band()).toBe(began);
  frames.mockRestore();
});

test("zoomed in to 400 %, cue, number and stop are there without scrolling", async () => {
  await page.viewport(320, 256);
  const screen = await render(ClassStage, stageAt(9_500));
  screen.container.style.cssText = "position: fixed; inset: 0; height: calc(256px - var(--bar-h))";
  const foot = await render(FootBar, { right: key("stop") });
  foot.container.style.cssText = "position: fixed; inset: auto 0 0";
  for (const of of [".cue", ".seconds", ".band-place"]) {
    const box = screen.container.querySelector(of)?.getBoundingClientRect();
    expect(box && box.left >= 0 && box.right <= 320 && box.top >= 0 && box.bottom <= 256, of).toBe(true);
    expect((box?.width ?? 0) * (box?.height ?? 0), of).toBeGreaterThan(0);
  }
  const stop = foot.container.querySelector(".stop")?.getBoundingClientRect();
  expect(stop && stop.left >= 0 && stop.right <= 320 && stop.top >= 186 && stop.bottom <= 256).toBe(true);
});

test("a number ends at the same edge with one digit, with two and in minutes", async () => {
  await page.viewport(820, 1180);
  const screen = await render(ClassStage, stageAt(4_500));
  const edges = new Set<number>();
  for (const offsetMs of [4_500, 13_500, 30_000]) {
    await screen.rerender(stageAt(offsetMs));
    edges.add(Math.round(screen.container.querySelector(".seconds")?.getBoundingClientRect().right ?? 0));
  }
  expect(edges.size).toBe(1);
});

for (const [device, width, height] of SIZES)
  test(`on a ${device}, the stop key has not moved for what comes and goes beside it`, async () => {
    await page.viewport(width, height);
    const screen = await render(FootBar, { right: key("stop") });
    screen.container.style.cssText = "position: fixed; inset: auto 0 0";
    const place = (): string => {
      const { left, top, right, bottom } =
        screen.container.querySelector(".stop")?.getBoundingClientRect() ?? {};
      return [left, top, right, bottom].join(" ");
    };
    const first = place();
    await screen.rerender({ left: key("done") });
    expect(place()).toBe(first);
    const long = createRawSnippet(() => ({ render: () => `<p>${"Strong, not tight. ".repeat(20)}</p>` }));
    await screen.rerender({ words: long, left: undefined });
    expect(place()).toBe(first);
    await screen.unmount();
  });
