// Days and times of a group's classes in words, and what is different about a day. It is pure.

import { plannerText as t } from "../messages/planner";
import type { Group, Occurrence, OtherDay } from "../wire/types";

/** An instant as the clocks of a zone show it, such as Tue 3 Nov, 10:00. */
export function momentText(at: number, zone?: string): string {
  const parts = {
    weekday: "short",
    day: "numeric",
    month: "short",
    hour: "2-digit",
    minute: "2-digit",
  } as const;
  return new Intl.DateTimeFormat("en-GB", { ...parts, ...(zone ? { timeZone: zone } : {}) }).format(at);
}

/** An instant by the reader's own clocks, and by those of the class where they show something else. */
export function momentsOf(
  { starts }: Occurrence,
  zone: string,
  own?: string,
): { here: string; there: string | null } {
  const [here, there] = [momentText(starts, own), momentText(starts, zone)];
  return { here, there: here === there ? null : there };
}

/** The place that gives a zone its name, such as New York. */
export function placeOf(zone: string): string {
  return (zone.split("/").at(-1) ?? zone).replaceAll("_", " ");
}

/** What people are told when a class is cancelled: which, why, and when the next one is, by the clocks of the group. */
export function cancelledMessage(
  group: Pick<Group, "name" | "zone">,
  classes: readonly Occurrence[],
  one: Occurrence,
  why: string,
): string {
  const day = (at: number): string =>
    new Intl.DateTimeFormat("en-GB", {
      weekday: "long",
      day: "numeric",
      month: "long",
      hour: "2-digit",
      minute: "2-digit",
      ...(group.zone ? { timeZone: group.zone } : {}),
    }).format(at);
  const next = classes.find((other) => other.starts > one.starts && other.cancelled === null);
  return t.cancelledMessage(group.name, day(one.starts), why, next ? day(next.starts) : null);
}

const NOTHING = { cancelled: null, day: null, start: null, minutes: null, led_by: null, stand_in: null };

/** What is different about the class that is regularly on this day. */
export function otherOf(group: Group, of: string): OtherDay {
  return group.others.find((other) => other.of === of) ?? { of, ...NOTHING };
}

/** The group with something different about a day; a day about which nothing is different is not kept. */
export function withOther(group: Group, other: OtherDay): Group {
  const isUsual = Object.values({ ...other, of: null }).every((value) => value === null);
  const rest = group.others.filter((one) => one.of !== other.of);
  const others = isUsual ? rest : [...rest, other];
  return { ...group, others: others.sort((a, b) => a.of.localeCompare(b.of)) };
}
