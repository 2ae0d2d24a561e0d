// Changes to a draft of a plan. They are pure: each returns a new draft and leaves the old one as it was, so that
// keeping the old one makes undo possible.

import type {
  ClueCard,
  Draft,
  DraftStep,
  DrillCard,
  HomeItem,
  LibraryBook,
  StepRequest,
} from "../wire/types";

/** Makes a step of the draft from what the library or a menu offers. */
export function newStep(what: StepRequest): DraftStep {
  return { part: null, title: null, note: null, what };
}

/** The draft with a step inserted after the one at `after`; -1 puts it first. */
export function withStep(draft: Draft, after: number, step: DraftStep): Draft {
  const steps = [...draft.steps];
  steps.splice(after + 1, 0, step);
  return { ...draft, steps };
}

export function withoutStep(draft: Draft, index: number): Draft {
  return { ...draft, steps: draft.steps.filter((_, i) => i !== index) };
}

/** The draft with the step at `from` moved to `to`. */
export function withMoved(draft: Draft, from: number, to: number): Draft {
  const step = draft.steps[from];
  if (!step || to < 0 || to >= draft.steps.length) return draft;
  const steps = draft.steps.filter((_, i) => i !== from);
  steps.splice(to, 0, step);
  return { ...draft, steps };
}

export function withChangedStep(draft: Draft, index: number, change: Partial<DraftStep>): Draft {
  return { ...draft, steps: draft.steps.map((step, i) => (i === index ? { ...step, ...change } : step)) };
}

export function withHome(draft: Draft, home: HomeItem[]): Draft {
  return { ...draft, home };
}

/** The drill of this id as the library has it. */
export function cardOf(book: LibraryBook, id: string): DrillCard | undefined {
  return book.drills.find(({ drill }) => drill.id === id);
}

/**
 * A round of clues: from those that are `left` for the group (all of them, without a group), the ones that no
 * other step of the draft has. Where none remain, the whole round.
 */
export function roundOf({ id, clues }: ClueCard, left: number[] | undefined, draft: Draft): StepRequest {
  const all = Array.from({ length: clues }, (_, at) => at + 1);
  const taken = draft.steps.flatMap(({ what }) => {
    if (what.kind !== "clues" || what.set !== id) return [];
    return what.only.length > 0 ? what.only : all;
  });
  const free = (left ?? all).filter((number) => !taken.includes(number));
  return { kind: "clues", set: id, only: free.length < clues ? free : [], minutes: 10 };
}

/** A time of day, from the start of the class and the time passed; without a start, only the time passed. */
export function timeOf(start: string | null, passedMs: number): string {
  const parts = start?.split(":").map(Number) ?? null;
  const base = parts ? ((parts[0] ?? 0) * 60 + (parts[1] ?? 0)) * 60 + (parts[2] ?? 0) : 0;
  const all = base + Math.round(passedMs / 1000);
  const two = (n: number): string => String(n).padStart(2, "0");
  const [hours, minutes, seconds] = [Math.floor(all / 3600) % 24, Math.floor(all / 60) % 60, all % 60];
  if (parts) return `${two(hours)}:${two(minutes)}:${two(seconds)}`;
  return `${Math.floor(all / 60)}:${two(seconds)}`;
}

/** A day as people say it, such as Tuesday 8 December. */
export function dayText(day: string): string {
  const [year = 0, month = 1, date = 1] = day.split("-").map(Number);
  const of = new Date(year, month - 1, date);
  return of.toLocaleDateString("en-GB", { weekday: "long", day: "numeric", month: "long" });
}
