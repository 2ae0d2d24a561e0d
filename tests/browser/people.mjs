// A facilitator and participants in real browsers.

import { chromium } from "playwright-core";
import { Proxy } from "./proxy.mjs";
import { Server } from "../server.mjs";

const FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync"];

export class House {
  static async open(...args) {
    const house = new House();
    house.server = await new Server().start(...args);
    house.proxy = await Proxy.to(house.server.port, 40, 60);
    house.browser = await chromium.launch({ executablePath: "/usr/bin/chromium", args: FLAGS });
    return house;
  }

  /** The link as it is from behind the bad network. */
  #behindProxy(link) {
    const url = new URL(link);
    url.port = String(this.proxy.port);
    return url.href;
  }

  async #page(link, viewport, options = {}) {
    const context = await this.browser.newContext({ viewport, ...options });
    const page = await context.newPage();
    page.frames_heard = [];
    page.errors = [];
    page.on("websocket", (socket) => socket.on("framereceived", ({ payload }) => page.frames_heard.push(String(payload))));
    page.on("pageerror", (error) => page.errors.push(error.message));
    page.on("console", (message) => {
      if (/Content Security Policy|TrustedHTML/.test(message.text())) page.errors.push(message.text());
    });
    await page.goto(this.#behindProxy(link));
    return page;
  }

  async desk() {
    const page = await this.#page(this.server.links.desk, { width: 1366, height: 768 });
    await page.waitForURL("**/desk");
    return page;
  }

  async wall() {
    const page = await this.#page(this.server.links.wall, { width: 1280, height: 720 });
    await page.waitForURL("**/wall");
    return page;
  }

  async person(name, viewport = { width: 390, height: 844 }) {
    const page = await this.#page(this.server.links.class, viewport, { hasTouch: true });
    await page.getByLabel("Your first name").fill(name);
    await page.getByRole("button", { name: "Join the class" }).click();
    await page.waitForURL("**/class");
    await page.getByRole("button", { name: "I am ready" }).click();
    await page.getByText("Before we begin").waitFor({ state: "detached" });
    return page;
  }

  async close() {
    await this.browser.close();
    this.proxy.close();
    await this.server.stop();
  }
}

export const timer = (page) => page.getByRole("timer");
export const seconds = async (page) => Number(await timer(page).first().textContent());
export const key = (desk, name) => desk.keyboard.press(name);
export const goTo = (desk, title) => desk.getByRole("region", { name: "Run sheet" }).getByRole("button", { name: title }).click();
/** Waits until a page shows a text, whole; a pattern finds a part. The phases change by themselves. */
export const shows = (page, text) =>
  page.getByText(text, { exact: true }).filter({ visible: true }).first().waitFor({ timeout: 60_000 });
