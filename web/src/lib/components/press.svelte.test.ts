// Every key of a participant's page hears a finger that slides: there is one component for keys, and this is what it does.

import { createRawSnippet } from "svelte";
import { expect, test, vi } from "vitest";
import { render } from "vitest-browser-svelte";
import { page } from "vitest/browser";
import "../css/base.css";
import { pressed } from "../press";
import Big from "./Big.svelte";

const SOURCES = import.meta.glob<string>(["./*.svelte", "../../screens/Class.svelte"], {
  query: "?raw",
  import: "default",
  eager: true,
});

/** A tremor of this many px was named when the screens were drawn. */
const SLIDE_PX = 30;
const WAYS = [0, 45, 90, 135, 180, 225, 270, 315].map((degrees) => (degrees * Math.PI) / 180);

test("no page of a participant has a button of another kind, or a link that misses a slide", () => {
  expect(Object.keys(SOURCES).length).toBeGreaterThan(20);
  for (const [file, source] of Object.entries(SOURCES)) {
    if (file === "./Big.svelte") continue;
    expect(source, file).not.toMatch(/<button/);
    for (const link of source.match(/<a\b[^>]*>/g) ?? []) expect(link, file).toContain("use:pressed");
  }
});

const words = createRawSnippet(() => ({ render: () => "<span>Key</span>" }));

/** A finger that comes down at a point of `on` and lifts `dx`, `dy` px away, wherever that is. */
function slide(on: Element, dx: number, dy: number): void {
  const { left, top, width, height } = on.getBoundingClientRect();
  const [x, y] = [left + width / 2, top + height / 2];
  const touch = { bubbles: true, button: 0, pointerType: "touch", pointerId: 3 };
  const down = { ...touch, clientX: x, clientY: y };
  const up = { ...touch, clientX: x + dx, clientY: y + dy };
  on.dispatchEvent(new PointerEvent("pointerdown", down));
  (document.elementFromPoint(up.clientX, up.clientY) ?? document).dispatchEvent(
    new PointerEvent("pointerup", up),
  );
}

let now = 100_000;
vi.spyOn(performance, "now").mockImplementation(() => now);
/** What comes under a finger is deaf for a moment. */
const farFromTheLastPress = () => (now += 1_000);

test("a slide of 30 px presses the key that it began on, whichever way it goes, and no neighbour", async () => {
  await page.viewport(390, 844);
  const keys = Array.from({ length: 9 }, () => vi.fn());
  for (const onpress of keys) {
    const { container } = await render(Big, { children: words, onpress });
    // Nearer than any page puts them, so that a slide ends on a neighbour.
    container.style.cssText = "display: inline-block; width: 88px; margin: 1px";
  }
  farFromTheLastPress();
  const buttons = [...document.querySelectorAll("button")];
  expect(buttons).toHaveLength(9);
  for (const button of buttons)
    for (const way of WAYS) slide(button, SLIDE_PX * Math.cos(way), SLIDE_PX * Math.sin(way));
  expect(keys.map((key) => key.mock.calls.length)).toEqual(keys.map(() => WAYS.length));
});

test("a link is followed once by a slide, and by the keyboard as any link", () => {
  const link = document.createElement("a");
  link.href = "#there";
  link.textContent = "Call";
  document.body.append(link);
  const follow = vi.fn();
  const { destroy } = pressed(link, follow);
  farFromTheLastPress();
  slide(link, SLIDE_PX, SLIDE_PX);
  slide(link, 0, 0);
  const byFinger = new MouseEvent("click", { bubbles: true, cancelable: true, detail: 1 });
  link.dispatchEvent(byFinger);
  const byKey = new MouseEvent("click", { bubbles: true, cancelable: true, detail: 0 });
  link.dispatchEvent(byKey);
  expect(follow).toHaveBeenCalledTimes(2);
  expect([byFinger.defaultPrevented, byKey.defaultPrevented]).toEqual([true, false]);
  destroy();
  link.remove();
});
