// What an alert says, in the fewest words: who and what, and where they are and whom to call. It is pure.

import { text } from "../messages";
import { deskText } from "../messages/desk";
import type { Alert, DeskReport, DeskRole, StepId } from "../wire/types";

/** What somebody reported: the sign or the place, and how strong it is. */
export function ofReport(report: Pick<DeskReport, "said" | "strength">): string {
  const { said } = report;
  const place = said.where ? text.report.places[said.where].toLowerCase() : deskText.nothingSaid;
  const first = said.urgent ? deskText.signs[said.urgent] : place;
  const number = said.strength && "number" in said.strength ? ` (${said.strength.number})` : "";
  return report.strength
    ? `${first}, ${text.report.strengths[report.strength].toLowerCase()}${number}`
    : first;
}

/** What happened to them. */
export function what(alert: Alert): string {
  const t = deskText;
  switch (alert.kind) {
    case "report":
      return ofReport(alert);
    case "stopped":
      return alert.reason ? `${t.status.stopped}, ${t.reason[alert.reason]}` : t.status.stopped;
    case "lost":
      return t.people.lost;
    default:
      return alert satisfies never;
  }
}

/** Where they are and whom to call; an alert about nobody's health says nothing of that. */
export function reach(alert: Alert): string[] {
  const t = deskText;
  if (alert.kind === "stopped") return [];
  const known = [alert.location, alert.contact].filter((words) => words !== null);
  const call = alert.kind === "lost" ? [t.lostCall] : [];
  return [...call, ...(known.length > 0 ? known : [t.noPlace])];
}

/** The rest of what is known, for the drawer: when, during what, and who has it. */
export function more(
  alert: Alert,
  title: (step: StepId | null) => string | undefined,
  nameOf: (role: DeskRole) => string,
  clock: (ms: number) => string,
): string[] {
  const t = deskText;
  switch (alert.kind) {
    case "report": {
      const step = title(alert.during);
      const last = alert.state === "recorded" ? undefined : alert.handled.at(-1);
      return [
        ...(alert.recorded ? [] : [t.notRecorded]),
        clock(alert.at),
        ...(step ? [t.during(step)] : []),
        ...(alert.taken_back ? [t.takenBack] : []),
        ...(last ? [`${t.handled[alert.state]}: ${last.name ?? nameOf(last.by)}, ${clock(last.at)}`] : []),
        ...(alert.said.words ? [`“${alert.said.words}”`] : []),
      ];
    }
    case "stopped":
      return [clock(alert.since)];
    case "lost": {
      const where = t.lostIn(title(alert.during) ?? "", Math.round(alert.during_ms / 1000));
      return [clock(alert.heard_at), where, ...(alert.taken_by ? [t.takenBy(nameOf(alert.taken_by))] : [])];
    }
    default:
      return alert satisfies never;
  }
}

/** Whether somebody looks after it already. */
export function isTaken(alert: Alert): boolean {
  if (alert.kind === "report") return alert.state !== "recorded" && alert.state !== "seen";
  return alert.kind === "lost" && alert.taken_by !== null;
}

export function isUrgent(alert: Alert): boolean {
  return alert.kind === "report" && alert.said.urgent !== null;
}

/** Names an alert for as long as it is the same one. */
export function keyOf(alert: Alert): string {
  return alert.kind === "report" ? `report.${alert.id}` : `${alert.kind}.${alert.seat}`;
}
