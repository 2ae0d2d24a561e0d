// The poses that drills name. Left and right are the participant's own, as in a mirror.

import type { Phase } from "../wire/types";

export interface Pose {
  /** How far the face is turned, -1 (left) to 1 (right). */
  turn: number;
  /** How far the head leans, in degrees. */
  tilt: number;
  /** How far the head is lowered, 0 to 1. */
  nod: number;
  /** How far the shoulders are lifted, 0 to 1. */
  shoulders: number;
  mouth: "rest" | "open" | "wide" | "pucker" | "smile" | "tongue" | "tongue-up" | "sealed" | "cheeks";
  /** How far the tongue points aside, -1 (left) to 1 (right). */
  tongue: number;
  /** How far the head is drawn straight back, 0 to 1. */
  back: number;
  hand: "belly" | "throat" | "mouth" | null;
  air: "in" | "out" | null;
  /** Lying on the back, head to the left. */
  lying: boolean;
}

const STILL: Pose = {
  turn: 0,
  tilt: 0,
  nod: 0,
  shoulders: 0,
  mouth: "rest",
  tongue: 0,
  back: 0,
  hand: null,
  air: null,
  lying: false,
};

const POSES: Record<string, Partial<Pose>> = {
  tall: {},
  "shoulders-up": { shoulders: 1 },
  "hand-belly": { hand: "belly", air: "in" },
  "breath-out": { mouth: "pucker", air: "out" },
  "mouth-ah": { mouth: "open" },
  "mouth-ee": { mouth: "wide" },
  "tongue-hold": { mouth: "tongue" },
  "hand-throat": { hand: "throat" },
  "turn-right": { turn: 1 },
  "turn-left": { turn: -1 },
  "tilt-right": { tilt: 20 },
  "tilt-left": { tilt: -20 },
  nod: { nod: 1 },
  pucker: { mouth: "pucker" },
  smile: { mouth: "smile" },
  cough: { mouth: "open", hand: "mouth", air: "out" },
  "tongue-up": { mouth: "tongue-up" },
  "tongue-left": { mouth: "tongue", tongue: -1 },
  "tongue-right": { mouth: "tongue", tongue: 1 },
  "chin-back": { back: 1 },
  "lips-closed": { mouth: "sealed" },
  cheeks: { mouth: "cheeks" },
  lying: { lying: true },
  "lying-up": { lying: true, nod: 1 },
  talk: { mouth: "open", air: "out" },
};

/** The pose with this name; for an unknown name, sitting still. */
export function poseOf(name: string): Pose {
  return { ...STILL, ...POSES[name] };
}

/** The shapes of a mouth through which air flows. */
const BLOWS: readonly Pose["mouth"][] = ["pucker", "open"];

/**
 * The pose in a phase. A breath in goes through the nose with the mouth at rest, and in a rest only the hand keeps
 * its place. Without a phase it is the pose itself, as before a step begins.
 */
export function poseIn(name: string, phase: Phase | null): Pose {
  const pose = poseOf(name);
  switch (phase) {
    case "breathe_in":
      return { ...pose, mouth: "rest", air: "in" };
    case "breathe_out":
      return { ...pose, air: "out" };
    case "rest":
    case "sip":
    case "change_sides":
      return { ...STILL, hand: pose.hand, lying: pose.lying };
    case "release":
      return {
        ...STILL,
        hand: pose.hand,
        lying: pose.lying,
        air: BLOWS.includes(pose.mouth) ? null : pose.air,
      };
    case "hold":
    case "firm_up":
      return { ...pose, air: pose.air === "in" ? null : pose.air };
    default:
      return pose;
  }
}

/** All names, for the page that shows every pose. */
export const POSE_NAMES = Object.keys(POSES);
