import { createRawSnippet } from "svelte";
import { afterEach, expect, test, vi } from "vitest";
import { render } from "vitest-browser-svelte";
import Big from "./Big.svelte";

const words = createRawSnippet(() => ({ render: () => "<span>Key</span>" }));

afterEach(() => vi.restoreAllMocks());

/** A key that comes under the finger, and a touch of it at an instant. */
async function key(onpress: () => void) {
  const screen = await render(Big, { children: words, onpress });
  const button = screen.container.querySelector("button") as HTMLButtonElement;
  const touch = (pointerType: string, detail = 1): void => {
    const { left, top } = button.getBoundingClientRect();
    const at = { bubbles: true, button: 0, clientX: left + 5, clientY: top + 5 };
    button.dispatchEvent(new PointerEvent("pointerdown", { ...at, pointerType, pointerId: 7 }));
    if (pointerType === "mouse") button.dispatchEvent(new MouseEvent("mousedown", { ...at, detail }));
    button.dispatchEvent(new PointerEvent("pointerup", { ...at, pointerType, pointerId: 7 }));
  };
  return { screen, touch };
}

test("a tremor that taps twice does not press the key that came under the finger", async () => {
  let now = 100_000;
  vi.spyOn(performance, "now").mockImplementation(() => now);
  const [first, second] = [vi.fn(), vi.fn()];
  const before = await key(first);
  now += 1_000;
  before.touch("touch");
  expect(first).toHaveBeenCalledOnce();
  before.screen.unmount();
  now += 30;
  const after = await key(second);
  now += 170;
  after.touch("touch");
  expect(second, "200 ms after the press").not.toHaveBeenCalled();
  after.touch("mouse", 2);
  expect(second, "the second of a double click").not.toHaveBeenCalled();
  now += 500;
  after.touch("touch");
  expect(second, "700 ms after the press").toHaveBeenCalledOnce();
});

test("a key that was there before hears every touch; what it makes of them is its own matter", async () => {
  let now = 200_000;
  vi.spyOn(performance, "now").mockImplementation(() => now);
  const press = vi.fn();
  const { touch } = await key(press);
  now += 1_000;
  touch("touch");
  now += 200;
  touch("touch");
  expect(press).toHaveBeenCalledTimes(2);
});

test("a mouse that clicks once presses at once", async () => {
  let now = 300_000;
  vi.spyOn(performance, "now").mockImplementation(() => now);
  const [first, second] = [vi.fn(), vi.fn()];
  const before = await key(first);
  now += 1_000;
  before.touch("mouse");
  before.screen.unmount();
  const after = await key(second);
  now += 100;
  after.touch("mouse");
  expect(second).toHaveBeenCalledOnce();
});
