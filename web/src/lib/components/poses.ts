// The poses that drills name. Left and right are the participant's own, as in a mirror.

export interface Pose {
  /** How far the face is turned, in units of the drawing. */
  turn: number;
  /** How far the head leans, in degrees. */
  tilt: number;
  /** How far the head is lowered. */
  nod: number;
  /** How far the shoulders are lifted. */
  shoulders: number;
  mouth: "rest" | "open" | "wide" | "pucker" | "smile" | "tongue" | "tongue-up" | "sealed" | "cheeks";
  hand: "belly" | "throat" | "mouth" | null;
  air: "in" | "out" | null;
  /** On the back, head to the left. */
  lying: boolean;
}

const STILL: Pose = {
  turn: 0,
  tilt: 0,
  nod: 0,
  shoulders: 0,
  mouth: "rest",
  hand: null,
  air: null,
  lying: false,
};

const POSES: Record<string, Partial<Pose>> = {
  tall: {},
  "shoulders-up": { shoulders: 9 },
  "hand-belly": { hand: "belly", air: "in" },
  "breath-out": { mouth: "pucker", air: "out" },
  "mouth-ah": { mouth: "open" },
  "mouth-ee": { mouth: "wide" },
  "tongue-hold": { mouth: "tongue" },
  "hand-throat": { hand: "throat" },
  "turn-right": { turn: 13 },
  "turn-left": { turn: -13 },
  "tilt-right": { tilt: 22 },
  "tilt-left": { tilt: -22 },
  nod: { nod: 9 },
  pucker: { mouth: "pucker" },
  smile: { mouth: "smile" },
  cough: { mouth: "open", hand: "mouth", air: "out" },
  "tongue-up": { mouth: "tongue-up" },
  "lips-closed": { mouth: "sealed" },
  cheeks: { mouth: "cheeks" },
  lying: { lying: true },
  talk: { mouth: "open", air: "out" },
};

/** The pose of this name; an unknown one sits still. */
export function poseOf(name: string): Pose {
  return { ...STILL, ...POSES[name] };
}

/** All names, for the page that shows them. */
export const POSE_NAMES = Object.keys(POSES);
