// What the page after a class shows, worked out from the record of the class. It knows no DOM.

import { ofReport } from "./desk/alerts";
import { text } from "./messages";
import { afterText as t } from "./messages/after";
import { deskText } from "./messages/desk";
import { dateOf, timeOfDay } from "./time-of-day";
import { LONGEST } from "./wire/types";
import type {
  AfterClass,
  AtDeskPerson,
  ClassRecord,
  Concern,
  Figures,
  FollowUp,
  Held,
  PersonRecord,
  ReportRecord,
  SeatId,
  StepRecord,
} from "./wire/types";

/** Somebody who may need a follow-up, in words. */
export interface Need {
  key: string;
  seat: SeatId;
  sign: "discomfort" | "stopped" | "away" | "waiting";
  title: string;
  more: string;
  /** What a follow-up about it would say to begin with. */
  proposal: string;
  followUps: FollowUp[];
}

const SIGNS = {
  report: "discomfort",
  stops: "stopped",
  lost: "away",
  away: "away",
  missed: "waiting",
} as const;

const stepName = (record: ClassRecord, step: number | null): string =>
  record.steps.find((one) => one.step === step)?.title ?? "";

function reportMore(record: ClassRecord, report: ReportRecord): string {
  const taken = report.handled.find((one) => one.to === "taken") ?? report.handled[0];
  const who = taken?.name ?? (taken ? text.report.who[taken.by] : "");
  return [
    timeOfDay(report.at),
    report.step === null ? "" : t.inStep(stepName(record, report.step)),
    report.said.words ? `“${report.said.words}”` : "",
    taken ? t.takenBy(who, Math.round((taken.at - report.at) / 1000)) : t.nobodyTook,
    report.taken_back ? t.takenBack : "",
  ]
    .filter(Boolean)
    .join(" · ");
}

function words(record: ClassRecord, person: PersonRecord, concern: Concern): [what: string, more: string] {
  switch (concern.about) {
    case "report": {
      const report = record.reports.find((one) => one.id === concern.report);
      return report ? [ofReport(report), reportMore(record, report)] : ["", ""];
    }
    case "stops": {
      const stops = person.stops.filter((stop) => stop.reason !== "hurts");
      const reasons = [
        ...new Set(stops.flatMap((stop) => (stop.reason ? [deskText.reason[stop.reason]] : []))),
      ];
      const steps = [...new Set(stops.map((stop) => stepName(record, stop.step)))];
      return [t.about.stops(reasons, concern.times), steps.filter(Boolean).join(", ")];
    }
    case "away": {
      const left = person.left_at === null ? "" : t.left(timeOfDay(person.left_at));
      return [t.about.away(concern.minutes), left];
    }
    case "lost":
      return [t.about.lost(concern.times), t.lostMore];
    case "missed":
      return [t.about.missed, t.missedMore];
    default:
      return concern satisfies never;
  }
}

/** Who may need a follow-up, each with what was planned for them; and at the end whoever else has a follow-up. */
export function needs({ record, concerns, follow_ups }: AfterClass): Need[] {
  const left = new Set(follow_ups);
  const found = concerns.flatMap((concern): Need[] => {
    const person = record.people.find((one) => one.seat === concern.seat);
    if (!person) return [];
    const report =
      concern.about === "report" ? record.reports.find((one) => one.id === concern.report) : undefined;
    const [what, more] = words(record, person, concern);
    const name = report?.name ?? person.name;
    // A person's follow-ups stand beside the first thing that concerns them.
    const followUps = follow_ups.filter((one) => one.seat === concern.seat && left.delete(one));
    return [
      {
        key: `${concern.seat} ${concern.about} ${report?.id ?? ""}`,
        seat: concern.seat,
        sign: SIGNS[concern.about],
        title: `${name}: ${what}`,
        more,
        proposal: t.proposal(name, what).slice(0, LONGEST.sentence),
        followUps,
      },
    ];
  });
  const others = [...left].map((one): Need => {
    const name = record.people.find((person) => person.seat === one.seat)?.name ?? "";
    const followUps = [one];
    return {
      key: `also ${one.id}`,
      seat: one.seat,
      sign: "waiting",
      title: name,
      more: "",
      proposal: "",
      followUps,
    };
  });
  return [...found, ...others];
}

/** How a person is reached: where they said that they are, and whom to call. */
export function reachWords({ check_in, contacts }: AtDeskPerson): string {
  const said = [
    check_in?.place ?? contacts?.place,
    check_in?.contact,
    contacts?.phone,
    [contacts?.partner, contacts?.partner_phone].filter(Boolean).join(", "),
    contacts?.mail,
  ];
  return [...new Set(said)].filter(Boolean).join(" · ") || t.noContact;
}

const seconds = (ms: number): number => Math.round(ms / 1000);

/** A dose as people say it: 5 × 20 s where all holds are alike, otherwise what it comes to. */
export function dose({ reps, held_ms }: Pick<Figures, "reps" | "held_ms">, holds: number): string {
  const each = holds > 0 ? seconds(held_ms) / holds : 0;
  if (holds === reps && Number.isInteger(each) && each > 0) return `${reps} × ${each} s`;
  if (held_ms > 0) return `${reps}, ${seconds(held_ms)} s held`;
  return String(reps);
}

/** A drill of the class in a line of the table. */
export interface Line {
  step: number;
  title: string;
  planned: string;
  done: string;
  /** How it differs from the plan. */
  is: "as planned" | "shorter" | "left out" | "other";
  people: string;
  effort: number[];
}

function isOf(planned: Figures, done: Held, reached: boolean): Line["is"] {
  if (!reached) return "left out";
  if (done.reps === planned.reps && done.held_ms === planned.held_ms) return "as planned";
  return done.reps < planned.reps || done.held_ms < planned.held_ms ? "shorter" : "other";
}

function line(step: StepRecord): Line {
  const { planned, done } = step;
  return {
    step: step.step,
    title: step.title,
    planned: dose(planned, planned.holds),
    done: dose(done, done.partial > 0 ? 0 : done.completed),
    is: isOf(planned, done, step.took_ms > 0),
    people: step.asked > 0 ? t.didOf(step.did, step.asked) : step.rested > 0 ? t.forNobody : "",
    effort: step.effort,
  };
}

/** The drills of a class, in their order. */
export const lines = (record: ClassRecord): Line[] =>
  record.steps.filter((step) => step.drill !== null).map(line);

/** The day after today, as a date field has it. */
export function tomorrow(nowMs: number): string {
  const day = new Date(nowMs);
  day.setDate(day.getDate() + 1);
  return dateOf(day.getTime());
}
