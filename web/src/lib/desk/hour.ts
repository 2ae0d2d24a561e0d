// The hour as the desk draws it: each step with its time, where the class is, and how far it is over or ahead. It is
// pure: all times are milliseconds, and positions are shares of the whole from 0 to 1.

import type { ContentKind, Family, Pace, SheetStep, StepId, UsualTimes } from "../wire/types";

export interface Block {
  id: StepId;
  title: string;
  /** Where it begins and how wide it is. */
  at: number;
  wide: number;
  is: "past" | "now" | "ahead";
}

export interface Hour {
  blocks: Block[];
  /** Where the class is now; absent before it begins. */
  now: number | null;
  /** Where the booked time ends. */
  end: number;
  /** Minutes over (positive) or to spare (negative), rounded. */
  overMin: number;
  endsAtMs: number | null;
  /** What could be shortened when the class runs over; the facilitator decides. */
  cut: Cut | null;
  labels: Label[];
}

export interface Cut {
  step: StepId;
  title: string;
  /** How many minutes less. */
  byMin: number;
  /** How many seconds it then has. */
  seconds: number;
}

export interface Label {
  words: string;
  at: number;
}

export type Part = "breathVoice" | "swallow" | "neckFace" | "words";

const MINUTE = 60_000;
/** A talk of this length is a part of the hour; a shorter one is a word between two drills. */
const NAMED_MS = 4 * MINUTE;
/** Nothing is proposed that would leave a step less than this. */
const LEAST_MIN = 2;

/** The parts of a class by families of drills, in the order in which a class usually has them. */
export const PART_OF: Record<Family, Part> = {
  posture: "breathVoice",
  breath: "breathVoice",
  cough: "breathVoice",
  trainer: "breathVoice",
  voice: "breathVoice",
  "effortful-swallow": "swallow",
  "tongue-hold": "swallow",
  "hold-at-top": "swallow",
  "head-lift": "swallow",
  "chin-tuck": "swallow",
  "jaw-opening": "swallow",
  neck: "neckFace",
  "lips-face": "neckFace",
  words: "words",
};

export function hourOf(
  steps: readonly SheetStep[],
  presentId: StepId | null,
  pace: Pace,
  nowMs: number,
  partNames: Record<Part, string>,
  usual: UsualTimes | null = null,
): Hour {
  const index = steps.findIndex((step) => step.id === presentId);
  const begun = index >= 0 && pace.started_at !== null;
  const until = pace.ended_at ?? nowMs;
  const elapsedMs = begun ? Math.max(0, until - pace.started_at!) : 0;
  const intoMs = begun ? Math.min(elapsedMs, Math.max(0, until - (pace.step_at ?? until))) : 0;
  const expected = (step: SheetStep): number => expectedMs(step, usual);
  const aheadMs = sum(steps.slice(index + 1), expected);
  const presentMs = begun ? Math.max(intoMs, expected(steps[index]!)) : 0;
  const projectedMs = elapsedMs - intoMs + presentMs + aheadMs;
  const wholeMs = Math.max(1, projectedMs, pace.class_ms);

  // What is behind fills the time that has passed, whatever was planned for it.
  const pastPlannedMs = sum(steps.slice(0, Math.max(0, index)), planned);
  const scale = pastPlannedMs > 0 ? (elapsedMs - intoMs) / pastPlannedMs : 0;
  let atMs = 0;
  const blocks = steps.map((step, i): Block => {
    const is = i < index ? "past" : i === index ? "now" : "ahead";
    const lengthMs = is === "past" ? step.planned_ms * scale : is === "now" ? presentMs : expected(step);
    const block = {
      id: step.id,
      title: step.title,
      at: atMs / wholeMs,
      wide: lengthMs / wholeMs,
      is,
    } as const;
    atMs += lengthMs;
    return block;
  });

  const overMs = projectedMs - pace.class_ms;
  const overMin = Math.round(overMs / MINUTE);
  return {
    blocks,
    now: begun ? elapsedMs / wholeMs : null,
    end: pace.class_ms / wholeMs,
    overMin,
    endsAtMs: begun && pace.ended_at === null ? pace.started_at! + projectedMs : null,
    cut:
      begun && pace.ended_at === null && overMin > 0
        ? cutOf(steps.slice(index), intoMs, overMin, usual)
        : null,
    labels: labelsOf(steps, blocks, partNames),
  };
}

const planned = (step: SheetStep): number => step.planned_ms;

function sum(steps: readonly SheetStep[], of: (step: SheetStep) => number): number {
  return steps.reduce((total, step) => total + of(step), 0);
}

const usualOf = (kind: ContentKind, usual: UsualTimes | null) =>
  usual?.kinds.find((one) => one.kind === kind) ?? null;

/** How long a step is going to take, as far as the group's classes of late tell. */
function expectedMs(step: SheetStep, usual: UsualTimes | null): number {
  if (step.kind === "drill") return step.planned_ms + (usual?.drill_more_ms ?? 0);
  return (step.planned_ms * (usualOf(step.kind, usual)?.percent ?? 100)) / 100;
}

/**
 * A step without a clock of its own that can give some minutes: of the kind of which the group had the most of late, and of
 * those the longest. The first of `steps` is the present one.
 */
function cutOf(
  steps: readonly SheetStep[],
  intoMs: number,
  overMin: number,
  usual: UsualTimes | null,
): Cut | null {
  const can = steps.flatMap((step, i) => {
    if (step.kind !== "talk" && step.kind !== "clues" && step.kind !== "check_in") return [];
    const usedMin = i === 0 ? Math.ceil(intoMs / MINUTE) : 0;
    const spare = Math.floor(step.planned_ms / MINUTE) - Math.max(LEAST_MIN, usedMin);
    return spare > 0 ? [{ step, spare, had: usualOf(step.kind, usual)?.had_ms ?? 0 }] : [];
  });
  const [best] = can.sort((a, b) => b.had - a.had || b.spare - a.spare);
  if (!best) return null;
  const { step, spare } = best;
  // A minute of the plan may be more than a minute of the class.
  const share = (usualOf(step.kind, usual)?.percent ?? 100) / 100;
  const byMin = Math.min(spare, Math.ceil(overMin / share));
  return {
    step: step.id,
    title: step.title,
    byMin,
    seconds: Math.round((step.planned_ms - byMin * MINUTE) / 1000),
  };
}

/** Names the parts of the hour at their first steps; a step that is no drill and long enough has its own title. */
function labelsOf(
  steps: readonly SheetStep[],
  blocks: readonly Block[],
  names: Record<Part, string>,
): Label[] {
  const labels: Label[] = [];
  let part: Part | null = null;
  steps.forEach((step, i) => {
    const own = step.family ? PART_OF[step.family] : null;
    const isLong = step.kind === "clues" || (step.kind === "talk" && step.planned_ms >= NAMED_MS);
    if (own !== null && own !== part) labels.push({ words: names[own], at: blocks[i]!.at });
    if (own === null && isLong) labels.push({ words: step.title, at: blocks[i]!.at });
    if (own !== null || isLong) part = own;
  });
  return labels;
}

/** Leaves out the labels for which there is no room, at a width and a usual width of a letter in px. */
export function fitting(labels: readonly Label[], width: number, letter: number): Label[] {
  const placed: Label[] = [];
  let right = -Infinity;
  for (const label of labels) {
    const left = label.at * width;
    const ends = left + label.words.length * letter;
    if (left < right || ends > width) continue;
    placed.push(label);
    right = ends + 2 * letter;
  }
  return placed;
}
