// A person's own page: who it is for, when it goes into the class by itself, and what is left when they are done.

import { expect, test } from "vitest";
import { Refused } from "../http";
import type { OwnPlace, OwnClass, OwnPage } from "../wire/types";
import { OwnState, type OwnParts } from "./own.svelte";

const LINK = "018f-1";

const ABSENT: OwnClass = {
  group: "g",
  of: "2027-03-09",
  name: "Lantern Quay",
  opens: 0,
  starts: 0,
  ends: 0,
  moved: false,
  cancelled: null,
  comes: false,
};

interface Host {
  open: boolean;
  ended: boolean;
  away: boolean;
  sending: boolean;
  absent: boolean;
  language: string | null;
  told: string[];
  practises?: OwnPlace;
}

function opened(token: string | null, link: string | null, more: Partial<Host> = {}) {
  const host: Host = {
    open: false,
    ended: false,
    away: false,
    sending: false,
    absent: false,
    language: null,
    told: [],
    ...more,
  };
  const answers = async <T>(what: T): Promise<T> => {
    if (host.away) throw new TypeError("the network is away");
    if (host.ended) throw new Refused(401, "no_pass", "no place");
    return Promise.resolve(what);
  };
  const page = (): OwnPage => ({
    name: "Ada",
    shared: false,
    now: 0,
    open: host.open,
    classes: host.absent ? [ABSENT] : [],
  });
  const parts: OwnParts = {
    look: () => answers({ name: "Ada" }),
    open: (_, shared) => answers({ place: { link: LINK, shared }, language: host.language }),
    page: () => answers(page()),
    practise: (place) => (host.practises = place),
    come: () =>
      host.open
        ? answers({ stay: "stay", place: "in" })
        : Promise.reject(new Refused(409, "not_open", "not yet")),
    sendWord: async (_, group, of, comes) => void host.told.push(await answers(`${group} ${of} ${comes}`)),
    done: async () => void host.told.push(await answers("done")),
    speaks: (name, language) => void host.told.push(`${name} speaks ${language}`),
    enter: (stay, shared) => host.told.push(`enter ${stay} ${shared}`),
    settle: ({ link, shared }) => host.told.push(`settle ${link} ${shared}`),
    leave: () => host.told.push("leave"),
    isSending: () => host.sending,
    forget: () => host.told.push("forget"),
  };
  return { host, own: new OwnState(token, link, parts) };
}

test("whoever opens a link is asked whether it is them, and says no to nothing more", async () => {
  const { host, own } = opened("TOKEN", null);
  await own.begin();
  expect([own.step, own.name, own.page]).toEqual(["asks", "Ada", null]);
  own.no();
  expect(host.told).toEqual(["leave"]);
});

test("the language that staff noted is kept before the page goes on", async () => {
  const { host, own } = opened("TOKEN", null, { language: "es" });
  await own.begin();
  await own.yes();
  expect(host.told).toEqual(["Ada speaks es", `settle ${LINK} false`]);
});

test("yes leads into a class that is on, and to the person's page otherwise", async () => {
  for (const open of [true, false]) {
    const { host, own } = opened("TOKEN", null, { open });
    await own.begin();
    own.shared = true;
    await own.yes();
    expect(host.told).toEqual([open ? "enter stay true" : `settle ${LINK} true`]);
  }
});

test("a page that waits goes into the class by itself, and one that was opened during it shows a key", async () => {
  const waiting = opened(null, LINK);
  await waiting.own.begin();
  expect([waiting.own.step, waiting.host.told]).toEqual(["home", []]);
  waiting.host.open = true;
  await waiting.own.lookAgain();
  expect(waiting.host.told).toEqual(["enter stay false"]);

  const late = opened(null, LINK, { open: true });
  await late.own.begin();
  await late.own.lookAgain();
  expect([late.own.page?.open, late.host.told]).toEqual([true, []]);
  await late.own.comeIn();
  expect(late.host.told).toEqual(["enter stay false"]);
});

test("whoever said that they cannot come is not taken in by a page that was left open, and can still come", async () => {
  const { host, own } = opened(null, LINK, { absent: true });
  await own.begin();
  host.open = true;
  await own.lookAgain();
  await own.lookAgain();
  expect([own.page?.open, host.told]).toEqual([true, []]);
  await own.comeIn();
  expect(host.told).toEqual(["enter stay false"]);
});

test("without the network the page stays as it is, and a press says what happened", async () => {
  const { host, own } = opened(null, LINK);
  await own.begin();
  host.away = true;
  await own.lookAgain();
  expect([own.step, own.problem, own.page?.name]).toEqual(["home", "", "Ada"]);
  await own.done();
  expect([own.problem, host.told]).toEqual(["failed", []]);
});

test("a link that was ended says so", async () => {
  const { host, own } = opened(null, LINK);
  await own.begin();
  host.ended = true;
  await own.lookAgain();
  expect(own.step).toBe("ended");
});

test("done with a shared device, the server is told first, and then everything is forgotten", async () => {
  const { host, own } = opened(null, LINK);
  await own.begin();
  host.sending = true;
  await own.done();
  expect([own.problem, host.told]).toEqual(["sending", []]);
  host.sending = false;
  await own.done();
  expect(host.told).toEqual(["done", "forget", "leave"]);
});

test("what there is to do at home has a page of its own", async () => {
  const { host, own } = opened(null, LINK);
  await own.begin();
  own.practise();
  expect(host.practises).toEqual({ link: LINK, shared: false });
});
