// How far a person's own report has come, in words that never claim more than is true.

import { text } from "./messages";
import type { Progress } from "./state/seat.svelte";

export interface ReportWords {
  title: string;
  then: string;
  /** Whether nobody looks after it yet, so that the person is told what to do if it gets worse. */
  unattended: boolean;
  /** How many of sent, seen and help comes are behind it. */
  reached: 0 | 1 | 2 | 3;
}

export function reportWords(progress: Progress): ReportWords {
  const t = text.report;
  switch (progress.is) {
    case "on_its_way":
      return progress.late
        ? { title: t.late, then: t.lateThen, unattended: true, reached: 0 }
        : { title: t.onItsWay, then: "", unattended: false, reached: 0 };
    case "recorded":
      return {
        title: t.recorded,
        then: progress.unseen ? `${t.unseen} ${t.rest}` : t.unseen,
        unattended: true,
        reached: 1,
      };
    case "seen":
      return {
        title: t.seenBy(progress.name ?? t.who[progress.by]),
        then: t.rest,
        unattended: false,
        reached: 2,
      };
    case "coming":
      return {
        title: t.comingBy(progress.name ?? t.who[progress.by]),
        then: t.stay,
        unattended: false,
        reached: 3,
      };
    case "refused":
      return { title: t.refused, then: t.refusedThen, unattended: true, reached: 0 };
    default:
      return progress satisfies never;
  }
}
