import { createRawSnippet } from "svelte";
import { expect, test, vi } from "vitest";
import { render } from "vitest-browser-svelte";
import { page } from "vitest/browser";
import "../css/base.css";
import "../css/class.css";
import { clockOf, on } from "../player";
import type { Scene } from "../state/session.svelte";
import type { Content, Phase, Span, Stage } from "../wire/types";
import ClassStage from "./ClassStage.svelte";

const span = (start_ms: number, len_ms: number, phase: Phase, cue: string): Span => ({
  start_ms,
  len_ms,
  phase,
  cue,
  set: 1,
  rep: 1,
  side: 0,
  marks: phase === "hold" ? { floor_ms: 10_000, target_ms: 20_000 } : null,
  held_ms: 0,
});
const CONTENT: Content = {
  id: 1,
  rev: 0,
  kind: "drill",
  title: "Steady strong ah",
  purpose: null,
  caution: "Strong, not tight. Stop if your throat hurts or you cough.",
  easier: null,
  pose: "mouth-ah",
  sides: [],
  reps: 5,
  sets: 1,
  eyes_away: false,
  tap: "rests",
  swallow: false,
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
    at: { move, offsetMs, paused, resumesInMs: null },
    on: now,
    seconds: clockOf(now, offsetMs),
    resumesIn: null,
  };
}

const SIZES: [string, number, number][] = [
  ["phone", 390, 844],
  ["small phone", 360, 640],
  ["phone, lying", 844, 390],
  ["tablet", 820, 1180],
  ["old tablet", 1024, 600],
  ["laptop", 1366, 768],
  ["TV", 1920, 1080],
];

for (const [device, width, height] of SIZES)
  test(`on a ${device}, nothing has moved from a step's beginning to its end`, async () => {
    await page.viewport(width, height);
    const props = { stage: STAGE, scene: sceneAt(-3_000), clue: null, clueSeconds: null };
    const screen = await render(ClassStage, { ...props, right: key("stop") });
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
      return [box(".pic"), box(".band-place"), box(".stop"), `words ${cue?.left}`].join("\n");
    };
    const first = places();
    const moments: Partial<Parameters<typeof screen.rerender>[0]>[] = [
      { scene: sceneAt(1_000) },
      { scene: sceneAt(9_500), left: key("done") },
      { scene: sceneAt(24_500), left: undefined },
      { scene: sceneAt(40_000), ask: key("asked") },
      { scene: sceneAt(159_000), ask: undefined, person: { ownForm: "For you: do it smaller and shorter." } },
      { scene: sceneAt(163_000), person: {} },
      { scene: sceneAt(9_500, true), stage: { ...STAGE, safety_pause: 1 } },
    ];
    for (const moment of moments) {
      await screen.rerender(moment);
      expect(places()).toBe(first);
      const cue = screen.container.querySelector<HTMLElement>(".cue");
      const room = cue?.parentElement;
      expect(cue && room && cue.scrollWidth <= room.clientWidth + 1, cue?.textContent).toBe(true);
    }
    await screen.unmount();
  });

test("with each second only the number is another: the band and the figure are left alone", async () => {
  await page.viewport(820, 1180);
  const screen = await render(ClassStage, {
    stage: STAGE,
    scene: sceneAt(9_500),
    clue: null,
    clueSeconds: null,
  });
  const band = () => screen.container.querySelector(".fill")?.getAnimations()[0];
  const began = band();
  expect(began).toBeDefined();
  const frames = vi.spyOn(window, "requestAnimationFrame");
  const changed: string[] = [];
  const watch = new MutationObserver((all) =>
    changed.push(...all.map(({ target }) => target.textContent ?? "")),
  );
  watch.observe(screen.container, { subtree: true, childList: true, characterData: true, attributes: true });
  await screen.rerender({ scene: sceneAt(10_500) });
  await screen.rerender({ scene: sceneAt(11_500) });
  changed.push(...watch.takeRecords().map(({ target }) => target.textContent ?? ""));
  watch.disconnect();
  expect(changed).toEqual(["7", "8"]);
  expect(frames).not.toHaveBeenCalled();
  expect(band()).toBe(began);
  frames.mockRestore();
});

test("zoomed in to 400 %, cue, number and stop are there without scrolling", async () => {
  await page.viewport(320, 256);
  const props = { stage: STAGE, scene: sceneAt(9_500), clue: null, clueSeconds: null };
  const screen = await render(ClassStage, { ...props, right: key("stop") });
  screen.container.style.cssText = "position: fixed; inset: 0; height: 256px";
  for (const of of [".cue", ".seconds", ".band-place", ".stop"]) {
    const box = screen.container.querySelector(of)?.getBoundingClientRect();
    expect(box && box.left >= 0 && box.right <= 320 && box.top >= 0 && box.bottom <= 256, of).toBe(true);
    expect((box?.width ?? 0) * (box?.height ?? 0), of).toBeGreaterThan(0);
  }
});

test("a number ends at the same edge with one digit, with two and in minutes", async () => {
  await page.viewport(820, 1180);
  const props = { stage: STAGE, clue: null, clueSeconds: null, scene: sceneAt(4_500) };
  const screen = await render(ClassStage, props);
  const edges = new Set<number>();
  for (const offsetMs of [4_500, 13_500, 30_000]) {
    await screen.rerender({ scene: sceneAt(offsetMs) });
    edges.add(Math.round(screen.container.querySelector(".seconds")?.getBoundingClientRect().right ?? 0));
  }
  expect(edges.size).toBe(1);
});
