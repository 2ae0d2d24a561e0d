// What the desk's stage shows at an instant: one cue, one number, and one band that is the picture of the number. It
// adds to what the class sees what only the facilitator needs: running times, and how many people are in. It is pure.

import { clockText, text } from "../messages";
import { deskText } from "../messages/desk";
import { shown, type Band, type Shown } from "../shown";
import type { Scene } from "../player";
import type { ClueFrame, DeskFrame, Sheet, SheetStep, Span, Stage } from "../wire/types";
import { isHere, isIn } from "./people";

/** People counted cell by cell. */
export interface Cells {
  in: number;
  of: number;
}

export interface DeskShown {
  /** What the step is called, and where in it the class is. */
  title: string;
  place: string;
  /** The repetitions, where they are drawn. */
  tally: { span: Span; reps: number; sets: number } | null;
  cue: string;
  under: string | null;
  marked: boolean;
  tune: Shown["tune"];
  count: string | null;
  counted: string;
  band: Band | null;
  cells: Cells | null;
  /** A fixed end of the band, in words. */
  next: { label: string; words: string };
  /** The time left of the step, or how long it is over. */
  left: { time: string; words: string } | null;
  picture: Pick<Shown, "pose" | "phase" | "picture"> | null;
  hints: { words: string; given: boolean; place: string }[];
  resting: boolean;
  /** The class stands still, for no grave reason. */
  paused: boolean;
  isClue: boolean;
}

export interface Facts {
  frame: DeskFrame;
  sheet: Sheet | null;
  stage: Stage;
  scene: Scene | null;
  /** The step that the class is in, and the one after it. */
  present: SheetStep | null;
  following: SheetStep | null;
  clue: ClueFrame | null;
  clueSeconds: number | null;
  nowMs: number;
}

export function deskShown(facts: Facts): DeskShown {
  const { stage, scene, present } = facts;
  if (stage.phase !== "running" || !scene || !present) return beforeClass(facts);
  if (scene.at.paused && scene.resumesIn === null && !facts.frame.mouths) return paused(facts, scene);
  switch (scene.content.kind) {
    case "drill":
    case "sip":
      return inDrill(facts, scene);
    case "clues":
      return inRound(facts);
    case "check_in":
      return checkIn(facts);
    case "talk":
    case "effort":
      return unclocked(facts, scene);
  }
}

const EMPTY: DeskShown = {
  title: "",
  place: "",
  tally: null,
  cue: "",
  under: null,
  marked: false,
  tune: null,
  count: null,
  counted: "",
  band: null,
  cells: null,
  next: { label: "", words: "" },
  left: null,
  picture: null,
  hints: [],
  resting: false,
  paused: false,
  isClue: false,
};

function beforeClass({ frame, sheet, stage, following }: Facts): DeskShown {
  const t = deskText.stageWords;
  const here = frame.rows.filter(isHere).length;
  return {
    ...EMPTY,
    title: sheet?.title ?? "",
    place: stage.phase === "ended" ? "" : t.notBegun,
    cue:
      stage.phase === "ended"
        ? text.after.thanksAll
        : stage.phase === "closed"
          ? t.closed
          : t.code(sheet?.code ?? ""),
    count: stage.phase === "ended" ? null : String(here),
    counted: t.areHere(frame.rows.length),
    cells: stage.phase === "ended" ? null : { in: here, of: frame.rows.length },
    next: next(following),
    picture: SITTING,
  };
}

const SITTING = { pose: "tall", phase: null, picture: "" } as const;

function next(step: SheetStep | null): DeskShown["next"] {
  const t = deskText.stageWords;
  return step ? { label: t.next, words: step.title } : { label: "", words: t.lastStep };
}

/** How long the class has been in the present step, in milliseconds. */
function intoMs({ frame, nowMs }: Facts): number {
  return frame.pace.step_at === null ? 0 : Math.max(0, nowMs - frame.pace.step_at);
}

function leftOf(plannedMs: number, into: number): DeskShown["left"] {
  const t = deskText.stageWords;
  const left = plannedMs - into;
  return left >= 0 ? { time: clockText(left), words: t.left } : { time: clockText(-left), words: t.overTime };
}

/** A step without a clock of its own: the time that it has taken, of the time that is allowed for it. */
function running(facts: Facts, present: SheetStep): Pick<DeskShown, "count" | "counted" | "band" | "left"> {
  const t = deskText.stageWords;
  const into = intoMs(facts);
  return {
    count: clockText(into),
    counted: t.ofTime(Math.round(present.planned_ms / 1000)),
    band: {
      name: `${present.id}.${present.planned_ms}.${facts.frame.pace.step_at}`,
      lengthMs: present.planned_ms,
      leftMs: Math.max(0, present.planned_ms - into),
      running: true,
      marks: null,
      beatMs: null,
      firmFrom: null,
      end: t.time(Math.round(present.planned_ms / 1000)),
    },
    left: leftOf(present.planned_ms, into),
  };
}

function unclocked(facts: Facts, scene: Scene): DeskShown {
  const { frame, present, following } = facts;
  const asked = scene.content.kind === "effort" && frame.effort;
  const said = asked ? frame.effort!.spread.reduce((sum, many) => sum + many, 0) : 0;
  const of = frame.rows.filter(isHere).length;
  return {
    ...EMPTY,
    title: deskText.stageKinds[scene.content.kind],
    cue: asked ? text.stage.effort : present!.title,
    ...running(facts, present!),
    ...(asked
      ? {
          count: String(said),
          counted: deskText.stageWords.haveSaid(of),
          band: null,
          cells: { in: said, of },
        }
      : {}),
    next: next(following),
    picture: SITTING,
  };
}

function checkIn(facts: Facts): DeskShown {
  const t = deskText.stageWords;
  const { frame, present, following } = facts;
  const isCounted = frame.rows.filter(isIn).length;
  const missing = frame.rows.filter((row) => !isIn(row)).map((row) => row.name);
  const { left, count } = running(facts, present!);
  return {
    ...EMPTY,
    title: present!.title,
    place: t.timeOf(count ?? "", clockText(present!.planned_ms)),
    cue: t.howAreYou,
    count: String(isCounted),
    counted: t.areIn(frame.rows.length),
    cells: { in: isCounted, of: frame.rows.length },
    left,
    next: missing.length > 0 ? { label: t.notIn, words: missing.join(", ") } : next(following),
    picture: SITTING,
  };
}

function inRound(facts: Facts): DeskShown {
  const t = deskText.stageWords;
  const { frame, present, following, clueSeconds } = facts;
  const clue = frame.clue;
  const has = clue?.answered ?? 0;
  const here = frame.rows.filter(isHere).length;
  const { left, count } = running(facts, present!);
  const begun = clue !== null && clue.number > 0;
  return {
    ...EMPTY,
    title: present!.title,
    place: begun
      ? text.stage.clue(clue.number, clue.of)
      : t.timeOf(count ?? "", clockText(present!.planned_ms)),
    cue: begun ? (clue.answer_shown ? clue.answer : clue.clue) : t.clueAhead(clue?.clue ?? ""),
    under: begun && clue.answer_shown ? clue.clue : null,
    count: begun ? String(has) : null,
    counted: clueSeconds ? t.haveItIn(here, clueSeconds) : t.haveIt(here),
    cells: begun ? { in: has, of: here } : null,
    left,
    next: next(following),
    hints: hintsOf(clue),
    isClue: true,
  };
}

/** The hint given last and the one that would come next, where there are two lines for them at most. */
function hintsOf(clue: DeskFrame["clue"]): DeskShown["hints"] {
  if (!clue) return [];
  const { hints, hints_shown: shown } = clue;
  return hints.slice(Math.max(0, shown - 1), shown + 1).map((words, i) => {
    const given = shown > 0 && i === 0;
    return { words, given, place: deskText.stageWords.hint(given ? shown : shown + 1, hints.length) };
  });
}

function inDrill(facts: Facts, scene: Scene): DeskShown {
  const t = deskText.stageWords;
  const { stage, frame, clue, clueSeconds, following } = facts;
  const s = shown(stage, scene, clue, clueSeconds);
  const { content, on, at, timeline } = scene;
  const isOver = on.kind === "over";
  const mouths = scene.at.paused ? frame.mouths : null;
  const { move } = at;
  const offsetMs = move.running ? move.offset_ms + Math.max(0, facts.nowMs - move.at) : move.offset_ms;
  return {
    ...EMPTY,
    title: content.title,
    tally: s.tally,
    cue: s.cue,
    // What is about safety stands in the notes, where there is room for it.
    under: s.care ? null : s.under,
    marked: s.marked,
    tune: s.tune,
    ...(mouths && scene.resumesIn === null
      ? {
          count: String(mouths.empty),
          counted: t.mouthsEmpty(mouths.of),
          cells: { in: mouths.empty, of: mouths.of },
        }
      : isOver
        ? { count: clockText(Math.max(0, offsetMs - timeline.total_ms)), counted: t.sinceDone }
        : { count: s.number, counted: s.unit ?? "", band: s.band }),
    next: next(following),
    left: isOver ? null : leftOf(timeline.total_ms, offsetMs),
    picture: s,
    resting: s.resting,
  };
}

function paused(facts: Facts, scene: Scene): DeskShown {
  const t = deskText.stageWords;
  const s = shown(facts.stage, scene, facts.clue, facts.clueSeconds);
  return {
    ...EMPTY,
    title: scene.content.title,
    cue: t.pause,
    under: t.pauseMeans,
    count: clockText(Math.max(0, facts.nowMs - scene.at.move.at)),
    counted: t.standsFor,
    next: next(facts.following),
    left:
      scene.timeline.spans.length > 0
        ? leftOf(scene.timeline.total_ms, scene.at.offsetMs)
        : leftOf(facts.present!.planned_ms, intoMs(facts)),
    picture: s,
    resting: true,
    paused: true,
  };
}
