import "fake-indexeddb/auto";
import { describe, expect, it } from "vitest";
import { Refused } from "../http";
import { LINK, log, OWN, tabKeep } from "./examples";
import { deviceKeep, eitherKeep, leaveDevice, type Keep } from "./keep";
import { send } from "./send";

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
