// Places where things meet: two classes in two tabs of one browser, two tabs of one person, a crash and a new start,
// a key pressed while the network is away, a finger that drags, a device that keeps nothing.

import assert from "node:assert/strict";
import { after, before, test as nodeTest } from "node:test";
import { House, calm, checksIn, close, drawn, glance, goTo, key, more, sayName, setEntry, shows, waits } from "./people.mjs";

const test = (name, act) => nodeTest(name, { timeout: 120_000 }, act);
const plan = (name) => new URL(name, import.meta.url).pathname;
/** A pattern, because after a while the page says more. */
const UNSEEN = /^(It is sent\. )?Nobody has seen it yet\./;
const PHONE = { viewport: { width: 390, height: 844 }, hasTouch: true };

let house, morning, evening;

/** A class: its desk, and the people who take part in it. */
class Group {
  constructor(desk, links) {
    Object.assign(this, { desk, links });
  }

  async begin() {
    await this.desk.getByRole("button", { name: "Let people in" }).click();
  }

  calls(words) {
    return this.desk.getByLabel("Reports", { exact: true }).getByText(words);
  }
}

before(async () => {
  house = await House.open("serve", "--emergency-number", "555", "--plan", plan("states-plan.toml"));
  const links = await house.anotherClass(plan("../sync/plan.toml"));
  // One facilitator with two classes in two tabs of one browser.
  const browser = await house.browser.newContext({ viewport: { width: 720, height: 900 } });
  const desk = async (link) => {
    const page = await house.tab(browser, link);
    await page.waitForURL("**/desk/**");
    return page;
  };
  morning = new Group(await desk(house.server.links.desk), house.server.links);
  evening = new Group(await desk(links.desk), links);
  for (const group of [morning, evening]) await group.begin();
});
after(() => house.close());

const inCalm = (group) => calm(group.desk);
const stop = (page) => page.getByRole("button", { name: "I need to stop" }).click();
const hurts = (page) => page.getByRole("button", { name: "It hurts or feels wrong" }).click();

/** Makes a whole report on the page of a person who has stopped. */
async function reports(page, place) {
  await hurts(page);
  await page.getByRole("button", { name: "None of these" }).click();
  await page.getByRole("button", { name: place, exact: true }).click();
  await page.getByRole("button", { name: "Moderate", exact: true }).click();
}

async function resolve(group) {
  await glance(group.desk);
  await key(group.desk, "t");
  await group.desk.getByRole("button", { name: "Resolved" }).waitFor();
  await glance(group.desk);
  await key(group.desk, "d");
  await inCalm(group);
}

test("two classes in two tabs of one browser: desks and screens stay apart, over a crash and another start", async () => {
  const browser = await house.browser.newContext(PHONE);
  let [early, late] = [await house.tab(browser, morning.links.class), await house.tab(browser, evening.links.class)];
  await house.comesIn(early, "Ann");
  await house.comesIn(late, "Ann");
  await key(morning.desk, "PageDown");
  await shows(early, "Welcome to all of you");
  await waits(late);
  await key(evening.desk, "PageDown");
  await shows(late, "Welcome");
  await goTo(evening.desk, "Long steady hiss");
  await shows(late, "Get ready");
  await shows(early, "Welcome to all of you");
  // A person who vanishes during a talk is not reported as lost.
  await shows(evening.desk, "Get ready");
  await goTo(evening.desk, "Welcome");
  await shows(late, "Listen to your facilitator.");

  // Without a network she stops in one class and reports in the other. Then the browser crashes.
  house.proxy.cut();
  await early.getByText("No connection.", { exact: false }).waitFor();
  await stop(early);
  await reports(early, "Neck");
  await late.getByText("No connection.", { exact: false }).waitFor();
  await stop(late);
  await reports(late, "Jaw");
  const addresses = [early.url(), late.url()];
  for (const page of [early, late]) await page.close({ runBeforeUnload: false });
  house.proxy.mend();

  late = await house.tab(browser, addresses[1]);
  await evening.calls("Ann: Jaw, moderate").waitFor();
  await shows(late, UNSEEN);
  await inCalm(morning);
  // What was said in the other class is sent by that class's own tab only.
  early = await house.tab(browser, addresses[0]);
  await morning.calls("Ann: Neck, moderate").waitFor();
  await shows(early, UNSEEN);
  await evening.calls("Ann: Jaw, moderate").waitFor();
  assert.equal(await evening.desk.getByText("Neck").count(), 0);

  // A report that one desk sees to is settled in that desk's class only.
  await glance(evening.desk);
  await key(evening.desk, "s");
  await shows(late, "Your facilitator has seen it.");
  await shows(early, UNSEEN);
  for (const group of [morning, evening]) await resolve(group);

  // A desk that crashed comes back into its own class.
  const there = morning.desk.url();
  await morning.desk.close();
  morning.desk = await house.tab(evening.desk.context(), there);
  await shows(morning.desk, "Welcome to all of you");
  await early.getByRole("button", { name: "I can go on now" }).click();
  await key(morning.desk, "PageDown");
  await early.getByRole("heading", { name: "Steady strong ah" }).waitFor();
  assert.equal(await late.getByRole("heading", { name: "Steady strong ah" }).count(), 0);
  // The page for coming in offers both classes by name.
  const entry = await house.tab(browser, house.server.links.class.split("#")[0]);
  await entry.getByRole("button", { name: "Seldom states: continue as Ann" }).waitFor();
  await entry.getByRole("button", { name: "In step: continue as Ann" }).click();
  await entry.waitForURL(addresses[1]);
  assert.deepEqual([...early.errors, ...late.errors, ...entry.errors], []);
  await goTo(morning.desk, "Welcome to all of you");
  await shows(early, "Welcome to all of you");
  await browser.close();
});

test("two tabs of one person: what one tab kept when it crashed, the other sends once", async () => {
  const browser = await house.browser.newContext(PHONE);
  const one = await house.tab(browser, evening.links.class);
  await house.comesIn(one, "Ben");
  const two = await house.tab(browser, one.url());
  await two.getByRole("button", { name: "I need to stop" }).waitFor();
  house.proxy.cut();
  await one.getByText("No connection.", { exact: false }).waitFor();
  await stop(one);
  await reports(one, "Back");
  await one.close({ runBeforeUnload: false });
  house.proxy.mend();
  await evening.calls("Ben: Back, moderate").waitFor();
  await shows(two, UNSEEN);
  assert.deepEqual(await evening.desk.getByText(/more waiting/).allTextContents(), [], "there is only one report");
  await resolve(evening);
  await browser.close();
});

test("two Anns on one device are two people, and each is asked who she is", async () => {
  const browser = await house.browser.newContext(PHONE);
  const first = await house.tab(browser, evening.links.class);
  await house.comesIn(first, "Otto");
  const second = await house.tab(browser, evening.links.class);
  await shows(second, "Are you Otto?");
  await second.getByRole("button", { name: "No, someone else" }).click();
  await house.comesIn(second, "Otto");
  assert.notEqual(first.url(), second.url());
  const third = await house.tab(browser, evening.links.class);
  await third.getByRole("button", { name: "Yes, I am Otto" }).click();
  await third.waitForURL("**/class/**");
  assert.ok([first.url(), second.url()].includes(third.url()), "no third seat was taken");
  await browser.close();
});

test("a key pressed without a network is dropped and says so, but a safety pause still counts", async () => {
  const { desk } = evening;
  await goTo(desk, "Sit tall");
  await shows(desk, "Get ready");
  house.proxy.cut();
  await desk.getByText("No connection.", { exact: false }).first().waitFor();
  await key(desk, "PageDown");
  await shows(desk, "Not sent, and not done: next step. Press again if you still mean it.");
  await key(desk, "Escape");
  await shows(desk, "No connection. Waiting to be sent: safety pause.");
  house.proxy.mend();
  await desk.getByRole("button", { name: "Resume the class" }).waitFor();
  await desk.getByText("Sit tall waits").waitFor();
  await desk.getByRole("button", { name: "Resume the class" }).click();
  await glance(desk);
  await desk.getByRole("button", { name: "Yes, resume" }).click();
  await desk.getByRole("button", { name: "Resume the class" }).waitFor({ state: "detached" });
});

/** Fingers, as a touch screen reports them. */
async function finger(page) {
  const session = await page.context().newCDPSession(page);
  const touch = (type, ...touchPoints) => session.send("Input.dispatchTouchEvent", { type, touchPoints });
  return {
    /** Puts a finger down in one place, moves it to another in steps, and lifts it. */
    async drags([x, y], [toX, toY]) {
      await touch("touchStart", { x, y });
      for (let n = 1; n <= 5; n++) await touch("touchMove", { x: x + ((toX - x) * n) / 5, y: y + ((toY - y) * n) / 5 });
      await touch("touchEnd");
    },
    async isTakenAway([x, y]) {
      await touch("touchStart", { x, y });
      await touch("touchCancel");
    },
  };
}

test("a finger that trembles presses a key; one that scrolls does not", async () => {
  const browser = await house.browser.newContext(PHONE);
  const page = await house.tab(browser, evening.links.class);
  await page.getByLabel("Your first name").fill("Cleo");
  await page.getByRole("button", { name: "Join the class" }).click();
  const middle = async (name) => {
    const { x, y, width, height } = await page.getByRole("button", { name, exact: true }).boundingBox();
    return [x + width / 2, y + height / 2];
  };
  const hand = await finger(page);
  await page.getByRole("button", { name: "Not well" }).waitFor();
  await glance(page);
  // A finger that trembles by 30 px answers a question of the check-in.
  await hand.drags(await middle("Well"), (await middle("Well")).map((at) => at + 21));
  await shows(page, "Is anything new since last time?");
  // On a page that scrolls, a drag that moves the page presses nothing.
  await glance(page);
  await page.setViewportSize({ width: 390, height: 440 });
  await drawn(page);
  await page.getByRole("button", { name: "Yes, something" }).scrollIntoViewIfNeeded();
  const scrolled = () => page.evaluate(() => document.querySelector("section.ask").scrollTop);
  const [from, [x, y]] = [await scrolled(), await middle("Yes, something")];
  await hand.drags([x, y], [x, y + 90]);
  await page.waitForFunction((from) => document.querySelector("section.ask").scrollTop < from - 30, from);
  await drawn(page);
  await shows(page, "Is anything new since last time?");
  await page.setViewportSize(PHONE.viewport);
  await checksIn(page);
  // On a page that does not scroll, a key is pressed when the finger slides 30 px in any direction, or onto the key
  // from beside it.
  const isUndone = async () => {
    await shows(page, "You have stopped.");
    const undo = page.getByRole("button", { name: "I pressed it by accident" });
    await undo.waitFor();
    await glance(page);
    await undo.tap();
    await page.getByRole("button", { name: "I need to stop" }).waitFor();
    await glance(page);
  };
  for (const [dx, dy] of [[30, 0], [-30, 0], [0, 30], [0, -30]]) {
    const [x, y] = await middle("I need to stop");
    await hand.drags([x, y], [x + dx, y + dy]);
    await isUndone();
  }
  const [atX, atY] = await middle("I need to stop");
  await hand.drags([atX, 60], [atX, atY]);
  await isUndone();
  // If the system cancels the touch, as when a call comes in, nothing was pressed.
  await hand.isTakenAway([atX, atY]);
  await drawn(page);
  assert.ok(await page.getByRole("button", { name: "I need to stop" }).isVisible());
  assert.deepEqual(page.errors, []);
  await browser.close();
});

test("no key of the stop page moves under a hand, and help is one tap away", async () => {
  const dot = await house.person("Dot");
  await stop(dot);
  const places = async () => {
    const boxes = await dot.locator(".keys button").evaluateAll((keys) => keys.map((key) => key.getBoundingClientRect().toJSON()));
    return boxes.map(({ x, y, width, height }) => [x, y, width, height].map(Math.round).join(" "));
  };
  await dot.getByRole("button", { name: "I can go on now" }).or(dot.getByRole("button", { name: "I pressed it by accident" })).waitFor();
  const before = await places();
  assert.equal(before.length, 5);
  await dot.getByRole("button", { name: "I am tired" }).click();
  await dot.getByText("Noted.", { exact: false }).waitFor();
  assert.deepEqual(await places(), before, "after giving a reason");
  await dot.getByRole("button", { name: "I can go on now" }).waitFor();
  assert.deepEqual(await places(), before, "after saying that it was no slip");
  await reports(dot, "Neck");
  await shows(dot, UNSEEN);
  assert.deepEqual(await places(), before, "while a report is on its way");
  await morning.calls("Dot: Neck, moderate").waitFor();
  await dot.getByRole("button", { name: "Get help now" }).click();
  await shows(dot, "Call 555 now");
  await morning.calls("Dot: asks for help now, moderate").waitFor();
  assert.equal(await morning.desk.getByText(/more waiting/).count(), 0, "one person has one alert");
  await dot.getByRole("button", { name: "I am better" }).click();
  await resolve(morning);
  await dot.context().close();
});

test("alerts and people at the door move nothing on the desk", async () => {
  const { desk } = morning;
  const tops = () =>
    desk.evaluate(() =>
      [".top", ".stage", ".notes", ".people", ...["next", "pause", "safety", "second"].map((name) => `nav .${name}`)]
        .map((at) => document.querySelector(at).getBoundingClientRect().toJSON())
        .map(({ x, y, width, height }) => [x, y, width, height].map(Math.round).join(" ")),
    );
  await inCalm(morning);
  const before = await tops();
  assert.ok(before.length >= 5);
  const people = [];
  for (const name of ["Eve", "Finn"]) {
    const page = await house.person(name);
    people.push(page);
    await stop(page);
    await reports(page, "Neck");
    await desk.getByText(`${name}: neck`, { exact: false }).first().waitFor();
  }
  await desk.getByRole("button", { name: /^1 more waiting\.\s*Finn: neck, moderate/ }).waitFor();
  assert.deepEqual(await tops(), before, "after two reports");
  await setEntry(desk, "only people you let in");
  await close(desk);
  for (const name of ["Gus", "Hal", "Ivo"]) people.push(await house.stranger(name));
  await desk.getByRole("button", { name: /^4 more waiting\.\s*Finn: neck, moderate/ }).waitFor();
  assert.deepEqual(await tops(), before, "with three people asking to come in");
  // Of two alerts, the first stays first until somebody has seen to it.
  await more(desk, "Class code, names, alarms");
  await sayName(desk, "Rosamund");
  await close(desk);
  await glance(desk);
  await key(desk, "t");
  await shows(people[0], "Rosamund is seeing to it.");
  await morning.calls("Finn: neck, moderate").waitFor();
  await setEntry(desk, "everybody with the code");
  await close(desk);
  for (const page of people) await page.context().close();
});

test("a person whose device keeps nothing takes part and is told so, and the page does not lose their report", async () => {
  const jo = await house.person("Jo", undefined, (page) =>
    page.addInitScript(() => {
      for (const store of ["localStorage", "sessionStorage"]) {
        Object.defineProperty(window, store, {
          get() {
            throw new DOMException("denied", "SecurityError");
          },
        });
      }
    }),
  );
  await stop(jo);
  house.proxy.cut();
  await jo.getByText("No connection. Leave this page open", { exact: false }).waitFor();
  await reports(jo, "Throat");
  house.proxy.mend();
  await morning.desk.getByText("Jo: Throat", { exact: false }).first().waitFor();
  await shows(jo, UNSEEN);
  assert.deepEqual(jo.errors, []);
  await jo.context().close();
});

test("nothing failed on the desks", () => {
  for (const { desk } of [morning, evening]) assert.deepEqual(desk.errors, []);
});
