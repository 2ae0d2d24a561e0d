import { describe, expect, test } from "vitest";
import type { Parcel } from "../outbox";
import type { Content, Mine, MyReport, SeatCommand, Stage } from "../wire/types";
import { MemoryShelf } from "../shelf";
import { SeatState, UNSEEN_MS, LATE_MS } from "./seat.svelte";
import type { Scene } from "../player";
import type { LiveSession } from "./session.svelte";

const MINE: Mine = {
  seat: 1,
  name: "Ann",
  partner: null,
  checked_in: true,
  joins: null,
  step: 7,
  answer: null,
  far: null,
  forms: [{ step: 7, form: "full" }],
  stopped: false,
  reason_given: false,
  rest_asked: false,
  did: 0,
  reports: [],
  message: null,
  clue: null,
  mouth_empty: null,
  effort_said: null,
  home: [],
};

/** A person with a screen; the test empties their outbox. */
class Person {
  nowMs = 0;
  sent: SeatCommand[] = [];
  session = {
    onItsWay: [] as Parcel[],
    scene: null as Partial<Scene> | null,
    stage: null as Partial<Stage> | null,
    clock: { isSet: true, now: () => this.nowMs + 1_000_000 },
    newId: () => `id${this.sent.length}`,
    tellSeat: (command: SeatCommand) => {
      this.sent.push(command);
      this.session.onItsWay = [
        ...this.session.onItsWay,
        { kind: "seat", id: `c${this.sent.length}`, command } as Parcel,
      ];
      return `c${this.sent.length}`;
    },
  };
  seat: SeatState;

  constructor(readonly memory = new MemoryShelf()) {
    this.seat = new SeatState(
      () => this.session as unknown as LiveSession,
      () => this.nowMs,
      memory,
    );
    this.hear({});
  }

  hear(mine: Partial<Mine>): void {
    this.seat.hear({ kind: "mine", mine: { ...MINE, ...mine } });
  }

  settleAll(): void {
    this.session.onItsWay = [];
  }

  wait(ms: number): void {
    this.nowMs += ms;
    this.seat.look();
  }

  shows(content: Partial<Content>): void {
    const at = { paused: false } as Scene["at"];
    const on = { kind: "over" } as Scene["on"];
    this.session.scene = { content: { id: 7, kind: "drill", swallow: false, ...content } as Content, at, on };
  }
}

describe("a trembling finger", () => {
  test("taps twice and is heard once", () => {
    const ann = new Person();
    ann.seat.stop();
    ann.nowMs += 200;
    ann.seat.stop();
    expect(ann.sent).toHaveLength(1);
    ann.nowMs += 400;
    ann.seat.stop();
    expect(ann.sent).toHaveLength(2);
  });

  // Once, the key vanished after five seconds, and others moved under the finger.
  test("can take a slip back for as long as nothing was said of it", () => {
    const ann = new Person();
    ann.seat.stop();
    ann.wait(60_000);
    expect(ann.seat.mayBeASlip).toBe(true);
    ann.seat.stopBecause("tired");
    ann.hear({ stopped: true, reason_given: true });
    expect(ann.seat.mayBeASlip).toBe(false);
    ann.seat.goOn();
    ann.wait(1_000);
    ann.hear({});
    ann.seat.stop();
    ann.wait(1_000);
    ann.seat.undoStop();
    expect(ann.sent.map((c) => c.do)).toEqual(["stop", "stop", "go_on", "stop", "undo_stop"]);
    expect(ann.seat.panel).toBe("none");
  });
});

test("how far a hold went counts from the tap on, and stays what the class has", () => {
  const ann = new Person();
  ann.shows({});
  expect(ann.seat.far).toBeNull();
  ann.seat.howFar("target");
  expect(ann.seat.far).toBe("target");
  ann.hear({ far: "target" });
  ann.settleAll();
  expect(ann.seat.far).toBe("target");
  ann.shows({ id: 8 });
  ann.hear({ step: 8 });
  expect(ann.seat.far).toBeNull();
});

describe("a report", () => {
  test("goes out with the first tap and is completed under the same id", () => {
    const ann = new Person();
    ann.seat.stop();
    ann.seat.beginReport();
    ann.seat.sayMore({ where: "neck" });
    ann.seat.sayMore({ strength: { number: 5 } });
    const reports = ann.sent.filter((c) => c.do === "report");
    expect(new Set(reports.map((c) => c.report)).size).toBe(1);
    expect(reports.at(-1)?.said).toEqual({
      whose: "own",
      where: "neck",
      strength: { number: 5 },
      urgent: null,
      words: null,
    });
  });

  test("says no more than is true", () => {
    const ann = new Person();
    ann.seat.beginReport();
    const id = ann.seat.report!.id;
    expect(ann.seat.report?.progress).toEqual({ is: "on_its_way", late: false });
    ann.wait(LATE_MS + 1);
    expect(ann.seat.report?.progress).toEqual({ is: "on_its_way", late: true });
    const said = ann.seat.report!.said;
    const kept: MyReport = {
      id,
      also: [],
      at: 1_000_000,
      said,
      state: "recorded",
      seen_by: null,
      seen_by_name: null,
      over: false,
    };
    ann.hear({ stopped: true, reports: [kept] });
    expect(ann.seat.report?.progress.is).toBe("on_its_way");
    ann.settleAll();
    expect(ann.seat.report?.progress).toEqual({ is: "recorded", unseen: false });
    ann.wait(UNSEEN_MS);
    expect(ann.seat.report?.progress).toEqual({ is: "recorded", unseen: true });
    const seen = { ...kept, state: "seen" as const, seen_by: "helper" as const, seen_by_name: "Mo" };
    ann.hear({ stopped: true, reports: [seen] });
    expect(ann.seat.report?.progress).toEqual({ is: "seen", by: "helper", name: "Mo" });
    ann.hear({ stopped: true, reports: [{ ...seen, state: "taken" }] });
    expect(ann.seat.report?.progress).toEqual({ is: "coming", by: "helper", name: "Mo" });
  });

  test("an urgent sign says what to do at once and after a reload, until the person is better", () => {
    const ann = new Person();
    ann.seat.beginReport();
    ann.seat.sayMore({ urgent: "choking" });
    expect(ann.seat.panel).toBe("urgent");
    const again = new Person();
    again.session.onItsWay = ann.session.onItsWay;
    again.seat.look();
    expect(again.seat.panel).toBe("urgent");
    again.seat.isBetter();
    again.wait(1_000);
    expect(again.seat.panel).toBe("stopped");
    // After that, a reload does not bring the alarm back.
    const reloaded = new Person(again.memory);
    reloaded.session.onItsWay = ann.session.onItsWay;
    reloaded.wait(1_000);
    expect(reloaded.seat.panel).toBe("stopped");
  });

  // A person who is choking would not tap "It hurts".
  test("for help at once is one tap, and says the number before anything is asked", () => {
    const ann = new Person();
    ann.seat.stop();
    ann.seat.getHelp();
    expect(ann.seat.panel).toBe("urgent");
    const report = ann.sent.at(-1);
    expect(report?.do === "report" && report.said.urgent).toBe("help");
  });

  test("that became part of an open one is known by either id", () => {
    const ann = new Person();
    ann.seat.beginReport();
    const sent = ann.seat.report!;
    ann.settleAll();
    const open: MyReport = {
      id: "older",
      also: [sent.id],
      at: 1_000_000,
      said: sent.said,
      state: "taken",
      seen_by: "facilitator",
      seen_by_name: null,
      over: false,
    };
    ann.hear({ stopped: true, reports: [open] });
    expect(ann.seat.report?.progress.is).toBe("coming");
  });

  test("that went by plain request stays on the screen without a socket", () => {
    const ann = new Person();
    ann.seat.beginReport();
    ann.settleAll();
    expect(ann.seat.report?.progress).toEqual({ is: "recorded", unseen: false });
    ann.seat.sayMore({ urgent: "choking", where: "throat" });
    expect(ann.seat.panel).toBe("urgent");
    const reports = ann.sent.filter((c) => c.do === "report");
    expect(new Set(reports.map((c) => c.report)).size).toBe(1);
    expect(reports.at(-1)?.said.urgent).toBe("choking");
  });

  test("that was refused says so", () => {
    const ann = new Person();
    ann.seat.beginReport();
    ann.settleAll();
    ann.seat.hear({ kind: "refused", id: "c1", code: "not_in", text: "this seat is not in the class" });
    expect(ann.seat.report?.progress).toEqual({ is: "refused" });
  });

  test("asks which of two people it is", () => {
    const two = new Person();
    two.hear({ partner: "Greta" });
    two.seat.stop();
    expect(two.seat.asksWhose).toBe(true);
    two.seat.sayWhose("partner");
    two.seat.beginReport();
    expect(two.seat.report?.said.whose).toBe("partner");
  });
});

describe("what a drill asks of a person", () => {
  test("is a rest as long as it is not known", () => {
    const ann = new Person();
    ann.shows({ id: 8 });
    expect(ann.seat.isResting).toBe(true);
    ann.shows({ id: 8, kind: "talk" });
    expect(ann.seat.isResting).toBe(false);
    ann.hear({ forms: [{ step: 8, form: "easier" }] });
    ann.shows({ id: 8 });
    expect(ann.seat.isResting).toBe(false);
    expect(ann.seat.form).toBe("easier");
  });

  test("is first whether the mouth is empty", () => {
    const ann = new Person();
    ann.hear({ forms: [{ step: 7, form: "mouth_first" }] });
    ann.shows({ swallow: true });
    expect([ann.seat.asksMouth, ann.seat.isResting]).toEqual([true, true]);
    ann.seat.confirmMouth(false);
    expect(ann.seat.asksMouth).toBe(true);
    ann.seat.confirmMouth(true);
    expect([ann.seat.asksMouth, ann.seat.isResting]).toEqual([false, false]);
  });
});

test("effort is asked in rests only, and can be left out", () => {
  const ann = new Person();
  ann.shows({});
  ann.session.stage = { effort: 1 };
  expect(ann.seat.asksEffort).toBe(1);
  ann.session.scene!.on = { kind: "span", span: { phase: "hold" } } as Scene["on"];
  expect(ann.seat.asksEffort).toBeNull();
  ann.session.scene!.on = { kind: "over" } as Scene["on"];
  ann.seat.effortSkipped = 1;
  expect(ann.seat.asksEffort).toBeNull();
});
