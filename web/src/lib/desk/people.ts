// Who is there and who needs a look, as the desk draws it: a few rows for the exceptions, and a tile with a shape for
// everybody. It is pure.

import { deskText } from "../messages/desk";
import { ofReport } from "./alerts";
import type { Alert, ContentKind, DeskFrame, Exception, Row, SeatId, StagePhase } from "../wire/types";

/** Shapes that can be told apart by their outline alone. */
export type Shape =
  "working" | "waiting" | "done" | "resting" | "stopped" | "discomfort" | "away" | "unsure" | "care";

export interface Tile {
  seat: SeatId;
  name: string;
  shape: Shape;
  words: string;
  /** It is among the exceptions, so its name is bold. */
  loud: boolean;
}

export interface Exceptional {
  seat: SeatId;
  name: string;
  shape: Shape;
  why: string;
  /** A report of discomfort: its shape is red. */
  red: boolean;
}

export interface People {
  /** The large number beside the heading, and what it counts. */
  count: number;
  counted: string;
  here: number;
  exceptions: Exceptional[];
  tiles: Tile[];
  /** What the quiet shapes in use mean. */
  legend: { shape: Shape; words: string }[];
}

/** What the class is doing, as far as it matters to what people are. */
export interface Doing {
  phase: StagePhase;
  kind: ContentKind | null;
  swallow: boolean;
  /** Whether a clue is on the screens. */
  clue: boolean;
  safety: boolean;
}

const CARE: readonly Exception[] = ["not_well", "partner_not_well", "not_seated", "mouth_not_empty", "news"];

export const isHere = (row: Row): boolean => row.screen !== "away" && row.screen !== "not_yet";

export function peopleOf(frame: DeskFrame, doing: Doing): People {
  const t = deskText;
  const { rows, alerts } = frame;
  const exceptions = rows.flatMap((row) => {
    const found = exceptional(row, alerts, doing);
    return found ? [found] : [];
  });
  const loud = new Set(exceptions.map((one) => one.seat));
  const tiles = rows
    .map((row): Tile => {
      const mine = exceptions.find((one) => one.seat === row.seat);
      const shape = mine?.shape ?? quietShape(row, doing);
      return {
        seat: row.seat,
        name: row.name,
        shape,
        words: mine?.why ?? (row.cannot_come ? t.cannotCome : quietWords(shape, doing)),
        loud: loud.has(row.seat),
      };
    })
    .toSorted((a, b) => a.name.localeCompare(b.name) || a.seat - b.seat);
  const here = rows.filter(isHere).length;
  const quiet = [...new Set(tiles.filter((tile) => !tile.loud).map((tile) => tile.shape))];
  return {
    ...headline(rows, here, exceptions.length, doing),
    here,
    exceptions,
    tiles,
    legend: quiet.map((shape) => ({ shape, words: quietWords(shape, doing) || t.status.working })),
  };
}

function headline(
  rows: readonly Row[],
  here: number,
  looks: number,
  doing: Doing,
): { count: number; counted: string } {
  const t = deskText.people;
  const inDrill = doing.phase === "running" && doing.kind === "drill" && !doing.safety;
  if (doing.phase === "running" && doing.kind === "check_in")
    return { count: looks, counted: t.looks(rows.filter(isIn).length) };
  if (doing.clue) return { count: rows.filter((row) => row.has_clue).length, counted: t.haveIt(here) };
  if (inDrill) {
    const at = rows.filter((row) => row.status === "working" || row.status === "done").length;
    return { count: at, counted: t.working(here) };
  }
  if (looks > 0) return { count: looks, counted: t.looksHere(here) };
  return { count: here, counted: t.here(rows.length) };
}

/** Whether somebody has checked in, or needs no check-in because they have no screen. */
export function isIn(row: Row): boolean {
  return row.checked_in || row.screen === "phone";
}

/** Why somebody needs a look; null when nothing stands out. */
function exceptional(row: Row, alerts: readonly Alert[], doing: Doing): Exceptional | null {
  const t = deskText;
  const is = (shape: Shape, why: string, red = false): Exceptional => ({
    seat: row.seat,
    name: row.name,
    shape,
    why,
    red,
  });
  const report = alerts.find((alert) => alert.kind === "report" && alert.seat === row.seat);
  if (row.status === "discomfort")
    return is("discomfort", report?.kind === "report" ? ofReport(report) : t.status.discomfort, true);
  if (row.status === "stopped")
    return is(
      "stopped",
      [t.status.stopped, row.reason ? t.reason[row.reason] : ""].filter(Boolean).join(", "),
    );
  const lost = alerts.some((alert) => alert.kind === "lost" && alert.seat === row.seat);
  if (row.status === "away" || lost) {
    const wasHere = doing.phase === "running" || lost;
    return wasHere ? is("away", t.people.lost) : null;
  }
  if (doing.phase === "running" && doing.swallow && row.form === "mouth_first")
    return is("care", t.exception.mouth_not_empty);
  if (row.silent && row.status !== "done" && doing.phase === "running") return is("unsure", t.silent);
  const early = doing.phase === "waiting" || doing.kind === "check_in" || doing.kind === "talk";
  const cares = row.exceptions.filter((exception) => CARE.includes(exception));
  if (early && cares.length > 0)
    return is("care", cares.map((exception) => t.exception[exception]).join(", "));
  if (early && row.new_device) return is("unsure", t.newDevice);
  return null;
}

function quietShape(row: Row, doing: Doing): Shape {
  if (!isHere(row)) return "away";
  if (doing.phase !== "running") return isIn(row) ? "done" : "waiting";
  if (doing.safety) return "resting";
  switch (doing.kind) {
    case "check_in":
      return isIn(row) ? "done" : "waiting";
    case "clues":
      return doing.clue && row.has_clue ? "done" : "waiting";
    case "talk":
    case "effort":
    case null:
      return "waiting";
    case "drill":
    case "sip":
      return row.status === "done" ? "done" : row.status === "resting" ? "resting" : "working";
  }
}

/** What a quiet shape says of a person just now. */
function quietWords(shape: Shape, doing: Doing): string {
  const t = deskText.people.shapes;
  const waits = doing.phase !== "running" || doing.kind === "check_in";
  switch (shape) {
    case "away":
      return t.away;
    case "waiting":
      if (waits) return t.answering;
      return doing.clue ? t.thinking : t.listening;
    case "done":
      if (waits) return t.in;
      return doing.clue ? t.hasClue : t.done;
    case "resting":
      return doing.safety ? t.resting : t.restsHere;
    default:
      return deskText.status.working;
  }
}
