// What a group did with a drill, and a notch that is proposed, in words.

import { didText as t } from "../messages/did";
import type {
  DoseChange,
  Draft,
  DrillClass,
  Look,
  NotchProposal,
  StepLook,
  StepRequest,
} from "../wire/types";
import { dayText } from "./draft";

/** What is known of a step, from a look at a draft that may be older than the step: a notch only for exactly this dose. */
export function didOf(
  look: (Look & { of: Draft }) | null,
  at: number,
  what: StepRequest,
): Pick<StepLook, "did" | "proposal"> | undefined {
  const seen = look?.of.steps[at]?.what;
  const found = look?.steps[at];
  if (!found || seen?.kind !== "drill" || what.kind !== "drill" || seen.drill !== what.drill)
    return undefined;
  return { did: found.did, proposal: seen === what ? found.proposal : null };
}

/** What the group did with it in one class. */
export function classWords(one: DrillClass): string {
  const { planned, asked, did, stopped, marked, reached, effort, efforts, reports } = one;
  const dose = [
    planned.reps > 0 ? t.times(planned.reps) : "",
    planned.held_ms > 0 ? t.held(Math.round(planned.held_ms / 1000)) : "",
  ];
  const went = [
    t.done(did, asked),
    marked > 0 ? t.reached(reached, marked) : "",
    stopped > 0 ? t.stopped(stopped) : "",
    effort === null ? "" : t.effort(effort, efforts),
    reports > 0 ? t.reports(reports) : "",
  ];
  const said = (parts: string[]): string => parts.filter(Boolean).join(", ");
  return `${dayText(one.day)}: ${[said(dose), said(went)].filter(Boolean).join("; ")}`;
}

/** The notch: the part of the dose that would change, and which way. */
export function notchWords({ change, because }: NotchProposal, now: DoseChange): string {
  const way = because === "went_well" ? t.more : t.less;
  const { hold, reps, sets } = change;
  if (hold && JSON.stringify(hold) !== JSON.stringify(now.hold)) {
    return way(t.hold((hold.kind === "fixed" ? hold.ms : hold.target_ms) / 1000));
  }
  if (reps !== undefined && reps !== now.reps) return way(t.reps(reps));
  return way(t.sets(sets ?? 1));
}
