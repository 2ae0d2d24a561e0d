// A person's lasting links: made by staff and read back from the square, opened on a device of one's own and on one that
// several people use, ended in the middle of a class; and word that somebody cannot come.

import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { randomUUID } from "node:crypto";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test as nodeTest } from "node:test";
import { fileURLToPath } from "node:url";
import axe from "axe-core";
import { Album, DESK_SIZES, SIZES, reflows } from "./gallery.mjs";
import { House, endClass } from "./people.mjs";

const test = (name, act) => nodeTest(name, { timeout: 90_000 }, act);
const here = (path) => fileURLToPath(new URL(path, import.meta.url));
const album = new Album("own");
/** A zone in which it is about noon, on the same day as in UTC: late today is half a day away. Its sign is that of POSIX. */
const AHEAD = 12 - new Date().getUTCHours();
const NOON_ZONE = `Etc/GMT${AHEAD > 0 ? "-" : "+"}${Math.abs(AHEAD)}`;
let house, page, origin, folder, ada, group, desk;

const key = (name, of = page) => of.getByRole("button", { name, exact: true });
const heading = (of, name) => of.getByRole("heading", { name, exact: true }).waitFor();

/** Asks the server as whoever is signed in on the staff's page. */
async function ask(path, data, method = "POST") {
  const answer = await page.request.fetch(origin + path, { method, headers: { origin }, ...(data === undefined ? {} : { data }) });
  assert.ok(answer.ok(), `${path}: ${answer.status()} ${await answer.text()}`);
  return answer.json();
}

/** Makes a link of somebody's without the page. */
const linkOf = async (person, medium) => {
  const { card, path } = await ask(`/api/planner/people/${person}/links`, { medium, request: randomUUID() });
  return { id: card.id, href: origin + path };
};

before(async () => {
  await album.open();
  folder = mkdtempSync(join(tmpdir(), "samebreath-qr-"));
  house = await House.open("serve");
  page = await house.planner();
  origin = new URL(page.url()).origin;
  const person = (name) => ask("/api/planner/people", { name, conditions: [], decisions: [] });
  const people = [await person("Ada"), await person("Ben")].map(({ id }) => id);
  [ada] = people;
  const now = new Date();
  group = await ask("/api/planner/groups", {
    name: "Lantern Quay", weekday: now.getUTCDay() || 7, start: "23:59", minutes: 45, zone: NOON_ZONE, first: null, last: null,
    others: [], weeks_apart: 8, people,
  });
});
after(async () => {
  rmSync(folder, { recursive: true, force: true });
  await album.close();
  await house.close();
});

async function rules(of, where) {
  await of.evaluate(axe.source);
  const { violations } = await of.evaluate(() => window.axe.run({ runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"] }));
  assert.deepEqual(violations.map((v) => `${v.id}: ${v.nodes.map((n) => n.target).join(", ")}`), [], where);
}

let paper;

test("a link is made on the person's page, and the square on the card is the link", async () => {
  await page.reload();
  await key("Lantern Quay 2 people").click();
  await page.getByRole("button", { name: "Ada" }).first().click();
  const links = page.getByRole("region", { name: "Links" });
  await links.getByText("No link yet.").waitFor();
  await key("Make it", links).click();
  const square = links.getByRole("img", { name: "QR code of the link for Ada" });
  await square.waitFor();
  paper = await links.getByText("/own#", { exact: false }).first().textContent();
  const picture = join(folder, "square.png");
  await square.screenshot({ path: picture });
  const read = (file) => JSON.parse(execFileSync(here("../.venv/bin/python"), [here("../reference/qr.py"), file], { encoding: "utf8" }));
  assert.deepEqual(read(picture), [paper]);
  await rules(page, "links");
  await reflows(page, "links");
  await album.take(page, "links", DESK_SIZES);
  // On paper it is 40 mm or more (96 px an inch, CSS Values 4, section 6.2), beside the day and time, and nothing else.
  await page.setViewportSize({ width: 794, height: 1123 });
  await page.emulateMedia({ media: "print" });
  const { width } = await square.boundingBox();
  assert.ok((width / 96) * 25.4 >= 40, `${width} px`);
  await links.getByText("at 23:59", { exact: false }).waitFor();
  assert.equal(await key("Make it", links).isVisible(), false);
  await page.screenshot({ path: picture });
  assert.deepEqual(read(picture), [paper], "from the whole card");
  await album.one(page, "card", "A4", "paper");
  await page.emulateMedia({ media: "screen" });
  await page.setViewportSize(DESK_SIZES.desk);
  await key("Close", links).click();
  assert.equal(await links.getByText("/own#", { exact: false }).count(), 0);
  await links.getByText("not used yet", { exact: false }).waitFor();
});

let home;

test("behind a link the page asks whether it is them, and then shows what comes", async () => {
  home = await house.linked(paper);
  const asked = [];
  home.on("request", (request) => asked.push(`${request.url()} ${request.headers().referer ?? ""}`));
  await home.setViewportSize(SIZES.tablet);
  await heading(home, "Are you Ada?");
  // W-10: neither the address nor the history keeps the token.
  assert.equal(home.url(), `${origin}/own`);
  assert.equal(await home.evaluate(() => history.state), null);
  assert.equal(await home.getByText("Lantern Quay").count(), 0);
  await rules(home, "are you");
  await album.take(home, "are you", SIZES);
  await home.setViewportSize(SIZES.tablet);
  await key("Yes, I am Ada", home).click();
  await home.getByText("Lantern Quay:", { exact: false }).waitFor();
  assert.match(home.url(), /\/own\/[0-9a-f-]{36}$/);
  // Nor does an address that is asked for, the page that it says it comes from, or the server's log.
  const token = paper.split("#")[1];
  assert.ok(asked.some((one) => one.includes("/api/own/")) && !asked.some((one) => one.includes(token)), asked.join(" "));
  assert.ok(!house.server.log.includes(token));
  await rules(home, "own page");
  await album.take(home, "own page", SIZES);
  await home.setViewportSize(SIZES.phone);
  await key("Español", home).click();
  await home.getByText("Después").waitFor();
  await key("English", home).click();
  await key("I can’t come", home).click();
  await home.getByText("You said that you can’t come.").waitFor();
  const today = await ask("/api/planner/today", undefined, "GET");
  assert.deepEqual(today.class.absent, ["Ada"]);
  const no = await house.linked(paper);
  await key("No, someone else", no).click();
  await no.getByLabel("Class code").waitFor();
  assert.deepEqual(await no.context().cookies(), [], "and says nothing more");
  await no.context().close();
});

test("a page that waits goes into the class by itself, and the desk knew who cannot come", async () => {
  const plan = await ask("/api/planner/plans", { from: "empty", title: "Hour", group: group.id, day: new Date().toISOString().slice(0, 10) });
  plan.content.draft.steps = [{ part: null, title: null, note: null, what: { kind: "drill", drill: "sit-tall", change: {} } }];
  await ask(`/api/planner/plans/${plan.id}`, { after: 1, content: plan.content }, "PUT");
  const links = await ask(`/api/planner/plans/${plan.id}/class`, { version: 2, rehearsal: false, request: randomUUID() });
  desk = await house.linked(origin + links.desk);
  await desk.getByText("said that they cannot come").first().waitFor({ state: "attached" });
  await key("I can come after all", home).click();
  await key("I can’t come", home).waitFor();
  assert.equal(await desk.getByText("said that they cannot come").count(), 0);
  await desk.getByRole("button", { name: "Let people in" }).click();
  await home.waitForURL(/\/class\//);
  await home.getByRole("button", { name: "Well", exact: true }).waitFor();
  assert.deepEqual(home.errors, []);
});

test("done with a shared tablet, nothing of the person is left on it", async () => {
  const ben = group.content.people[1];
  const tablet = await linkOf(ben, "tablet");
  const shared = await house.linked(tablet.href);
  await shared.setViewportSize(SIZES.tablet);
  await heading(shared, "Are you Ben?");
  await key("Others use this device too", shared).click();
  await shared.getByText("Then nothing of yours stays on it", { exact: false }).waitFor();
  await key("Yes, I am Ben", shared).click();
  await shared.waitForURL(/\/class\/.*#shared$/);
  await shared.goto(`${origin}/own/${tablet.id}#shared`);
  await heading(shared, "Your class is on.");
  await shared.getByText("Ben · Samebreath").waitFor();
  await album.take(shared, "shared", { tablet: SIZES.tablet, phone: SIZES.phone });
  await shared.setViewportSize(SIZES.tablet);
  await shared.reload();
  await key("Come in", shared).click();
  await shared.waitForURL(/\/class\//);
  await shared.goto(`${origin}/own/${tablet.id}#shared`);
  await key("I am done", shared).click();
  await shared.getByLabel("Class code").waitFor();
  const left = await shared.evaluate(async () => ({
    local: Object.keys(localStorage), tab: Object.keys(sessionStorage), caches: await caches.keys(),
    databases: (await indexedDB.databases()).length,
  }));
  assert.deepEqual({ left, cookies: await shared.context().cookies() }, { left: { local: [], tab: [], caches: [], databases: 0 }, cookies: [] });
  await shared.goto(`${origin}/own/${tablet.id}#shared`);
  await heading(shared, "This link no longer works.");
  await shared.context().close();
});

test("a forwarded link is marked at the desk, and ending it puts out whoever came by it", async () => {
  const forwarded = await house.linked(paper);
  await key("Yes, I am Ada", forwarded).click();
  await forwarded.waitForURL(/\/class\//);
  await desk.getByText("link on a new device").first().waitFor({ state: "attached" });
  const links = page.getByRole("region", { name: "Links" });
  await page.reload();
  await links.getByText("on 2 devices", { exact: false }).waitFor();
  await key("End it: On a card", links).click();
  await links.getByText("Whoever came by this link is out at once", { exact: false }).waitFor();
  await key("End it", links).click();
  await links.getByText("No link yet.").waitFor();
  for (const one of [home, forwarded]) await one.getByLabel("Class code").waitFor();
  await home.goto(paper);
  await heading(home, "This link no longer works.");
  await rules(home, "ended");
  await album.take(home, "ended", { tablet: SIZES.tablet, phone: SIZES.phone });
  assert.deepEqual(forwarded.errors, []);
});

test("a coordinator sees what erasing somebody means, holds the record, and erases them by their name", async () => {
  await ask("/api/planner/people", { name: "Casimir", conditions: [], decisions: [] });
  await page.goto(`${origin}/planner`);
  await key("Casimir").click();
  const part = page.getByRole("region", { name: "Erasing and holding" });
  await key("What would be erased", part).click();
  await part.getByText("their page, with precautions and what clinicians decided").waitFor();
  await rules(page, "erasing");
  await reflows(page, "erasing");
  await album.take(page, "erasing", DESK_SIZES);
  await page.setViewportSize(DESK_SIZES.desk);
  await part.getByLabel("Why it must be kept for now").fill("a claim");
  await key("Hold the record", part).click();
  await part.getByText("a claim", { exact: false }).waitFor();
  assert.equal(await key("Erase for good", part).count(), 0, "a held record stays");
  await key("Lift the hold", part).click();
  const name = part.getByLabel("Type “Casimir” to erase them for good");
  await name.fill("Cas");
  assert.ok(await key("Erase for good", part).isDisabled());
  await name.fill("Casimir");
  await key("Erase for good", part).click();
  await page.getByText("class is on; erase people when none is", { exact: false }).waitFor();
  await endClass(desk);
  await name.fill("Casimir");
  await key("Erase for good", part).click();
  await page.getByRole("heading", { name: "Plans" }).waitFor();
  assert.equal(await key("Casimir").count(), 0);
  await desk.close();
});
