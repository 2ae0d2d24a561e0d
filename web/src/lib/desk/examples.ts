// Examples for the tests of the screens: a class of ours in the middle of its hour.

import { clockOf, on } from "../player";
import type { Scene } from "../player";
import type { Alert, Content, Counts, DeskFrame, Phase, Row, SheetStep, Span, Stage } from "../wire/types";

const NOBODY: Counts = { discomfort: 0, stopped: 0, away: 0, working: 0, done: 0, resting: 0, waiting: 0 };

export function sheetStep(id: number, title: string, minutes = 1.5): SheetStep {
  return {
    id,
    rev: 0,
    kind: "drill",
    family: "voice",
    inserted: false,
    title,
    note: null,
    planned_ms: minutes * 60_000,
    dose: null,
    cautions: [],
    clearance: [],
    sources: [],
    evidence: null,
    harder: null,
  };
}

export const talk = (id: number, title: string, minutes: number): SheetStep => ({
  ...sheetStep(id, title, minutes),
  kind: "talk",
  family: null,
});

export function row(seat: number, name: string, more: Partial<Row> = {}): Row {
  return {
    seat,
    name,
    partner: null,
    status: "working",
    reason: null,
    rest: null,
    screen: "live",
    heard_at: 98_000,
    silent: false,
    form: "full",
    checked_in: true,
    exceptions: [],
    off_today: false,
    unread: 0,
    has_clue: false,
    new_device: false,
    cannot_come: false,
    ...more,
  };
}

export function report(
  seat: number,
  name: string,
  more: Partial<Extract<Alert, { kind: "report" }>> = {},
): Alert {
  return {
    kind: "report",
    id: `r${seat}`,
    seat,
    name,
    at: 90_000,
    said: { whose: "own", where: "neck", strength: null, urgent: null, words: null },
    strength: "quite",
    during: 7,
    during_ms: 2_000,
    state: "recorded",
    handled: [],
    taken_back: false,
    recorded: true,
    location: "4 Mill Row, flat 2",
    contact: "Jo, neighbour, 555 0100",
    ...more,
  };
}

export function frameOf(rows: Row[], more: Partial<DeskFrame> = {}): DeskFrame {
  return {
    seq: 1,
    lead: "facilitator",
    handed_by: null,
    helper_here: true,
    facilitator_here: true,
    lead_here: true,
    facilitator: "Ines",
    helper: "Mo",
    helper_sees_health: false,
    entry: "code",
    asking: [],
    counts: NOBODY,
    rows,
    alerts: [],
    more_alerts: 0,
    mouths: null,
    clue: null,
    effort: null,
    pace: { class_ms: 3_600_000, started_at: 0, step_at: 60_000, ended_at: null },
    acts: [],
    sheet_rev: 0,
    ...more,
  };
}

export function stageOf(more: Partial<Stage> = {}): Stage {
  return {
    seq: 1,
    phase: "running",
    moves: [{ at: 0, step: 7, rev: 0, offset_ms: 0, running: true, stretch: [] }],
    steps: [],
    number: 2,
    of: 4,
    clue: null,
    effort: null,
    lead_lost: false,
    safety_pause: null,
    before: null,
    after: null,
    ...more,
  };
}

/** A phase of the example's drill, in its second repetition. */
export const span = (start_ms: number, len_ms: number, phase: Phase, cue: string): Span => ({
  start_ms,
  len_ms,
  phase,
  cue,
  set: 1,
  rep: 2,
  side: 0,
  marks: phase === "hold" ? { floor_ms: 10_000, target_ms: 20_000 } : null,
  held_ms: 0,
});

export const CONTENT: Content = {
  id: 7,
  rev: 0,
  kind: "drill",
  title: "Steady strong ah",
  purpose: null,
  caution: "Strong, not tight. Stop if your throat hurts or you cough.",
  easier: null,
  forms: [],
  pose: "mouth-ah",
  sides: [],
  reps: 5,
  sets: 1,
  eyes_away: false,
  tap: "rests",
  swallow: false,
  timeline: {
    ready_ms: 5_000,
    spans: [
      span(0, 3_000, "breathe_in", "One big breath in."),
      span(3_000, 25_000, "hold", "Strong ah. Keep it full."),
      span(28_000, 12_000, "rest", "Breathe easily."),
      span(40_000, 5_000, "voice", "A long cue that needs room: say the whole of it, slowly, and strong."),
    ],
    total_ms: 45_000,
  },
};

/** The scene at an instant of the step, for a class whose step began at 0 on the server's clock. */
export function sceneAt(offsetMs: number, more: Partial<Content> = {}, paused = false): Scene {
  const content = { ...CONTENT, ...more };
  const now = on(content.timeline, offsetMs);
  const move = {
    at: paused ? offsetMs : 0,
    step: 7,
    rev: 0,
    offset_ms: paused ? offsetMs : 0,
    running: !paused,
    stretch: [],
  };
  return {
    content,
    timeline: content.timeline,
    way: "",
    at: { move, offsetMs, paused, resumesInMs: null },
    on: now,
    seconds: clockOf(now, offsetMs),
    resumesIn: null,
  };
}
