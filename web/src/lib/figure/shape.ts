// The figure's numbers. Each may lie anywhere between its ends, so that a picture can ease from one shape into another.
// Left and right are the participant's own, as in a mirror: a turn of 1 looks to the right edge of the screen.

import { mix } from "./numbers";

export interface Shape {
  view: "front" | "side" | "lying" | "mouth";
  hand: "" | "throat" | "belly";
  /** From the front: how far the head is turned, -1 (left) to 1 (right). */
  turn: number;
  /** From the front: how far the head leans, in degrees; the right ear goes down above 0. */
  tilt: number;
  /** How far the shoulders are lifted, 0 to 1. */
  lift: number;
  /** How far the eyes are open, 0 to 1. */
  eyes: number;
  /** How far the brows are raised, 0 to 1. */
  brow: number;
  /** How far the cheeks are filled with air, 0 to 1. */
  puff: number;
  /** From the side: how far the chin is lowered, in degrees. */
  pitch: number;
  /** From the side: how far the chin is drawn straight back, 0 to 1. */
  back: number;
  /** From the side: how far belly and chest are filled, 0 to 1. */
  breath: number;
  /** From the side: how high the voice box is, 0 to 1. */
  larynx: number;
  /** From the side: -1 while air goes out, -2 as a burst, 1 while it comes in. From the front: -1 with a voice. */
  air: number;
  /** The mouth: half of its width. */
  w: number;
  /** The mouth: 0 closed, 60 wide open. */
  open: number;
  /** The mouth: its corners, up below 0. */
  corner: number;
  /** The mouth: how thick the lips are. */
  lip: number;
  /** The mouth: how much of the upper teeth shows, 0 to 1; above 1 the lower ones too, up to 2. */
  teeth: number;
  /** The mouth: how far the tongue is out, 0 to 1. */
  tongue: number;
  /** The mouth: where the tongue points while it is out, -1 (left) to 1 (right). */
  aside: number;
  /** The mouth: how far the tip of the tongue is raised to the palate, 0 to 1. */
  rise: number;
  /** The mouth: how far the lips are pushed forward, 0 to 1. */
  forward: number;
  /** The mouth: how firmly the lips are pressed, 0 to 1. */
  press: number;
}

export const STILL: Shape = {
  view: "front",
  hand: "",
  turn: 0,
  tilt: 0,
  lift: 0,
  eyes: 1,
  brow: 0,
  puff: 0,
  pitch: 0,
  back: 0,
  breath: 0,
  larynx: 0,
  air: 0,
  w: 40,
  open: 0,
  corner: -5,
  lip: 9,
  teeth: 0,
  tongue: 0,
  aside: 0,
  rise: 0,
  forward: 0,
  press: 0,
};

/** The shape `t` of the way from one to another. What cannot be half (the view, the hand) is the second's at once. */
export function between(from: Shape, to: Shape, t: number): Shape {
  const eased = { ...to };
  for (const key of Object.keys(to) as (keyof Shape)[]) {
    if (key === "view" || key === "hand") continue;
    eased[key] = mix(from[key], to[key], t);
  }
  return eased;
}

/** Whether one shape can ease into the other: seen from the same side, with the hand in the same place. */
export function canEase(from: Shape, to: Shape): boolean {
  return from.view === to.view && from.hand === to.hand;
}
