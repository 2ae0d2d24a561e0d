import "fake-indexeddb/auto";
import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import { Refused } from "../http";
import { PracticeState, type PracticeParts } from "./practice.svelte";
import type { Content, HomeDone, HomeDrillSheet, OwnSheets, Phase, Span, Timeline } from "../wire/types";
import { timedId } from "../practice/id";
import { MemoryShelf } from "../shelf";
import { deviceKeep, eitherKeep, leaveDevice, tabKeep as tabKeepIn, type Keep } from "../practice/keep";
import { atMost, fromRep, LEAD_MS, OPEN_REST_MS, partsFrom, partsOf, repsDone } from "../practice/parts";
import { send } from "../practice/send";

const tabKeep = (): Keep => tabKeepIn(new MemoryShelf());
const LINK = "11111111-1111-4111-8111-111111111111";
const CLASS = "22222222-2222-4222-8222-222222222222";

/** Spans one after the other; each is a phase, its length in seconds, its repetition, and perhaps its set. */
function timeline(...parts: [Phase, number, number, number?][]): Timeline {
  let at = 0;
  const spans = parts.map(([phase, s, rep, set = 1]): Span => {
    const span = {
      start_ms: at,
      len_ms: s * 1_000,
      phase,
      cue: phase,
      set,
      rep,
      side: 0,
      marks: null,
      held_ms: 0,
    };
    at += span.len_ms;
    return span;
  });
  return { ready_ms: 7_000, spans, total_ms: at };
}

/** Two repetitions with a long rest between them, and a rest at the end. */
const AH = timeline(
  ["breathe_in", 3, 1],
  ["voice", 10, 1],
  ["rest", 15, 1],
  ["breathe_in", 3, 2],
  ["voice", 10, 2],
  ["rest", 15, 2],
);
/** Three with short rests, two of which go by themselves. */
const HISS = timeline(["voice", 6, 1], ["rest", 4, 1], ["voice", 6, 2], ["rest", 4, 2], ["voice", 6, 3]);

describe("the parts of a drill", () => {
  it("are cut at its longer rests, and nothing follows the last repetition", () => {
    const [first, second, ...more] = partsOf(AH);
    expect(more).toEqual([]);
    expect(first!.timeline).toMatchObject({ ready_ms: 7_000, total_ms: 13_000 });
    expect(second!.timeline).toMatchObject({ ready_ms: LEAD_MS, total_ms: 13_000 });
    expect(second!.timeline.spans[0]).toMatchObject({ start_ms: 0, rep: 2 });
    expect([first!.repEnds, second!.repEnds]).toEqual([[13_000], [13_000]]);
    expect(partsOf(HISS)).toHaveLength(1);
    expect(partsOf(HISS)[0]!.repEnds).toEqual([6_000, 16_000, 26_000]);
    expect(partsOf({ ready_ms: 0, spans: [], total_ms: 0 })).toEqual([]);
  });

  it("hold as much work as the drill itself, to the millisecond", () => {
    const work = (spans: readonly Span[]): number =>
      spans.filter(({ phase }) => phase !== "rest").reduce((sum, { len_ms }) => sum + len_ms, 0);
    for (const whole of [AH, HISS]) {
      expect(partsOf(whole).reduce((sum, part) => sum + work(part.timeline.spans), 0)).toBe(
        work(whole.spans),
      );
    }
    expect(OPEN_REST_MS).toBeGreaterThanOrEqual(LEAD_MS);
  });

  it("end with as many repetitions as there is room for", () => {
    const reps = (most: number): number[][] => atMost(partsOf(AH), most).map(({ repEnds }) => [...repEnds]);
    expect([reps(0), reps(1), reps(2), reps(9)]).toEqual([
      [],
      [[13_000]],
      [[13_000], [13_000]],
      [[13_000], [13_000]],
    ]);
    const [one] = atMost(partsOf(HISS), 2);
    expect([one!.timeline.total_ms, one!.timeline.spans.length]).toEqual([16_000, 3]);
  });

  it("count a repetition once it is over", () => {
    const [part] = partsOf(HISS);
    expect([0, 5_999, 6_000, 16_000, 99_000].map((ms) => repsDone(part!, ms))).toEqual([0, 0, 1, 2, 3]);
  });

  it("begin again with the repetition that was stopped, also in another form", () => {
    const [part] = partsOf(HISS);
    const left = fromRep(part!, 12_000)!;
    expect(left.timeline.spans[0]).toMatchObject({ rep: 2, start_ms: 0 });
    expect(left.repEnds).toEqual([6_000, 16_000]);
    // In the rest after the first repetition that one is over; the next one comes.
    expect(fromRep(part!, 7_000)!.timeline.spans[0]!.rep).toBe(2);
    expect(fromRep(part!, 60_000)).toBeNull();
    const easier = partsOf(timeline(["voice", 3, 1], ["rest", 4, 1], ["voice", 3, 2]));
    expect(partsFrom(easier, { side: 0, set: 1, rep: 2 })[0]!.timeline.spans[0]).toMatchObject({ rep: 2 });
    // The easier form has fewer: there is nothing left to do.
    expect(partsFrom(easier, { side: 0, set: 1, rep: 3 })).toEqual([]);
  });
});

it("an id sorts by time and says its version (RFC 9562, 5.7; the time is that of its appendix A.6)", () => {
  const bytes = Uint8Array.from("0123456789abcdef", (_, at) => at * 17);
  const id = timedId(0x017f22e279b0, bytes);
  expect(id.slice(0, 13)).toBe("017f22e2-79b0");
  expect(id).toMatch(/^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/);
  expect(timedId(0x017f22e279b1, new Uint8Array(16)) > id).toBe(true);
});

const log = (id: string): HomeDone => ({
  class: CLASS,
  log: {
    id,
    drill: "strong-ah",
    form: "full",
    asked: { reps: 2, times_a_day: 1, days_a_week: 5 },
    done: 2,
    ease: null,
    hurt: false,
    noted: "screen",
    day: "2026-10-07",
    offset_minutes: 60,
  },
});

for (const [name, make] of [
  ["the device's database", async () => (await deviceKeep())!],
  ["a tab", () => Promise.resolve(tabKeep())],
] as [string, () => Promise<Keep>][]) {
  describe(`what is kept in ${name}`, () => {
    it("goes with the link, and leaves that of others", async () => {
      const keep = await make();
      for (const link of ["one", "two"]) {
        await keep.keepSheets({ link, own: OWN });
        await keep.keepLog({ id: `of ${link}`, link, done: log("x"), asks: false, isDraft: false });
      }
      await keep.forget("one");
      expect((await keep.sheets()).map(({ link }) => link)).toEqual(["two"]);
      expect([await keep.logs("one"), (await keep.logs("two")).length]).toEqual([[], 1]);
      await keep.dropLog("of two");
      expect(await keep.logs("two")).toEqual([]);
      await keep.forget("two");
    });
  });
}

it("what the device cannot keep, and what others must not find on it, is kept in the tab", async () => {
  const full = { ...tabKeep(), keepLog: () => Promise.reject(new Error("it is full")) };
  const [tab, own] = [tabKeep(), tabKeep()];
  const keep = eitherKeep(full, tab);
  const one = { id: "one", link: LINK, done: log("one"), asks: false, isDraft: false };
  await keep.keepLog(one);
  expect([(await keep.logs(LINK)).length, (await tab.logs(LINK)).length]).toEqual([1, 1]);
  await own.keepSheets({ link: LINK, own: OWN });
  await own.keepLog({ ...one, id: "two" });
  await leaveDevice(own, tab, LINK);
  expect([await own.sheets(), await own.logs(LINK)]).toEqual([[], []]);
  expect((await tab.logs(LINK)).map(({ id }) => id)).toEqual(["one", "two"]);
});

describe("what is sent", () => {
  const answers: Record<string, Error | null> = {
    gone: new Refused(410, "link_ended", ""),
    day: new Refused(422, "other_day", ""),
    differs: new Refused(409, "differs", ""),
    wrong: new Refused(409, "wrong", ""),
    busy: new Refused(503, "restarting", ""),
    away: new TypeError("the network is away"),
    good: null,
  };
  async function sent(...ids: string[]) {
    const keep = tabKeep();
    const asked: string[] = [];
    for (const id of ids) await keep.keepLog({ id, link: LINK, done: log(id), asks: false, isDraft: false });
    const result = await send(keep, LINK, (_, { log: { id } }) => {
      asked.push(id);
      const answer = answers[id];
      return answer ? Promise.reject(answer) : Promise.resolve();
    });
    const left = (await keep.logs(LINK)).map(({ id, asks }) => (asks ? `${id}?` : id));
    return { result, asked, left };
  }

  it("is dropped once the server has it, and only then", async () => {
    expect(await sent("good", "differs")).toEqual({ result: "taken", asked: ["good", "differs"], left: [] });
    expect(await sent("away", "good")).toEqual({ result: "later", asked: ["away"], left: ["away", "good"] });
    expect(await sent("busy", "good")).toMatchObject({ result: "later", left: ["busy", "good"] });
    expect(await sent("wrong", "good"), "one does not hold up the others").toMatchObject({ left: ["wrong"] });
    expect(await sent("day", "good")).toMatchObject({ result: "taken", left: ["day?"] });
  });

  it("goes with everything else when the link was ended", async () => {
    expect(await sent("gone", "good")).toEqual({ result: "ended", asked: ["gone"], left: [] });
  });
});

const CONTENT: Content = {
  id: 1,
  rev: 0,
  kind: "drill",
  title: "Strong ah",
  purpose: null,
  family: "voice",
  caution: "Strong, not tight.",
  easier: null,
  sides: [],
  reps: 2,
  sets: 1,
  swallow: false,
  eyes_away: false,
  tap: "rests",
  pose: "tall",
  forms: [{ form: "easier", reps: 2, timeline: timeline(["voice", 4, 1], ["rest", 5, 1], ["voice", 4, 2]) }],
  timeline: AH,
} as unknown as Content;
const ITEM = {
  drill: "strong-ah",
  form: "full",
  hold_ms: null,
  what: null,
  pose: "tall",
  how: [],
  set_rest_ms: 0,
  sides: [],
  words: [],
  reps: 2,
  sets: 1,
  times_a_day: 1,
  days_a_week: 5,
  cautions: ["Strong, not tight."],
  needs: [],
  content: CONTENT,
} as unknown as HomeDrillSheet;
const SHEET = {
  name: "Ada",
  language: null,
  from: "2026-10-06",
  until: "2026-10-13",
  items: [ITEM],
  left_out: [],
};
const OWN: OwnSheets = {
  name: "Ada",
  emergency_number: "555",
  shared: false,
  sheets: [{ class: CLASS, by: "Ines", sheet: SHEET }],
};

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
    expect([state.step, state.waiting]).toEqual(["saved", []]);
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
    expect([state.step, state.waiting.length, taken.size]).toEqual(["hurt", 1, 0]);
    expect((await keep.logs(LINK))[0]!.done.log).toMatchObject({ hurt: true, done: 1 });
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
    expect([again.step, again.own?.name, again.online, again.waiting.length]).toEqual([
      "choose",
      "Ada",
      false,
      1,
    ]);
    network.away = false;
    await Promise.all([state.look(), state.look()]);
    expect([taken.size, state.waiting]).toEqual([1, []]);
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
    const [asked] = state.waiting;
    // A tremor's second tap, or another tab, says it again.
    await Promise.all([state.answerDay(asked!, true), state.answerDay(asked!, false)]);
    await settle();
    expect([...taken.values()].map(({ log }) => [log.id === "old", log.day])).toEqual([[true, "2026-10-07"]]);
    await keep.keepLog({ id: "older", link: LINK, done: log("older"), asks: true, isDraft: false });
    await state.open(LINK);
    await state.answerDay(state.waiting[0]!, false);
    expect([taken.size, state.waiting]).toEqual([1, []]);
  });
});
