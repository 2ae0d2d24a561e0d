import { beforeEach, expect, test, vi } from "vitest";
import { frameOf, report, row, sheetStep, stageOf, talk } from "../desk/examples";
import type { DeskCommand, DeskFrame, AtDeskPerson, Sheet, SheetStep } from "../wire/types";
import { DeskState } from "./desk.svelte";
import type { LiveSession } from "./session.svelte";

let told: DeskCommand[];
let steps: SheetStep[];
const asked = vi.fn();

async function deskAt(frame: Partial<DeskFrame> = {}, stage = stageOf()): Promise<DeskState> {
  const session = {
    stage,
    scene: null,
    clock: { isSet: true, now: () => 100_000 },
    linkState: "open",
    onItsWay: [],
    isSafetyPause: stage.safety_pause !== null,
    tellDesk: (command: DeskCommand) => told.push(command),
  } as unknown as LiveSession;
  const requests = {
    sheet: () =>
      Promise.resolve({ title: "", code: "", rehearsal: false, class_ms: 0, created_at: 0, steps } as Sheet),
    person: (seat: number) => {
      asked(seat);
      return Promise.resolve({ seat, name: "Pat", reports: [] } as unknown as AtDeskPerson);
    },
  } as unknown as DeskState["requests"];
  const desk = new DeskState(() => session, requests, { sound: vi.fn(), notify: vi.fn(), title: vi.fn() });
  desk.hear({ kind: "desk", desk: frameOf([row(1, "Ada"), row(2, "Ben")], frame) });
  await Promise.resolve();
  return desk;
}
const hears = (desk: DeskState, frame: Partial<DeskFrame>, ...rows: ReturnType<typeof row>[]) =>
  desk.hear({ kind: "desk", desk: frameOf(rows, { seq: 2, ...frame }) });

beforeEach(() => {
  told = [];
  steps = [talk(1, "Welcome", 5), sheetStep(7, "Ah"), sheetStep(8, "Ee")];
  asked.mockClear();
});

test("the drawer of a person who was taken out closes, so that its key opens the next one", async () => {
  const desk = await deskAt();
  desk.open({ is: "person", seat: 2 });
  hears(desk, {}, row(1, "Ada"));
  expect(desk.drawer).toBeNull();
  desk.act("more");
  expect(desk.drawer).toEqual({ is: "more" });
  desk.act("more");
  expect(desk.drawer).toBeNull();
});

test("what is put in comes after what was put in before it", async () => {
  const desk = await deskAt();
  desk.insert({ kind: "sip", seconds: 30 });
  expect(told.at(-1)).toMatchObject({ do: "insert", after: 7 });
  steps = [...steps.slice(0, 2), { ...sheetStep(9, "A sip"), inserted: true }, ...steps.slice(2)];
  hears(desk, { sheet_rev: 1 }, row(1, "Ada"));
  await Promise.resolve();
  desk.insert({ kind: "talk", title: "Talk", minutes: 2 });
  expect(told.at(-1)).toMatchObject({ do: "insert", after: 9 });
});

test("more time is ten seconds of a drill and a minute of a talk", async () => {
  const desk = await deskAt();
  desk.act("longer");
  expect(told.at(-1)).toEqual({ do: "more_time", seconds: 10 });
  const moves = [{ at: 0, step: 1, rev: 0, offset_ms: 0, running: true, stretch: [] }];
  const talking = await deskAt({}, stageOf({ moves }));
  talking.act("longer");
  expect(told.at(-1)).toEqual({ do: "set_time", step: 1, seconds: 360 });
});

test("what is known of the person whose alert is on top is asked for once", async () => {
  const desk = await deskAt({ alerts: [report(2, "Ben")] });
  await Promise.resolve();
  expect(desk.topPerson?.seat).toBe(2);
  hears(desk, { alerts: [report(2, "Ben")] }, row(2, "Ben"));
  expect(asked.mock.calls).toEqual([[2]]);
  hears(desk, {}, row(2, "Ben"));
  expect(desk.topPerson).toBeNull();
});

test("the space bar ends no safety pause, and the key for the end only asks", async () => {
  const desk = await deskAt({}, stageOf({ safety_pause: 1 }));
  desk.act("pause");
  expect(told).toEqual([]);
  steps = [sheetStep(7, "Ah")];
  const last = await deskAt();
  last.act("forward");
  expect(told).toEqual([]);
  expect(last.drawer).toEqual({ is: "end" });
});
