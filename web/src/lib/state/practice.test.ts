import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import { Refused } from "../http";
import { CLASS, ITEM, LINK, log, OWN, SHEET, tabKeep } from "../practice/examples";
import { send } from "../practice/send";
import type { HomeDone } from "../wire/types";
import { PracticeState, type PracticeParts } from "./practice.svelte";

describe("somebody practises", () => {
  beforeEach(() => void vi.useFakeTimers({ now: 0 }));
  afterEach(() => void vi.useRealTimers());

  async function opened(change: Partial<PracticeParts> = {}) {
    const [keep, taken] = [tabKeep(), new Map<string, HomeDone>()];
    const network = { away: false, own: OWN, ended: false };
    let id = 0;
    const answer = <T>(what: T): Promise<T> => {
      if (network.away) return Promise.reject(new TypeError("the network is away"));
      return network.ended ? Promise.reject(new Refused(410, "link_ended", "")) : Promise.resolve(what);
    };
    const state = new PracticeState(keep, {
      read: () => answer(network.own),
      send: (kept, link) =>
        send(kept, link, (_, done) => answer(undefined).then(() => void taken.set(done.log.id, done))),
      monotonic: () => Date.now(),
      today: () => ({ day: "2026-10-07", offset_minutes: 60 }),
      newId: () => `log ${++id}`,
      met: () => undefined,
      kept: (own, link) => keep.keepSheets({ link, own }),
      ...change,
    });
    await state.begin(LINK);
    const settle = (): Promise<unknown> => vi.advanceTimersByTimeAsync(1);
    const of = state.own!.sheets[0]!;
    return { state, keep, taken, network, settle, choose: () => state.choose(of, of.sheet.items[0]!) };
  }

  it("at their own pace: parts go by the clock, rests last as long as they like", async () => {
    const { state, taken, settle, choose } = await opened();
    expect(state.step).toBe("choose");
    choose();
    await vi.advanceTimersByTimeAsync(600_000);
    expect(state.player!.is, "it begins when they say so").toBe("ready");
    state.player!.start();
    await vi.advanceTimersByTimeAsync(6_500);
    expect(state.player!.scene).toMatchObject({ on: { kind: "ready" }, seconds: 1 });
    expect(state.cues(5_000, 90_000).length).toBeGreaterThan(4);
    await vi.advanceTimersByTimeAsync(500 + 3_000 + 4_000);
    expect(state.player!.scene).toMatchObject({ on: { span: { phase: "voice", rep: 1 } }, seconds: 6 });
    await vi.advanceTimersByTimeAsync(6_000);
    expect([state.player!.is, state.player!.done, state.cues(0, 90_000)]).toEqual(["resting", 1, []]);
    await vi.advanceTimersByTimeAsync(600_000);
    expect(state.player!.coming).toMatchObject({ on: { next: { rep: 2 } } });
    state.player!.start();
    await vi.advanceTimersByTimeAsync(5_000 + 13_000);
    expect([state.step, state.player!.done]).toEqual(["how", 2]);
    await Promise.all([state.say("right"), state.say("hard")]);
    await settle();
    expect([...taken.values()].map(({ log }) => [log.done, log.ease, log.hurt, log.noted])).toEqual([
      [2, "right", false, "screen"],
    ]);
    expect([state.step, state.logs.waiting]).toEqual(["saved", []]);
  });

  it("and may stop at any time, repeat, take the easier way, and have done enough", async () => {
    const { state, taken, settle, choose } = await opened();
    choose();
    state.player!.start();
    await vi.advanceTimersByTimeAsync(12_000);
    state.player!.stop();
    expect([state.player!.is, state.player!.done, state.player!.scene]).toEqual(["stopped", 0, null]);
    await vi.advanceTimersByTimeAsync(60_000);
    expect(state.player!.is, "nothing goes on by itself").toBe("stopped");
    state.player!.goOn();
    await vi.advanceTimersByTimeAsync(5_000 + 13_000);
    expect([state.player!.is, state.player!.done]).toEqual(["resting", 1]);
    state.player!.stop();
    expect(state.player!.canBeEasier).toBe(true);
    state.player!.makeEasier();
    await vi.advanceTimersByTimeAsync(5_000 + 2_000);
    expect(state.player!.scene).toMatchObject({ on: { span: { rep: 2, len_ms: 4_000 } } });
    expect(state.player!.canBeEasier).toBe(false);
    await vi.advanceTimersByTimeAsync(2_000);
    expect([state.step, state.player!.done]).toEqual(["how", 2]);
    await state.say(null);
    await settle();
    expect([...taken.values()][0]!.log).toMatchObject({ form: "easier", done: 2, ease: null });
  });

  it("and what passed while the device slept was not done", async () => {
    const { state, choose } = await opened();
    choose();
    state.player!.start();
    await vi.advanceTimersByTimeAsync(12_000);
    // Its clock went on, and nothing was drawn.
    vi.setSystemTime(Date.now() + 60_000);
    await vi.advanceTimersByTimeAsync(600);
    expect([state.player!.is, state.player!.done]).toEqual(["stopped", 0]);
  });

  it("without the network: what hurt waits on the device, and is sent once when it is back", async () => {
    const { state, keep, taken, network, settle, choose } = await opened();
    network.away = true;
    choose();
    state.player!.start();
    await vi.advanceTimersByTimeAsync(21_000);
    state.player!.stop();
    await state.sayHurt();
    await settle();
    expect([state.step, state.logs.waiting.length, taken.size]).toEqual(["hurt", 1, 0]);
    expect((await keep.logs(LINK))[0]!.done.log).toMatchObject({ hurt: true, done: 1 });
    expect([state.hurtOn(ITEM), state.hurtOn({ ...ITEM, drill: "another" })]).toEqual(["2026-10-07", null]);
    // The page is opened anew, still without the network.
    const again = new PracticeState(keep, {
      read: () => Promise.reject(new TypeError("the network is away")),
      send: () => Promise.resolve("later" as const),
      monotonic: () => 0,
      today: () => ({ day: "", offset_minutes: 0 }),
      newId: () => "",
      met: () => undefined,
      kept: () => Promise.resolve(),
    });
    await again.begin(null);
    expect([again.step, again.own?.name, again.online, again.logs.waiting.length]).toEqual([
      "choose",
      "Ada",
      false,
      1,
    ]);
    network.away = false;
    await Promise.all([state.look(), state.look()]);
    expect([taken.size, state.logs.waiting]).toEqual([1, []]);
  });

  it("without the screen, and says how much it was", async () => {
    const { state, taken, settle } = await opened();
    const of = state.own!.sheets[0]!;
    for (const how of ["all", "some", "none"] as const) {
      state.byHand(of, of.sheet.items[0]!);
      await state.sayByHand(how);
      await settle();
    }
    const said = [...taken.values()].map(({ log }) => [log.done, log.noted]);
    expect(said).toEqual([
      [2, "hand"],
      [null, "hand"],
      [0, "hand"],
    ]);
  });

  it("what was taken off the sheet leaves an open player, and what was done of it is kept", async () => {
    const { state, taken, network, settle, choose } = await opened();
    choose();
    state.player!.start();
    await vi.advanceTimersByTimeAsync(21_000);
    expect(state.player!.is).toBe("resting");
    network.own = { ...OWN, sheets: [{ ...OWN.sheets[0]!, sheet: { ...SHEET, items: [] } }] };
    await state.look();
    await settle();
    expect([state.step, state.changed, state.doing]).toEqual(["choose", "gone", null]);
    expect([...taken.values()].map(({ log }) => log.done)).toEqual([1]);
  });

  it("what was changed on the sheet is begun anew as it is now", async () => {
    const { state, taken, network, settle, choose } = await opened();
    choose();
    state.player!.start();
    await vi.advanceTimersByTimeAsync(21_000);
    const [of] = OWN.sheets;
    const seated = { ...ITEM, form: "seated" as const };
    network.own = { ...OWN, sheets: [{ ...of!, sheet: { ...SHEET, items: [seated] } }] };
    await state.look();
    await settle();
    expect([state.step, state.changed, state.player!.is, state.player!.form]).toEqual([
      "playing",
      "other",
      "ready",
      "seated",
    ]);
    expect([...taken.values()].map(({ log }) => [log.form, log.done])).toEqual([["full", 1]]);
    await state.look();
    expect(state.changed, "the same sheet again is no news").toBe("other");
  });

  it("what was done counts although nobody says how it went", async () => {
    const { state, keep, taken, settle, choose } = await opened();
    choose();
    state.player!.start();
    await vi.advanceTimersByTimeAsync(21_000);
    state.player!.finish();
    await settle();
    expect([state.step, taken.size, (await keep.logs(LINK)).length]).toEqual(["how", 0, 1]);
    // The page is opened again later.
    await state.open(LINK);
    await settle();
    expect([...taken.values()].map(({ log }) => log.done)).toEqual([1]);
  });

  it("in two tabs, and how it went is said too late in one of them", async () => {
    const { state, keep, taken, settle, choose } = await opened();
    choose();
    state.player!.start();
    await vi.advanceTimersByTimeAsync(21_000);
    state.player!.finish();
    await settle();
    // The other tab is opened, and sends what is there.
    for (const draft of await keep.logs(LINK)) await keep.keepLog({ ...draft, isDraft: false });
    await state.look();
    await state.say("easy");
    await settle();
    expect([...taken.values()].map(({ log }) => [log.done, log.ease])).toEqual([[1, null]]);
    expect([state.step, state.logs.isSent]).toEqual(["saved", true]);
  });

  it("a link that was ended leaves nothing on the device", async () => {
    const { state, keep, network, choose } = await opened();
    network.away = true;
    choose();
    state.player!.start();
    state.player!.stop();
    await state.say(null);
    network.away = false;
    network.ended = true;
    await state.look();
    expect([state.step, state.own, await keep.sheets(), await keep.logs(LINK)]).toEqual([
      "ended",
      null,
      [],
      [],
    ]);
  });

  it("two people on one device are asked who it is, and a day that cannot be right is asked about", async () => {
    const { state, keep, taken, settle } = await opened();
    await keep.keepSheets({ link: "third", own: { ...OWN, sheets: [] } });
    await state.begin(null);
    expect(
      state.everybody.map(({ name }) => name),
      "two of one name",
    ).toEqual(["Ada: Strong ah", "Ada"]);
    await keep.forget("third");
    await keep.keepSheets({ link: "other", own: { ...OWN, name: "Ann" } });
    await state.begin(null);
    expect([state.step, state.everybody.map(({ name }) => name)]).toEqual(["who", ["Ada", "Ann"]]);
    await keep.keepLog({
      id: "old",
      link: LINK,
      done: { class: CLASS, log: { ...log("old").log, day: "1999-12-31" } },
      asks: true,
      isDraft: false,
    });
    await state.open(LINK);
    const [asked] = state.logs.waiting;
    // A tremor's second tap, or another tab, says it again.
    await Promise.all([state.answerDay(asked!, true), state.answerDay(asked!, false)]);
    await settle();
    expect([...taken.values()].map(({ log }) => [log.id === "old", log.day])).toEqual([[true, "2026-10-07"]]);
    await keep.keepLog({ id: "older", link: LINK, done: log("older"), asks: true, isDraft: false });
    await state.open(LINK);
    await state.answerDay(state.logs.waiting[0]!, false);
    expect([taken.size, state.logs.waiting]).toEqual([1, []]);
  });
});
