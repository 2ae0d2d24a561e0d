import { expect, test } from "vitest";
import { cameraOf, drawingOf } from "./drawing";
import { eased } from "./ease";
import { mix, morph } from "./numbers";
import { hasCloseUp, POSE_NAMES, shapeOf } from "./poses";
import { between, canEase, STILL } from "./shape";

test("a path goes into another number by number", () => {
  expect(morph("M0 10 L-4 2", "M10 0 L4 2", 0.5)).toBe("M5 5 L0 2");
  expect(mix(2, 4, 0.25)).toBe(2.5);
});

test("every shape on the way from one pose to any other is drawn with whole numbers", () => {
  for (const from of POSE_NAMES)
    for (const to of POSE_NAMES) {
      const [a, b] = [shapeOf(from, null), shapeOf(to, null)];
      if (!canEase(a, b)) continue;
      const drawn = drawingOf(between(a, b, 0.5), "x");
      expect(drawn, `${from} to ${to}`).not.toMatch(/NaN|undefined|Infinity/);
      expect(drawn.length).toBeGreaterThan(1000);
    }
});

test("easing begins and ends where it should, and never turns back", () => {
  const steps = Array.from({ length: 101 }, (_, n) => eased(n / 100));
  expect([steps[0], steps[50], steps[100]]).toEqual([0, 0.5, 1]);
  expect(steps.every((step, n) => n === 0 || step >= (steps[n - 1] ?? 0))).toBe(true);
});

test("a rest shows a person at rest, whatever the drill's pose is", () => {
  for (const name of POSE_NAMES) {
    const rest = shapeOf(name, "rest");
    expect({ ...rest, eyes: 1, view: "front" }).toEqual(STILL);
    expect(rest.view === "lying").toBe(name.startsWith("lying"));
  }
});

test("a breath in is seen from the side, with air that comes in; in the hold no air moves in", () => {
  expect(shapeOf("mouth-ah", "breathe_in")).toMatchObject({ view: "side", air: 1, hand: "belly" });
  expect(shapeOf("hand-belly", "hold").air).toBe(0);
  expect(shapeOf("breath-out", "hold").air).toBe(-1);
});

test("mouths are shown large, and the camera of each view is its own", () => {
  expect(POSE_NAMES.filter(hasCloseUp)).toHaveLength(10);
  const cameras = (["front", "side", "lying", "mouth"] as const).map((view) => cameraOf({ ...STILL, view }));
  expect(new Set(cameras).size).toBe(4);
});
