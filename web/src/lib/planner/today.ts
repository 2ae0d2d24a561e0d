// The class of the day and what is left to do, in words. It is pure.

import { deskText } from "../messages/desk";
import { plannerText as t } from "../messages/planner";
import type { Change, LeftToDo, Today } from "../wire/types";
import { dayText } from "./draft";

const MINUTE_MS = 60_000;

/** The time of day at this place, as 14:05. */
export function clockText(at: number): string {
  return new Date(at).toLocaleTimeString("en-GB", { hour: "2-digit", minute: "2-digit" });
}

/** How far away the class of the day is. */
export function untilText({ now, class: day }: Today): string {
  if (!day) return "";
  const { starts } = day.coming.class;
  if (now >= starts) return t.today.isOn;
  const minutes = Math.ceil((starts - now) / MINUTE_MS);
  if (minutes < 120) return t.today.inMinutes(minutes);
  return t.today.inHours(Math.floor(minutes / 60));
}

const seconds = (ms: number): string => t.today.seconds(Math.round(ms / 1_000));

/** Whom or what a change is about, and what has changed. */
export function changeWords(change: Change): [string, string] {
  switch (change.what) {
    case "new_person":
      return [change.name, t.today.newPerson];
    case "new_precautions":
      return [change.name, t.today.newPrecautions(change.conditions.map((one) => deskText.conditions[one]))];
    case "reps":
      return [change.title, t.today.reps(change.before, change.now)];
    case "held":
      return [change.title, t.today.held(seconds(change.before_ms), seconds(change.now_ms))];
    case "new_drill":
      return [change.title, t.today.newDrill];
  }
}

/** What is to be done, and what is to be known of it. */
export function leftWords(left: LeftToDo): [string, string] {
  switch (left.what) {
    case "no_plan":
      return [t.today.planClass(dayText(left.day)), left.name];
    case "retention_open":
      return [t.today.retentionOpen, t.today.retentionOpenNote];
    case "records_go":
      return [t.today.recordsGo(left.people), t.today.recordsGoNote(dayText(left.on))];
    case "retention_failed":
      return [t.today.retentionFailed, t.today.retentionFailedNote(dayText(left.day))];
    case "letter_failed":
      return [t.today.letterFailed(left.name), left.why];
    case "notes":
      return [t.today.notes(left.people), t.today.notesOf(left.title, dayText(left.day))];
    case "follow_up":
      return followUpWords(left);
  }
}

function followUpWords(left: LeftToDo & { what: "follow_up" }): [string, string] {
  return [`${left.name}: ${left.to_do}`, t.today.followUp(left.owner, dayText(left.due), left.title)];
}
