// People at home with what they were given to do, and the staff who read what they did.

import { randomUUID } from "node:crypto";
import { asks, House } from "./people.mjs";

const TABLET = { viewport: { width: 820, height: 1180 }, hasTouch: true };
export const key = (name, of) => of.getByRole("button", { name, exact: true });
export const heading = (name, of) => of.getByRole("heading", { name });
/** A drill to be chosen. */
export const drill = (own, n = 0) => own.locator("button", { has: own.locator(".drill") }).nth(n);
/** Waits until the page can be opened without the network. */
export const isCopied = (own) => own.evaluate(() => navigator.serviceWorker.ready.then(({ active }) => active.state));

/** What is kept on the device: how many sheets and logs, and whether a worker is. */
export const kept = (own) =>
  own.evaluate(async () => {
    const names = (await indexedDB.databases()).map(({ name }) => name);
    const workers = (await navigator.serviceWorker.getRegistrations()).length;
    if (!names.includes("samebreath.practice")) return { sheets: 0, logs: 0, workers };
    const db = await new Promise((resolve, reject) => {
      const asked = indexedDB.open("samebreath.practice");
      [asked.onsuccess, asked.onerror] = [() => resolve(asked.result), () => reject(asked.error)];
    });
    const count = (store) =>
      new Promise((resolve) => (db.transaction(store).objectStore(store).count().onsuccess = (e) => resolve(e.target.result)));
    const found = { sheets: await count("sheets"), logs: await count("logs"), workers };
    db.close();
    return found;
  });

/** The organisation of the demo, with somebody of its staff. */
export class Homes {
  static async open() {
    const homes = new Homes();
    homes.house = await House.open("demo");
    homes.page = await homes.house.linked(homes.house.server.links.staff.trial);
    await heading("Left to do", homes.page).waitFor();
    homes.origin = new URL(homes.page.url()).origin;
    homes.people = await homes.ask("/api/planner/people");
    return homes;
  }

  close() {
    return this.house.close();
  }

  ask(...what) {
    return asks(this.page, this.origin, ...what);
  }

  idOf(name) {
    return this.people.find((one) => one.name === name).id;
  }

  /** Somebody at the page with what to do at home, on a device of their own or one that others use too. */
  async atHome(name, { shared = false, at = this.origin, ready, device = TABLET } = {}) {
    const links = `/api/planner/people/${this.idOf(name)}/links`;
    const { path, card } = await this.ask(links, { medium: "tablet", request: randomUUID() });
    const context = await this.house.browser.newContext(device);
    const own = await this.house.tab(context, path, ready);
    if (at !== this.origin) await own.goto(at + path);
    if (shared) await key("Others use this device too", own).click();
    await key(`Yes, I am ${name}`, own).click();
    await key("Practice at home", own).click();
    await heading("What shall we do?", own).waitFor();
    return { context, own, link: card.id, end: () => this.ask(`${links}/${card.id}`, {}, "DELETE") };
  }

  /** What staff read of what somebody did after their newest class. */
  async said(name) {
    return (await this.ask(`/api/planner/people/${this.idOf(name)}/progress`)).at_home[0];
  }
}
