// The poses that drills name, and what a phase makes of them.

import type { Phase } from "../wire/types";
import { STILL, type Shape } from "./shape";

type Change = Partial<Shape>;

const MOUTH = {
  ah: { w: 38, open: 38, corner: 0, lip: 9, teeth: 0.5 },
  ee: { w: 60, open: 15, corner: 2, lip: 7, teeth: 2 },
  pucker: { w: 23, open: 5, corner: 0, lip: 15, forward: 1 },
  smile: { w: 64, open: 4, corner: -20, lip: 8, teeth: 1 },
  tongue: { w: 44, open: 12, corner: 0, lip: 10, teeth: 1, tongue: 1 },
  raised: { w: 42, open: 26, corner: 0, lip: 9, teeth: 0.6, rise: 1 },
  seal: { w: 44, press: 1, corner: 0, lip: 5 },
  blow: { w: 22, open: 7, corner: 0, lip: 11, forward: 0.5 },
  talk: { w: 42, open: 20, corner: -2, lip: 9, teeth: 0.7 },
} satisfies Record<string, Change>;

const BREATH_IN: Change = { view: "side", breath: 1, air: 1, hand: "belly" };
const BREATH_OUT: Change = { view: "side", air: -1, hand: "belly", ...MOUTH.blow };

const POSES: Record<string, Change> = {
  tall: {},
  "shoulders-up": { lift: 1 },
  "hand-belly": BREATH_IN,
  "breath-out": BREATH_OUT,
  "mouth-ah": { ...MOUTH.ah, brow: 0.3, air: -1 },
  "jaw-open": MOUTH.ah,
  "mouth-ee": MOUTH.ee,
  "tongue-hold": { ...MOUTH.tongue, eyes: 0.8 },
  "hand-throat": { hand: "throat", press: 0.4, eyes: 0.75 },
  "turn-right": { turn: 1 },
  "turn-left": { turn: -1 },
  "tilt-right": { tilt: 21 },
  "tilt-left": { tilt: -21 },
  nod: { view: "side", pitch: 32, eyes: 0.6 },
  pucker: MOUTH.pucker,
  smile: { ...MOUTH.smile, eyes: 0.5, brow: 0.2 },
  cough: { view: "side", air: -2, open: 24, eyes: 0.35, pitch: 6 },
  "tongue-up": MOUTH.raised,
  "tongue-left": { ...MOUTH.tongue, aside: -1 },
  "tongue-right": { ...MOUTH.tongue, aside: 1 },
  "chin-back": { view: "side", back: 1 },
  "lips-closed": MOUTH.seal,
  cheeks: { ...MOUTH.seal, puff: 1, brow: 0.3 },
  lying: { view: "lying" },
  "lying-up": { view: "lying", pitch: 30 },
  talk: { ...MOUTH.talk, air: -1 },
  surprised: { ...MOUTH.talk, w: 28, open: 26, teeth: 0.3, brow: 1, eyes: 1.4 },
  cross: { ...MOUTH.seal, corner: 8, brow: -1, eyes: 0.7 },
  sleepy: { corner: 2, brow: -0.3, eyes: 0.1 },
  sad: { corner: 12, brow: 0.6, eyes: 0.6 },
  puzzled: { tilt: 9, w: 32, corner: 3, brow: 0.9, eyes: 0.9 },
};

/** All names, for the page that shows every pose. */
export const POSE_NAMES = Object.keys(POSES);

const WITH_CLOSE_UP = new Set(
  "mouth-ah jaw-open mouth-ee tongue-hold pucker smile tongue-up tongue-left tongue-right lips-closed".split(
    " ",
  ),
);

/** Whether the mouth is what matters in a pose, so that it is shown a second time, as large as it goes. */
export function hasCloseUp(name: string): boolean {
  return WITH_CLOSE_UP.has(name);
}

/**
 * The figure's shape for a pose in a phase. Without a phase it is the pose itself, as the page of all poses shows it.
 * An unknown name sits still.
 */
export function shapeOf(name: string, phase: Phase | null): Shape {
  const pose = { ...STILL, ...POSES[name] };
  const lies = pose.view === "lying";
  switch (phase) {
    case "breathe_in":
      return lies ? pose : { ...STILL, ...BREATH_IN };
    case "breathe_out":
      return lies ? pose : { ...STILL, ...BREATH_OUT };
    case "rest":
    case "sip":
    case "change_sides":
      return { ...STILL, view: lies ? "lying" : "front", eyes: 0.8 };
    case "release":
      return { ...STILL, view: pose.view, hand: pose.hand };
    case "get_ready":
      return { ...pose, air: 0 };
    case "hold":
    case "firm_up":
      return { ...pose, air: pose.air > 0 ? 0 : pose.air };
    default:
      return pose;
  }
}
