import { expect, test } from "vitest";
import { render } from "vitest-browser-svelte";
import { drawingOf } from "../figure/drawing";
import { place } from "../figure/place";
import { POSE_NAMES, shapeOf } from "../figure/poses";
import Figure from "./Figure.svelte";

/** The drawing as the browser's own reader of SVG understands it. */
function read(drawing: string): string {
  const root = document.createElementNS("http://www.w3.org/2000/svg", "svg");
  root.innerHTML = drawing;
  return plain(root);
}

function plain(element: Element): string {
  const attributes = [...element.attributes].map(({ name, value }) => `${name}=${value}`).toSorted();
  return `${element.tagName}(${attributes.join(",")})[${[...element.children].map(plain).join("")}]`;
}

test("every drawing is placed as the browser itself would read it, after any other", () => {
  const root = document.createElementNS("http://www.w3.org/2000/svg", "svg");
  for (const name of [...POSE_NAMES, ...POSE_NAMES.toReversed()]) {
    const drawing = drawingOf(shapeOf(name, null), "a");
    place(root, drawing);
    expect(plain(root), name).toBe(read(drawing));
  }
});

test("a picture beside one with words is left out by screen readers", async () => {
  const screen = await render(Figure, { pose: "smile", label: "Wide smile" });
  const svg = () => screen.container.querySelector("svg");
  expect([svg()?.getAttribute("role"), svg()?.getAttribute("aria-label")]).toEqual(["img", "Wide smile"]);
  await screen.rerender({ label: "", closeUp: true });
  expect([svg()?.getAttribute("role"), svg()?.getAttribute("aria-hidden")]).toEqual([null, "true"]);
});
