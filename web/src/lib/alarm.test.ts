import { expect, test } from "vitest";
import { alarm, Bell, OTHER_DESK_MS } from "./alarm";
import type { Alert, DeskFrame, DeskReport, LostRow, ReportState, UrgentSign } from "./wire/types";

function report(state: ReportState, urgent: UrgentSign | null = null, at = 0): DeskReport {
  return {
    id: `r${at}`,
    seat: 1,
    name: "Ann",
    at,
    said: { whose: "own", where: "neck", strength: null, urgent, words: null },
    strength: null,
    during: null,
    during_ms: null,
    state,
    handled: [],
    taken_back: false,
    recorded: true,
    location: null,
    contact: null,
  };
}

const lost: LostRow = {
  seat: 2,
  name: "Ben",
  heard_at: 0,
  during: 1,
  during_ms: 0,
  taken_by: null,
  location: null,
  contact: null,
};

function frame(reports: DeskReport[], lostRows: LostRow[] = []): DeskFrame {
  const alerts: Alert[] = [
    ...reports.map((one) => ({ kind: "report" as const, ...one })),
    ...lostRows.map((row) => ({ kind: "lost" as const, ...row })),
  ];
  return { lead: "facilitator", alerts } as Partial<DeskFrame> as DeskFrame;
}

test("a report sounds at the desk that leads, and after a while at the other one", () => {
  const seen = frame([report("recorded")]);
  expect(alarm(seen, "facilitator", 0)?.urgent).toBe(false);
  expect(alarm(seen, "helper", OTHER_DESK_MS - 1)).toBeNull();
  expect(alarm(seen, "helper", OTHER_DESK_MS)).not.toBeNull();
});

test("an urgent report and a lost person sound everywhere at once until somebody takes them", () => {
  for (const state of ["recorded", "seen"] as const) {
    expect(alarm(frame([report(state, "choking")]), "helper", 0)?.urgent).toBe(true);
  }
  expect(alarm(frame([report("taken", "choking")]), "facilitator", 0)).toBeNull();
  expect(alarm(frame([], [lost]), "helper", 0)?.urgent).toBe(true);
  expect(alarm(frame([], [{ ...lost, taken_by: "helper" }]), "facilitator", 0)).toBeNull();
});

test("a seen report is quiet, an unseen one gets louder up to the limit", () => {
  expect(alarm(frame([report("seen")]), "facilitator", 60_000)).toBeNull();
  const volumes = [0, 5_000, 10_000, 120_000].map(
    (ms) => alarm(frame([report("recorded")]), "facilitator", ms)!.volume,
  );
  expect(volumes.map((v) => Math.round(v * 100))).toEqual([25, 40, 55, 100]);
});

test("the bell rings at once for something new and again after its pause", () => {
  const bell = new Bell();
  const one = frame([report("recorded")]);
  const two = frame([report("recorded"), report("recorded", null, 100)]);
  const rings = (f: DeskFrame, ms: number) => bell.rings(alarm(f, "facilitator", ms), ms);
  expect(rings(one, 0)).toBe("new");
  expect(rings(one, 4_999)).toBeNull();
  expect(rings(one, 5_000)).toBe("again");
  expect(rings(two, 5_100)).toBe("new");
  expect(rings(frame([]), 5_200)).toBeNull();
  expect(rings(one, 5_300)).toBe("new");
});
