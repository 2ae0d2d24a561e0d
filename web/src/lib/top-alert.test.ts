import { expect, test } from "vitest";
import { commandOf, SETTLES_MS, TopAlert } from "./top-alert";
import type { Alert, DeskReport } from "./wire/types";

const report = (id: string, state: DeskReport["state"], urgent: string | null = null) =>
  ({ kind: "report", id, state, said: { urgent } }) as unknown as Alert;
const lost = (seat: number, taken_by: string | null) =>
  ({ kind: "lost", seat, taken_by }) as unknown as Alert;
const stopped = { kind: "stopped", seat: 3 } as unknown as Alert;

test("each key has one meaning, and only what somebody saw to is resolved by a key", () => {
  const to = (act: "see" | "take" | "resolve", alert: Alert | null) => {
    const command = commandOf(act, alert);
    return command && ("to" in command ? command.to : command.do);
  };
  const acts = ["see", "take", "resolve"] as const;
  const all = (alert: Alert | null) => acts.map((act) => to(act, alert));
  expect(all(report("a", "recorded"))).toEqual(["seen", "taken", null]);
  expect(all(report("a", "seen"))).toEqual([null, "taken", null]);
  for (const state of ["taken", "resting", "back"] as const) {
    expect(all(report("a", state))).toEqual([null, null, "closed"]);
  }
  expect(all(lost(2, null))).toEqual([null, "take_lost", null]);
  expect(all(lost(2, "helper"))).toEqual([null, null, "close_lost"]);
  expect(all(stopped)).toEqual(["see_stop", "see_stop", null]);
  expect(all(null)).toEqual([null, null, null]);
});

test("a key pressed as another alert comes to the top is not believed", () => {
  const top = new TopAlert();
  const [ann, ben] = [report("ann", "recorded"), report("ben", "recorded", "choking")];
  top.show(ann, 0);
  expect(top.isTooSoon("see", ann, SETTLES_MS)).toBe(false);
  top.show(ben, 10_000);
  expect(top.isTooSoon("see", ben, 10_000 + SETTLES_MS - 1)).toBe(true);
  expect(top.isTooSoon("see", ben, 10_000 + SETTLES_MS)).toBe(false);
  expect(top.isTooSoon("take", ann, 10_001), "chosen from the list below").toBe(false);
});

test("a second press by a slip does not resolve what the first one took", () => {
  const top = new TopAlert();
  top.show(report("ann", "recorded"), 0);
  top.show(report("ann", "seen"), 5_000);
  expect(top.isTooSoon("take", report("ann", "seen"), 5_001), "S and then T").toBe(false);
  top.show(report("ann", "taken"), 6_000);
  expect(top.isTooSoon("resolve", report("ann", "taken"), 6_100)).toBe(true);
  expect(top.isTooSoon("resolve", report("ann", "taken"), 6_000 + SETTLES_MS)).toBe(false);
});
