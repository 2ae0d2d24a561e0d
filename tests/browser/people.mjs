// A facilitator and participants in real browsers.

import assert from "node:assert/strict";
import { randomUUID } from "node:crypto";
import { readFile } from "node:fs/promises";
import { chromium } from "playwright-core";
import { Proxy, delay } from "./proxy.mjs";
import { Server } from "../server.mjs";
import { firstAccount } from "../staff.mjs";

const FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync"];

/** What the server answers somebody who is signed in on a page. */
export async function asks(page, origin, path, data, method = data ? "POST" : "GET") {
  const ask = () => page.request.fetch(origin + path, { method, headers: { origin }, ...(data ? { data } : {}) });
  // A connection that was idle may just have been shut.
  const answer = await ask().catch(ask);
  assert.ok(answer.ok(), `${path}: ${answer.status()} ${await answer.text()}`);
  return answer.json();
}

export class House {
  static async open(...args) {
    return House.openAt(null, ...args);
  }

  /** Opens a house whose server believes that it is then. */
  static async openAt(at, ...args) {
    const house = new House();
    house.server = new Server();
    house.server.at = at;
    await house.server.start(...args);
    // A bad home link.
    house.proxy = await Proxy.to(house.server.port, { up: delay(40, 60), down: delay(40, 60) });
    house.browser = await house.launch();
    return house;
  }

  /** One more browser, with its own settings. */
  launch(...flags) {
    return chromium.launch({ executablePath: "/usr/bin/chromium", args: [...FLAGS, ...flags] });
  }

  /** The link as it is used from behind the bad network. */
  #behindProxy(link) {
    const url = new URL(link, this.server.links.desk ?? `http://${this.server.links.listens_on}`);
    url.port = String(this.proxy.port);
    return url.href;
  }

  async #page(link, viewport, options = {}, ready = async () => undefined) {
    return this.tab(await this.browser.newContext({ viewport, ...options }), link, ready);
  }

  /** One more tab of a browser. `ready` gets the page before anything is loaded. */
  async tab(context, link, ready = async () => undefined) {
    const page = await context.newPage();
    page.setDefaultTimeout(30_000);
    page.frames_heard = [];
    page.errors = [];
    page.on("websocket", (socket) => socket.on("framereceived", ({ payload }) => page.frames_heard.push(String(payload))));
    page.on("pageerror", (error) => page.errors.push(error.message));
    page.on("console", (message) => {
      if (/Content Security Policy|TrustedHTML/.test(message.text())) page.errors.push(message.text());
    });
    await ready(page);
    await page.goto(this.#behindProxy(link));
    return page;
  }

  async desk(viewport = { width: 1366, height: 768 }) {
    const page = await this.#page(this.server.links.desk, viewport);
    await page.waitForURL("**/desk/**");
    return page;
  }

  /** The cookie of the coordinator, who is a clinician. */
  async staffCookie() {
    this.cookie ??= await firstAccount(this.server);
    return this.cookie;
  }

  /** The coordinator with the planner open, in a browser of its own. */
  async planner(options = {}) {
    const page = await this.staffPage(await this.staffCookie(), options);
    await page.getByRole("heading", { name: "Plans" }).waitFor();
    return page;
  }

  /** The first page of whoever of the staff this cookie is for, in a browser of their own. */
  async staffPage({ name, value }, options = {}) {
    const context = await this.browser.newContext({ viewport: { width: 1440, height: 900 }, ...options });
    await context.addCookies([{ name, value, url: this.#behindProxy("/") }]);
    return this.tab(context, "/planner");
  }

  /** A page that a link opens, in a browser of its own. */
  linked(link, options = {}) {
    return this.#page(link, { width: 1440, height: 900 }, options);
  }

  async helper() {
    const page = await this.#page(this.server.links.helper, { width: 1366, height: 768 });
    await page.waitForURL("**/desk/**");
    return page;
  }

  async wall() {
    const page = await this.#page(this.server.links.wall, { width: 1280, height: 720 });
    await page.waitForURL("**/wall/**");
    return page;
  }

  async person(name, viewport = { width: 390, height: 844 }, ready = async () => undefined) {
    const page = await this.#page(this.server.links.class, viewport, { hasTouch: true }, ready);
    return this.comesIn(page, name);
  }

  /** Joins with the code from the link that `page` opened, and checks in. */
  async comesIn(page, name) {
    await page.getByLabel("Your first name").fill(name);
    await page.getByRole("button", { name: "Join the class" }).click();
    await page.waitForURL("**/class/**");
    await checksIn(page);
    return page;
  }

  /** Begins one more class from a plan file in the planner, and returns its links. */
  async anotherClass(plan) {
    const origin = `http://${this.server.links.listens_on}`;
    const { name, value } = await this.staffCookie();
    const cookie = `${name}=${value}`;
    const post = async (path, body) => {
      const headers = { "content-type": "application/json", origin, cookie };
      const answer = await fetch(`${origin}${path}`, { method: "POST", headers, body: JSON.stringify(body) });
      assert.ok(answer.ok, `${path}: ${answer.status}`);
      return answer.json().catch(() => null);
    };
    const { id } = await post("/api/planner/plans", { from: "file", text: await readFile(plan, "utf8") });
    return post(`/api/planner/plans/${id}/class`, { version: 1, rehearsal: false, request: randomUUID() });
  }

  /** A person who has typed the code and is not in the class yet. */
  async stranger(name) {
    const page = await this.#page(this.server.links.class, { width: 390, height: 844 }, { hasTouch: true });
    await page.getByLabel("Your first name").fill(name);
    await page.getByRole("button", { name: "Join the class" }).click();
    return page;
  }

  async close() {
    await this.browser.close();
    this.proxy.close();
    await this.server.stop();
  }
}

/** Answers the desk's question who is at it. Clearances are recorded with that name. */
export async function sayName(desk, name) {
  await desk.getByLabel("Your name at this desk").fill(name);
  await desk.getByRole("button", { name: "Save name" }).click();
  await desk.getByText(`${name}, `).waitFor();
}

export const timer = (page) => page.getByRole("timer");
export const seconds = async (page) => Number(await timer(page).first().textContent());
export const key = (desk, name) => desk.keyboard.press(name);

/** A person's tile at a desk, with what they are doing in its words. */
export const tile = (desk, name) =>
  desk.getByRole("region", { name: "People" }).locator(".tiles").getByRole("button").filter({ hasText: name });

/** Opens a drawer of the desk by its key, unless it is open. */
async function drawer(desk, keyName, title) {
  const inside = desk.getByRole("complementary", { name: title, exact: true });
  if (!(await inside.isVisible())) {
    await desk.evaluate(() => document.activeElement?.blur());
    await key(desk, keyName);
  }
  await inside.waitFor();
  return inside;
}

/** Everybody, and how people come in. */
export const everyone = (desk) => drawer(desk, "p", "Everyone");

/** Sets who may come in with the code. */
export async function setEntry(desk, label) {
  await (await everyone(desk)).getByLabel("Who can join").selectOption(label);
}

/** Opens all about a person. */
export async function about(desk, name) {
  await tile(desk, name).click();
  const inside = desk.getByRole("complementary", { name, exact: true });
  await inside.waitFor();
  return inside;
}

/** Closes whatever drawer is open. */
export async function close(desk) {
  const key = desk.locator(".drawer").getByRole("button", { name: "Close" });
  if (await key.count()) await key.click();
}

/** Chooses something that the desk keeps under *More*. */
export async function more(desk, entry) {
  await close(desk);
  await (await drawer(desk, "/", "More")).getByRole("button", { name: entry }).click();
}

/** Ends the class, which the desk asks about once more. */
export async function endClass(desk) {
  await more(desk, "End the class");
  await desk.getByRole("button", { name: "Yes, end it" }).click();
}

/** Goes to a step, which the desk asks about once more. */
export async function goTo(desk, title) {
  const steps = await drawer(desk, "l", "All steps");
  await steps.getByRole("button", { name: title }).click();
  await steps.getByRole("button", { name: "Go to this step", exact: true }).click();
}

/** Waits until nothing calls at a desk: the hour stands in its place. */
export const calm = (desk) => desk.getByRole("img", { name: /^The hour/ }).waitFor();

/** Waits until a page shows a text. A string must match the whole text, a pattern part of it. */
/** The check-in, page by page: the key that each question is answered with. */
export const CHECK_IN = ["Well", "Nothing new", "Yes, feet on the floor", "Yes, it is empty", "Yes", "I would rather not say", "I would rather not say", "I am alone"];

/**
 * Checks in with no answers, by the request that a page uses without a socket: the pages themselves, which are deaf for
 * a moment after each tap, are tested where they are meant. One tap is real, so that the device may sound.
 */
export async function checksIn(page) {
  const head = page.getByText("Before we begin");
  await head.click();
  await page.evaluate(async (id) => {
    const [site, stay] = location.pathname.split("/class/");
    const nothing = { feeling: null, news: null, seated: null, mouth_empty: null, water: null, company: null, easier: false, place: null, contact: null, partner: null };
    const parcel = { kind: "seat", id, command: { do: "check_in", answers: nothing } };
    const answer = await fetch(`${site}/api/commands/${stay}`, { method: "POST", headers: { "content-type": "application/json" }, body: JSON.stringify(parcel) });
    if (!answer.ok) throw new Error(`the check-in was refused: ${answer.status}`);
  }, randomUUID());
  await head.waitFor({ state: "detached" });
}

/** Waits until a person is in the waiting room. */
export const waits = (page) => page.getByText("The class begins soon.", { exact: false }).waitFor();

export const shows = (page, text) =>
  page.getByText(text, { exact: true }).filter({ visible: true }).first().waitFor({ timeout: 45_000 });

/**
 * Waits until a page takes taps and keys again, by its own clock: a control that was tapped ignores taps for a moment,
 * and keys are ignored in the first moment of an alert.
 */
export async function glance(page) {
  const since = await page.evaluate(() => performance.now());
  await page.waitForFunction((since) => performance.now() - since > 750, since);
}

/** Waits until the page shows what was pressed. */
export const drawn = (page) => page.evaluate(() => new Promise((go) => requestAnimationFrame(() => requestAnimationFrame(go))));

/** Goes to a control with the Tab key, as a person without a mouse does. */
export async function tabTo(page, name, back = false) {
  for (let presses = 0; presses < 400; presses++) {
    await page.keyboard.press(back ? "Shift+Tab" : "Tab");
    const here = await page.evaluate(() => {
      const at = document.activeElement;
      const words = at?.getAttribute("aria-label") ?? at?.labels?.[0]?.textContent ?? at?.textContent ?? "";
      return words.replace(/\s+/g, " ").trim();
    });
    if (here.startsWith(name)) return;
  }
  throw new Error(`no way to "${name}" with the keyboard`);
}

export async function pressTab(page, name, back = false) {
  await tabTo(page, name, back);
  await page.keyboard.press("Enter");
}
