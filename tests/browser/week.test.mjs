// A week of two groups in two time zones, planned by somebody whose clocks show a third: classes are cancelled, moved
// and led by somebody else, and the class of the day is planned, made and found again without keeping a link.

import assert from "node:assert/strict";
import axe from "axe-core";
import { after, before, test as nodeTest } from "node:test";
import { Album, DESK_SIZES, reflows } from "./gallery.mjs";
import { endClass, House } from "./people.mjs";
import { colleague } from "../staff.mjs";

const test = (name, act) => nodeTest(name, { timeout: 90_000 }, act);
/** Whoever plans is in Eucla, whose clocks are a quarter of an hour off those of its neighbours. */
const HERE = "Australia/Eucla";
const ZONES = { "Lantern Quay": "America/New_York", "Harbour Singers": "Europe/Berlin" };

const album = new Album("week");
let house, page;

before(async () => {
  await album.open();
  house = await House.open("serve");
  page = await house.planner({ timezoneId: HERE });
});
after(async () => {
  await album.close();
  await house.close();
});

const saved = () => page.getByText("Saved", { exact: true }).waitFor();
const week = () => page.getByRole("region", { name: "Today and the coming week" });
const coming = () => page.getByRole("region", { name: "Coming classes" });
/** The day and time of day `days` from now as the clocks of a zone show them. */
const partsIn = (zone, days) => {
  const at = new Date(Date.now() + days * 86_400_000);
  const of = (part) => new Intl.DateTimeFormat("en-GB", { timeZone: zone, ...part }).format(at);
  return { weekday: of({ weekday: "long" }), day: of({ weekday: "short", day: "numeric", month: "short" }).replace(",", "") };
};

/** Makes a group that meets at 23:30 on the day that it is there in `days` days. */
async function makeGroup(name, days) {
  await page.getByRole("button", { name: "A new group" }).click();
  const field = page.getByLabel("Name of the group");
  assert.equal(await page.getByLabel("Time zone").inputValue(), HERE, "a new group is where its maker is");
  await field.fill(name);
  await field.press("Enter");
  await page.getByLabel("Time zone").selectOption(ZONES[name]);
  await page.getByLabel("Meets on").selectOption(partsIn(ZONES[name], days).weekday);
  await page.getByRole("group", { name: "Group" }).getByLabel("Starts at").fill("23:30");
  await coming().getByRole("listitem").nth(7).waitFor();
  await saved();
}

test("groups of two zones stand in one week, each at its own time and at the reader's", async () => {
  await page.getByText("No class in the coming week.").waitFor();
  await makeGroup("Lantern Quay", 0);
  await coming().getByText(`${partsIn(ZONES["Lantern Quay"], 0).day}, 23:30`).waitFor();
  await page.getByRole("button", { name: "All plans" }).click();
  await makeGroup("Harbour Singers", 2);
  await page.getByRole("button", { name: "All plans" }).click();
  const [quay, singers] = ["Lantern Quay", "Harbour Singers"].map((name) => week().getByRole("listitem").filter({ hasText: name }));
  await quay.first().getByText(`${partsIn(ZONES["Lantern Quay"], 0).day}, 23:30 in New York`).waitFor();
  await singers.first().getByText(`${partsIn(ZONES["Harbour Singers"], 2).day}, 23:30 in Berlin`).waitFor();
  // No half hour of New York or Berlin is one here.
  for (const row of [quay, singers]) assert.match(await row.first().innerText(), /, \d\d:15/);
});

test("a class is cancelled with a sentence and takes place after all, another is moved and led by somebody else", async () => {
  await page.getByRole("button", { name: /^Harbour Singers/ }).click();
  const first = coming().getByRole("listitem").first();
  await first.locator("summary").click();
  await first.getByRole("button", { name: "Cancel this class" }).click();
  await first.getByLabel("What people are told").fill("The heating is off.");
  await first.getByLabel("What people are told").press("Enter");
  await first.getByText("Cancelled: The heating is off.").waitFor();
  const second = coming().getByRole("listitem").nth(1);
  await second.locator("summary").click();
  const day = await second.getByLabel("Moved to").inputValue();
  const later = new Date(Date.parse(day) + 86_400_000).toISOString().slice(0, 10);
  await second.getByLabel("Moved to").fill(later);
  await second.getByLabel("Moved to").blur();
  await second.getByLabel("Led by").selectOption("Somebody without an account");
  await second.getByLabel("Name of whoever leads it").fill("Mara");
  await second.getByLabel("Name of whoever leads it").press("Enter");
  await second.getByText(/moved from .+ · Led by Mara/).waitFor();
  await saved();
  await coming().getByRole("button", { name: "More weeks" }).click();
  await coming().getByRole("listitem").nth(15).waitFor();
  const [file] = await Promise.all([page.waitForEvent("download"), coming().getByRole("link", { name: "Calendar file" }).click()]);
  assert.equal(file.suggestedFilename(), "class.ics");
  await page.reload();
  await coming().getByText(/moved from .+ · Led by Mara/).waitFor();
  await page.getByRole("button", { name: "All plans" }).click();
  const row = week().getByRole("listitem").filter({ hasText: "The heating is off." });
  await row.waitFor();
  assert.equal(await row.getByRole("button").count(), 0, "nothing is planned for a cancelled class");
  await page.getByRole("button", { name: /^Harbour Singers/ }).click();
  await coming().getByText("Cancelled: The heating is off.").click();
  await page.getByRole("button", { name: "It takes place after all" }).click();
  await coming().getByText("Cancelled").waitFor({ state: "detached" });
  await saved();
  await page.getByRole("button", { name: "All plans" }).click();
});

test("the class of the day is planned, made, and found again by somebody who kept no link", async () => {
  const row = () => week().getByRole("listitem").filter({ hasText: "Lantern Quay" }).first();
  await row().getByRole("button", { name: /^Plan it/ }).click();
  await page.getByRole("searchbox").fill("nod down");
  await page.getByRole("searchbox").press("Enter");
  await saved();
  await page.getByRole("button", { name: "All plans" }).click();
  // It is the class of the day, unless it is in more than 24 hours.
  const card = page.getByRole("region", { name: "The next class" });
  await card.getByText("Lantern Quay").waitFor();
  await card.getByRole("button", { name: "Read the plan" }).click();
  await page.getByRole("button", { name: "All plans" }).click();
  await card.getByRole("button", { name: /^Make the class: Lantern Quay/ }).click();
  await card.getByRole("button", { name: /^Open the desk: Lantern Quay/ }).waitFor();
  const account = { name: "Odile", sign_in: "odile", role: "facilitator", clinician: null };
  const odile = await house.staffPage(await colleague(house.server, await house.staffCookie(), account));
  const theirs = odile.getByRole("region", { name: "Today and the coming week" }).getByRole("listitem");
  await theirs.filter({ hasText: "Lantern Quay" }).first().getByRole("button", { name: /^Open the desk/ }).click();
  await odile.waitForURL("**/desk/**");
  await odile.getByRole("region", { name: "People" }).waitFor();

  // When it is over, its plan goes on to the next class, once.
  await endClass(odile);
  // With all keys beside it, the title keeps its width.
  const title = odile.locator(".after .title");
  for (const size of Object.values(DESK_SIZES)) {
    await odile.setViewportSize(size);
    const { width, height } = await title.boundingBox();
    assert.ok(width > 2 * height, `${width} x ${height} at ${size.width}`);
  }
  await odile.setViewportSize(DESK_SIZES.desk);
  await odile.getByRole("link", { name: /^Copy the plan to / }).click();
  await odile.waitForURL(/#plan\./);
  const copy = odile.url();
  await odile.reload();
  await odile.getByRole("searchbox").waitFor();
  assert.equal(odile.url(), copy);
  await odile.goBack();
  await odile.getByRole("link", { name: /^The plan for / }).click();
  await odile.waitForURL(copy);
  assert.deepEqual(odile.errors, []);
  await odile.context().close();
});

test("the week and a group's coming classes can be read by a screen reader and at every width", async () => {
  await page.goto(page.url().split("#")[0]);
  await week().getByRole("listitem").first().waitFor();
  await page.evaluate(axe.source);
  const look = async (where) => {
    const { violations } = await page.evaluate(() => window.axe.run({ runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"] }));
    assert.deepEqual(violations.map((v) => `${v.id}: ${v.nodes.map((n) => n.target).join(", ")}`), [], where);
    await reflows(page, where);
    await album.take(page, `week, ${where}`, DESK_SIZES);
    await page.setViewportSize(DESK_SIZES.desk);
  };
  await look("the list");
  await page.getByRole("button", { name: /^Harbour Singers/ }).click();
  await coming().locator("summary").nth(1).click();
  await look("a group");
});

test("nothing failed on the page", () => assert.deepEqual(page.errors, []));
