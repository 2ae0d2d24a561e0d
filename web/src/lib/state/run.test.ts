import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import type { Keep } from "../practice/keep";
import { CLASS, CONTENT, HOME_CLASS, ITEM, LINK, log as logOf, OWN, tabKeep } from "../practice/examples";
import { send } from "../practice/send";
import type { HomeDone, HomeDrillSheet, OwnHomeClass, OwnSheets } from "../wire/types";
import { PracticeState } from "./practice.svelte";

const s = (seconds: number): Promise<unknown> => vi.advanceTimersByTimeAsync(seconds * 1_000);

describe("a home class", () => {
  beforeEach(() => void vi.useFakeTimers({ now: 0 }));
  afterEach(() => void vi.useRealTimers());

  async function opened(of: OwnHomeClass = HOME_CLASS) {
    const [keep, taken] = [tabKeep(), new Map<string, HomeDone>()];
    const network = { own: { ...OWN, classes: [of] } as OwnSheets, today: "2026-10-07" };
    let id = 0;
    const state = new PracticeState(keep, {
      read: () => Promise.resolve(network.own),
      send: (kept, link) => send(kept, link, (_, done) => Promise.resolve(void taken.set(done.log.id, done))),
      monotonic: () => Date.now(),
      today: () => ({ day: network.today, offset_minutes: 60 }),
      newId: () => `id ${++id}`,
      met: () => undefined,
      kept: (own, link) => keep.keepSheets({ link, own }),
    });
    await state.begin(LINK);
    state.chooseClass(state.own!.classes[0]!);
    const logs = () => [...taken.values()].map(({ log }) => [log.drill, log.done, log.ease, log.hurt]);
    return { state, keep, taken, network, logs };
  }

  it("lasts to the second as long as its plan says, and goes from drill to drill by itself", async () => {
    const { state, taken, logs } = await opened();
    expect(state.step).toBe("intro");
    state.beginClass();
    await s(600);
    expect([state.player!.is, state.run!.secondsLeft], "the first one waits").toEqual(["ready", null]);
    state.start();
    const begun = Date.now();
    // The whole of the first drill, with the rests that would wait in a drill on its own.
    await s(7 + 56 - 0.1);
    expect(state.player!.is).toBe("doing");
    await s(0.1);
    expect([state.run!.isResting, state.run!.secondsLeft, state.run!.coming?.drill]).toEqual([
      true,
      20,
      "hiss",
    ]);
    await s(20);
    expect([state.run!.isResting, state.player!.is, state.run!.secondsLeft]).toEqual([false, "ready", 15]);
    await s(14);
    expect(state.run!.secondsLeft).toBe(1);
    await s(1);
    expect([state.player!.is, state.run!.secondsLeft]).toEqual(["doing", null]);
    while (state.step === "playing") await s(0.25);
    expect((Date.now() - begun) / 1_000).toBe(HOME_CLASS.sheet.total_ms / 1_000);
    expect([state.step, taken.size], "nothing is sent before they said how it went").toEqual(["how", 0]);
    await state.say("right");
    await s(0.01);
    expect(logs()).toEqual([
      ["strong-ah", 2, "right", false],
      ["hiss", 3, "right", false],
    ]);
    const runs = [...taken.values()].map(({ log }) => log.run);
    expect(runs[0]).toEqual(runs[1]);
    expect(runs[0]).toMatchObject({ class: HOME_CLASS.id, title: "Evening hour", drills: 2 });
    expect([...taken.values()][0]!.class).toBe(CLASS);
    expect([state.step, state.logs.isSent]).toEqual(["saved", true]);
  });

  it("stops in a drill, in a rest and before a drill, and goes on from there", async () => {
    const { state, logs } = await opened();
    state.beginClass();
    state.start();
    await s(12);
    state.stop();
    expect(state.player!.is).toBe("stopped");
    await s(600);
    state.goOn();
    // From the beginning of the repetition, after five seconds to get ready.
    await s(5 + 56);
    expect(state.run!.isResting).toBe(true);
    state.stop();
    await s(600);
    expect([state.run!.isStopped, state.run!.isResting], "nothing goes on by itself").toEqual([true, true]);
    state.goOn();
    expect([state.run!.isResting, state.run!.secondsLeft]).toEqual([false, null]);
    await s(600);
    expect(state.player!.is, "it waits for them now").toBe("ready");
    state.stop();
    expect(state.run!.isStopped).toBe(true);
    await state.enough();
    expect(state.step).toBe("how");
    await state.say(null);
    await s(0.01);
    expect(logs()).toEqual([["strong-ah", 2, null, false]]);
  });

  it("goes on at once for whoever does not wait, and leaves out what they leave out", async () => {
    const { state, logs } = await opened();
    state.beginClass();
    state.start();
    await s(7 + 13);
    state.stop();
    await state.skip();
    expect([state.run!.isResting, state.step]).toEqual([true, "playing"]);
    state.run!.goOn();
    expect([state.player!.is, state.run!.secondsLeft]).toEqual(["ready", 15]);
    state.start();
    expect([state.player!.is, state.run!.secondsLeft]).toEqual(["doing", null]);
    await s(60);
    await state.say("hard");
    await s(0.01);
    expect(logs()).toEqual([
      ["strong-ah", 1, "hard", false],
      ["hiss", 3, "hard", false],
    ]);
  });

  it("begins no swallow by itself, and nothing while the device sleeps", async () => {
    const swallow: HomeDrillSheet = { ...ITEM, drill: "swallow", content: { ...CONTENT, swallow: true } };
    const sheet = {
      ...HOME_CLASS.sheet,
      steps: [
        { kind: "drill" as const, sheet: ITEM },
        { kind: "drill" as const, sheet: swallow },
      ],
    };
    const { state } = await opened({ ...HOME_CLASS, sheet });
    state.beginClass();
    state.start();
    await s(63);
    await s(600);
    expect([state.player!.item.drill, state.player!.is]).toEqual(["swallow", "ready"]);
    const other = await opened();
    other.state.beginClass();
    other.state.start();
    await s(65);
    vi.setSystemTime(Date.now() + 60_000);
    await s(2);
    expect([other.state.run!.isResting, other.state.run!.isStopped]).toEqual([true, true]);
  });

  it("asks how they are when they stop, or were away, in the rest after the last repetition", async () => {
    const { state, logs } = await opened();
    state.beginClass();
    state.start();
    // Both repetitions are over.
    await s(7 + 45);
    state.stop();
    expect([state.step, state.player!.is, state.player!.canBeEasier]).toEqual(["playing", "stopped", false]);
    await s(600);
    expect(state.run!.number, "nothing goes on by itself").toBe(1);
    state.goOn();
    expect([state.run!.isResting, state.run!.secondsLeft]).toEqual([true, 20]);
    await state.enough();
    await state.say(null);
    await s(0.01);
    expect(logs()).toEqual([["strong-ah", 2, null, false]]);
    const other = await opened();
    other.state.beginClass();
    other.state.start();
    await s(7 + 45);
    vi.setSystemTime(Date.now() + 3_600_000);
    await s(1);
    expect([other.state.run!.number, other.state.player!.is]).toEqual([1, "stopped"]);
  });

  it("counts each drill once, however they stop, skip and tap twice", async () => {
    const { state, logs } = await opened();
    state.beginClass();
    state.start();
    await s(7 + 13);
    state.stop();
    void state.skip();
    expect(state.run!.isResting).toBe(true);
    state.stop();
    await state.sayHurt();
    await s(0.01);
    expect(logs(), "it is said of the drill that was last").toEqual([["strong-ah", 1, null, true]]);
    const other = await opened();
    other.state.beginClass();
    other.state.start();
    await s(7 + 13);
    other.state.stop();
    await Promise.all([other.state.enough(), other.state.enough()]);
    await other.state.say("easy");
    await s(0.01);
    expect(other.logs()).toEqual([["strong-ah", 1, "easy", false]]);
  });

  it("keeps what was done of a swallow that waits to be gone on with", async () => {
    const swallow: HomeDrillSheet = { ...ITEM, content: { ...CONTENT, swallow: true } };
    const sheet = { ...HOME_CLASS.sheet, steps: [{ kind: "drill" as const, sheet: swallow }] };
    const { state, logs } = await opened({ ...HOME_CLASS, sheet });
    state.beginClass();
    state.start();
    await s(7 + 13);
    state.stop();
    state.goOn();
    expect([state.player!.is, state.player!.done]).toEqual(["ready", 1]);
    state.leave();
    await s(0.01);
    expect(logs()).toEqual([["strong-ah", 1, null, false]]);
  });

  it("says what hurt of a drill that was begun, although it was stopped again before it went on", async () => {
    const second: HomeDrillSheet = { ...ITEM, drill: "second", content: { ...CONTENT, swallow: true } };
    const steps = [ITEM, second].map((sheet) => ({ kind: "drill" as const, sheet }));
    const { state, logs } = await opened({ ...HOME_CLASS, sheet: { ...HOME_CLASS.sheet, steps } });
    state.beginClass();
    state.start();
    await s(63);
    state.start();
    await s(7 + 13);
    state.stop();
    state.goOn();
    expect(state.player!.is).toBe("ready");
    state.stop();
    await state.sayHurt();
    await s(0.01);
    expect(logs()).toEqual([
      ["strong-ah", 2, null, false],
      ["second", 1, null, true],
    ]);
  });

  it("waits for a tap where something is needed first, or hurt", async () => {
    for (const change of [{ needs: ["A towel."] }, { hurt: "2026-10-06" }]) {
      const second: HomeDrillSheet = { ...ITEM, drill: "second", ...change };
      const steps = [ITEM, second].map((sheet) => ({ kind: "drill" as const, sheet }));
      const { state } = await opened({ ...HOME_CLASS, sheet: { ...HOME_CLASS.sheet, steps } });
      state.beginClass();
      state.start();
      await s(63 + 600);
      expect([state.player!.item.drill, state.player!.is, state.run!.secondsLeft]).toEqual([
        "second",
        "ready",
        null,
      ]);
      // It can be left out without being begun.
      state.stop();
      await state.skip();
      expect(state.step).toBe("how");
    }
  });

  it("goes on when somebody saw to what hurt, and over the midnight after its last day", async () => {
    const { state, network } = await opened();
    state.beginClass();
    state.start();
    await s(10);
    const [first, ...others] = HOME_CLASS.sheet.steps as [{ kind: "drill"; sheet: HomeDrillSheet }];
    const sore = { ...first, sheet: { ...first.sheet, hurt: "2026-10-06" } };
    network.own = {
      ...OWN,
      classes: [{ ...HOME_CLASS, sheet: { ...HOME_CLASS.sheet, steps: [sore, ...others] } }],
    };
    await state.look();
    expect(state.player!.is).toBe("doing");
    // The server has it for a day longer than it is to be begun.
    network.today = "2026-10-14";
    await state.look();
    expect([state.step, state.player!.is]).toEqual(["playing", "doing"]);
  });

  it("is asked about once where its day cannot be right", async () => {
    const { state, keep, taken } = await opened();
    for (const drill of ["strong-ah", "hiss"]) {
      const { log, class: of } = logOf(drill);
      const run = { class: HOME_CLASS.id, title: "Evening hour", run: "one", drills: 2 };
      await keep.keepLog({
        id: drill,
        link: LINK,
        done: { class: of, log: { ...log, day: "2001-01-01", run } },
        asks: true,
        isDraft: false,
      });
    }
    state.leave();
    await state.open(LINK);
    expect(state.logs.waiting.length).toBe(2);
    await state.answerDay(state.logs.waiting[0]!, true);
    await s(0.01);
    expect([...taken.values()].map(({ log }) => log.day)).toEqual(["2026-10-07", "2026-10-07"]);
  });

  it("says what hurt of the drill that was on or last, and ends there", async () => {
    const { state, logs } = await opened();
    state.beginClass();
    state.start();
    await s(63 + 20 + 15 + 7 + 6);
    state.stop();
    await state.sayHurt();
    await s(0.01);
    expect([state.step, state.logs.isSent]).toEqual(["hurt", true]);
    expect(logs()).toEqual([
      ["strong-ah", 2, null, false],
      ["hiss", 1, null, true],
    ]);
    state.leave();
    expect([state.step, state.run]).toEqual(["choose", null]);
  });

  it("is not gone on with when it was taken back or changed, and what was done of it counts", async () => {
    const { state, network, logs } = await opened();
    state.beginClass();
    state.start();
    await s(7 + 13);
    network.own = OWN;
    await state.look();
    await s(0.01);
    expect([state.step, state.changed, state.run]).toEqual(["choose", "class", null]);
    expect(logs()).toEqual([["strong-ah", 1, null, false]]);
  });

  it("keeps what was done over a reload, and opens what an earlier version kept", async () => {
    const { state, keep, taken } = await opened();
    state.beginClass();
    state.start();
    await s(64);
    expect((await keep.logs(LINK)).map(({ isDraft }) => isDraft)).toEqual([true]);
    const parts = {
      monotonic: () => 0,
      today: () => ({ day: "2026-10-07", offset_minutes: 60 }),
      newId: () => "id",
      kept: () => Promise.resolve(),
      read: () => Promise.reject(new TypeError("the network is away")),
      send: (kept: Keep, link: string) =>
        send(kept, link, (_, done) => Promise.resolve(void taken.set(done.log.id, done))),
      met: () => undefined,
    };
    const { classes: _, ...earlier } = OWN;
    await keep.keepSheets({ link: LINK, own: earlier as OwnSheets });
    const again = new PracticeState(keep, parts);
    await again.begin(LINK);
    expect([...taken.values()].map(({ log }) => [log.drill, log.done, log.ease])).toEqual([
      ["strong-ah", 2, null],
    ]);
    expect([again.step, again.own!.classes]).toEqual(["choose", []]);
  });
});
