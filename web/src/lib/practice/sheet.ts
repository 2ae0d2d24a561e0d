// What a home sheet says of a drill.

import type { AskedAtHome, HomeClassSheet, HomeDrillSheet } from "../wire/types";

const MINUTE_MS = 60_000;

/** A day as people say it in the language of a sheet. */
export function dayWords(day: string, language: string | null, year?: "numeric"): string {
  return new Date(`${day}T12:00Z`).toLocaleDateString(language?.startsWith("es") ? "es" : "en-GB", {
    weekday: "long",
    day: "numeric",
    month: "long",
    ...(year && { year }),
    timeZone: "UTC",
  });
}

/** What is asked for each time, over all sets and sides, and how often. */
export function asked(item: HomeDrillSheet): AskedAtHome {
  const sides = Math.max(1, item.sides.length);
  const { times_a_day, days_a_week } = item;
  return { reps: item.reps * item.sets * sides, times_a_day, days_a_week };
}

/** About how many minutes it takes, with the rests as they are planned. */
export function minutesOf({ content, form }: HomeDrillSheet): number {
  const own = content.forms.find((one) => one.form === form)?.timeline ?? content.timeline;
  return minutes(own.ready_ms + own.total_ms);
}

/** A length in whole minutes, at least one. */
export function minutes(ms: number): number {
  return Math.max(1, Math.round(ms / MINUTE_MS));
}

/** The drills of a home class, in order. */
export function drillsOf({ steps }: HomeClassSheet): HomeDrillSheet[] {
  return steps.flatMap((step) => (step.kind === "drill" ? [step.sheet] : []));
}
