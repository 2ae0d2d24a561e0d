// The picture of a shape, as the text of an SVG. Colours come from classes, never from here.

import { front } from "./front";
import { closeUp } from "./mouth";
import { f } from "./numbers";
import type { Shape } from "./shape";
import { side } from "./side";

/** What part of the drawing is seen: left, top, width and height. */
export function cameraOf({ view, hand }: Shape): string {
  if (view === "mouth") return "-112 -92 224 200";
  if (view === "lying") return "20 -330 520 330";
  if (view === "front") return "10 22 380 380";
  return hand === "belly" ? "30 40 480 480" : "40 22 400 400";
}

/** The parts inside the SVG. `id` is unique on the page. */
export function drawingOf(shape: Shape, id: string): string {
  switch (shape.view) {
    case "mouth":
      return closeUp(shape, id);
    case "front":
      return front(shape, id);
    case "side":
      return side(shape);
    case "lying":
      // Sitting upright and looking to the right, laid back by a quarter turn: on the back, head to the left.
      return `<path class="mat" d="M0 -84 H560 V0 H0 Z"/><g transform="rotate(-90)">${side(shape)}</g>${lifted(shape)}`;
  }
}

/** That the head is up, and nothing else. */
function lifted({ pitch }: Shape): string {
  if (pitch <= 0) return "";
  const way = '<path class="way" d="M46 -98 V-172 M30 -154 L46 -174 L62 -154"/>';
  return `<g class="fig-guide" opacity="${f(Math.min(1, pitch / 30))}">${way}</g>`;
}
