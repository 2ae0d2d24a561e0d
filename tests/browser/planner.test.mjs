// The planner by keyboard alone: a class of sixty minutes is built from nothing, saved, rehearsed, and copied to next
// week slightly harder. Nothing is lost when a browser is closed or a second person edits.

import assert from "node:assert/strict";
import axe from "axe-core";
import { after, before, test as nodeTest } from "node:test";
import { Album, DESK_SIZES, reflows } from "./gallery.mjs";
import { House, pressTab, tabTo } from "./people.mjs";

const test = (name, act) => nodeTest(name, { timeout: 90_000 }, act);

const album = new Album("planner");
let house, page;

before(async () => {
  await album.open();
  house = await House.open("serve");
  page = await house.planner();
});
after(async () => {
  await album.close();
  await house.close();
});

const steps = (at = page) => at.getByRole("region", { name: "Steps" });
const saved = (at = page) => at.getByText("Saved", { exact: true }).waitFor();
const search = (at = page) => at.getByRole("searchbox");
/** Waits until the plan takes as much of its time as the pattern says. */
const takes = (pattern) => page.getByRole("group", { name: "This plan" }).filter({ hasText: pattern }).waitFor();
/** Shows the plan's own fields in the place of those of a step. */
const fields = (at = page) => at.getByRole("group", { name: "This plan" }).getByTitle("The plan itself").click();
/** Chooses something from the menu of the plan. */
async function menu(name) {
  await page.getByRole("group", { name: "This plan" }).getByRole("button", { name: "More" }).click();
  await page.getByRole("button", { name, exact: true }).click();
}

/** Types into the search until the wanted drill comes first, and adds it with Enter. */
async function addDrill(words) {
  await page.keyboard.press("Control+a");
  await page.keyboard.type(words);
  await page.getByText("1 drill", { exact: true }).waitFor();
  await page.keyboard.press("Enter");
}

const tab = (name, back) => tabTo(page, name, back);
const pressed = (name, back) => pressTab(page, name, back);

test("a class of sixty minutes is built from nothing by keyboard alone", async () => {
  await pressed("An empty plan");
  await takes(/\b0:00\s*of 60:00/);
  await tab("Name of the plan");
  await page.keyboard.press("Control+a");
  await page.keyboard.type("Lantern Quay, spring");
  await tab("Starts at");
  await page.keyboard.type("1000AM");
  await tab("Search by name");
  for (const words of ["sit tall", "shoulder rolls", "hand on the belly", "long steady hiss", "strong ah, ten", "slide up"]) {
    await addDrill(words);
  }
  await pressed("+ A sip");
  await pressed("+ Check-in", true);
  await tab("Search by name", true);
  for (const words of ["tongue-hold swallow", "neck in five", "pucker, then"]) await addDrill(words);
  await pressed("+ Talk");
  await tab("Minutes");
  await page.keyboard.press("Control+a");
  await page.keyboard.type("34");
  await takes(/5[4-9]:\d\d\s*of 60:00/);
  await page.getByText(/left/).first().waitFor();
  // Each drill begins at 10:00:00 plus the totals of the drills before it, each with 6 or 7 s to read and get ready.
  const rows = await steps().getByRole("listitem").allTextContents();
  assert.equal(rows.length, 12);
  for (const [index, time] of ["10:00:00", "10:01:07", "10:02:20", "10:03:27", "10:04:49"].entries()) {
    assert.ok(rows[index].includes(time), `${rows[index]} begins at ${time}`);
  }
  await saved();
});

test("a step is moved by keys, taken out, and brought back", async () => {
  const name = (index) => steps().locator(`[data-step="${index}"] .title`).textContent();
  assert.deepEqual([await name(0), await name(1)], ["Sit tall", "Shoulder rolls"]);
  await steps().locator('[data-step="0"]').focus();
  await page.keyboard.press("Alt+ArrowDown");
  await steps().locator('[data-step="1"]', { hasText: "Sit tall" }).waitFor();
  assert.equal(await page.evaluate(() => document.activeElement?.getAttribute("data-step")), "1", "the focus moves with the step");
  await page.keyboard.press("Delete");
  await steps().getByText("Sit tall", { exact: true }).waitFor({ state: "detached" });
  await page.keyboard.press("Control+z");
  await steps().getByText("Sit tall", { exact: true }).waitFor();
  await page.keyboard.press("Control+z");
  await steps().locator('[data-step="0"]', { hasText: "Sit tall" }).waitFor();
  await saved();
});

test("a step is moved by its handle, with a mouse and with a finger", async () => {
  const titles = () => steps().locator(".title").allTextContents();
  const before = await titles();
  const middle = async (at) => {
    const { x, y, width, height } = await steps().locator("[data-row] .grip").nth(at).boundingBox();
    return { x: x + width / 2, y: y + height / 2 };
  };
  const touch = await page.context().newCDPSession(page);
  const [from, to] = [await middle(0), await middle(2)];
  const point = (type, at) => touch.send("Input.dispatchTouchEvent", { type, touchPoints: at ? [at] : [] });
  await point("touchStart", from);
  await point("touchMove", { x: from.x, y: (from.y + to.y) / 2 });
  await point("touchMove", to);
  await point("touchEnd");
  await page.waitForFunction((name) => document.querySelectorAll(".title")[2]?.textContent === name, before[0]);
  await page.getByRole("button", { name: "Undo" }).click();
  await page.waitForFunction((name) => document.querySelector(".title")?.textContent === name, before[0]);
  await page.mouse.move(from.x, from.y);
  await page.mouse.down();
  await page.mouse.move(to.x, to.y, { steps: 4 });
  await page.mouse.up();
  await page.waitForFunction((name) => document.querySelectorAll(".title")[2]?.textContent === name, before[0]);
  assert.deepEqual((await titles()).slice(0, 3), [before[1], before[2], before[0]]);
  await page.getByRole("button", { name: "Undo" }).click();
  await page.waitForFunction((name) => document.querySelector(".title")?.textContent === name, before[0]);
  await saved();
});

test("a number out of bounds stays on the screen, with what would be right beside it, and is not saved", async () => {
  await steps().locator("button", { hasText: "Strong ah" }).click();
  const details = page.getByRole("region", { name: "This step" });
  const reps = details.getByLabel("Repetitions");
  const before = await reps.inputValue();
  for (const wrong of ["", "0", "101", "2.5"]) {
    await reps.fill(wrong);
    await details.getByRole("alert").filter({ hasText: "a whole number from 1 to 100" }).waitFor();
  }
  assert.equal(await page.getByText("Saved", { exact: true }).count(), 1, "nothing was saved");
  await reps.fill(before);
  await details.getByRole("alert").waitFor({ state: "detached" });
});

test("advice has a reason and a source, and does not block", async () => {
  const advice = page.getByRole("region", { name: "Advice" });
  await steps().locator("button", { hasText: "Strong ah" }).click();
  await page.getByRole("region", { name: "This step" }).getByLabel("Repetitions").fill("40");
  await advice.getByText("40 repetitions; 6 to 15 are usual.").waitFor();
  await advice.getByText("Outside the range that the drill's sources give.", { exact: false }).waitFor();
  assert.ok(await page.getByRole("button", { name: "Make the class" }).isEnabled());
  await page.getByRole("button", { name: "Undo" }).click();
  await page.getByRole("region", { name: "Steps" }).getByText("40 repetitions", { exact: false }).waitFor({ state: "detached" });
  await saved();
});

test("a drill can be played on its own", async () => {
  await search().fill("effortful");
  await page.getByRole("region", { name: "Library" }).getByRole("button", { name: /^Strong swallow/ }).first().click();
  await page.getByRole("button", { name: "Play Strong swallow" }).click();
  const preview = page.getByRole("dialog", { name: "Play" });
  await preview.getByText("Gather some saliva.", { exact: true }).waitFor();
  await preview.getByRole("button", { name: "Stop" }).click();
  await preview.waitFor({ state: "detached" });
});

test("a drill's words are chosen from a set, or written, and what takes too long to say is refused", async () => {
  await search().fill("everyday phrases");
  await page.keyboard.press("Enter");
  await steps().locator("button", { hasText: "Strong everyday phrases" }).click();
  const details = page.getByRole("region", { name: "This step" });
  await details.getByText("Could you open the window, please?").waitFor();
  await details.getByRole("button", { name: "Others" }).click();
  await details.getByText("Two tickets for the ferry, please.").waitFor();
  const words = details.getByRole("combobox", { name: "Words" });
  await words.selectOption({ label: "Everyday phrases: ten to twelve words" });
  await steps().getByText("takes 5 s to say", { exact: false }).waitFor();
  await words.selectOption({ label: "Words of your own" });
  await details.getByLabel("One a line", { exact: false }).fill("Good morning, Rosa.\n\nTwo rolls, please.");
  await page.keyboard.press("Tab");
  await steps().getByText("takes 5 s to say", { exact: false }).waitFor({ state: "detached" });
  await details.getByRole("button", { name: "Play" }).click();
  const preview = page.getByRole("dialog", { name: "Play" });
  await preview.getByText("Good morning, Rosa.").waitFor();
  await preview.getByRole("button", { name: "Stop" }).click();
  await details.getByRole("button", { name: /^Take Strong everyday/ }).click();
  await saved();
});

test("what was typed while the server was away is saved when it is back, even by a page that was loaded again", async () => {
  await fields();
  await house.server.kill();
  await page.getByLabel("Name of the plan").fill("Lantern Quay, late spring");
  await page.getByLabel("Name of the plan").press("Enter");
  await page.getByText("Your changes are kept in this browser", { exact: false }).waitFor();
  await page.evaluate(() => dispatchEvent(new Event("visibilitychange")));
  await house.server.start("serve");
  // The address says which plan it is.
  await page.reload();
  assert.equal(await page.getByLabel("Name of the plan").inputValue(), "Lantern Quay, late spring");
  await saved();
});

test("a second editor is told, can compare, and overwrites nothing", async () => {
  const other = await house.planner();
  await other.getByRole("button", { name: /^Lantern Quay/ }).click();
  await steps(other).getByText("Sit tall", { exact: true }).waitFor();
  await steps().locator("button", { hasText: "Sit tall" }).click();
  await page.getByRole("button", { name: "Take Sit tall out" }).click();
  await saved();
  await other.getByLabel("Name of the plan").fill("The other's");
  await other.getByLabel("Name of the plan").press("Enter");
  const told = other.getByRole("complementary");
  await told.getByText("Somebody else saved first").waitFor();
  await told.getByRole("cell", { name: "The other's" }).waitFor();
  await told.getByRole("row", { name: /Step 1 .*Sit tall.*Shoulder rolls/ }).waitFor();
  await told.getByRole("button", { name: "Keep mine as a copy" }).click();
  await told.waitFor({ state: "detached" });
  assert.equal(await other.getByLabel("Name of the plan").inputValue(), "The other's");
  await other.getByRole("button", { name: "All plans" }).click();
  await other.getByRole("button", { name: /^Lantern Quay, late spring/ }).waitFor();
  await other.getByRole("button", { name: /^The other's/ }).waitFor();
  await other.context().close();
});

test("the plan is rehearsed, and copied to next week slightly harder", async () => {
  await fields();
  await page.getByLabel("Day", { exact: true }).fill("2027-02-23");
  await saved();
  await page.getByRole("button", { name: "Rehearse" }).click();
  const link = page.getByRole("status").filter({ hasText: "The class is ready" }).getByRole("link", { name: "Desk" });
  const desk = await page.context().newPage();
  await desk.goto(new URL(await link.getAttribute("href"), page.url()).href);
  await desk.waitForURL("**/desk/**");
  await desk.getByText("Rehearsal", { exact: false }).first().waitFor();
  await desk.keyboard.press("l");
  await desk.getByRole("complementary", { name: "All steps" }).getByText("Shoulder rolls").waitFor();
  await desk.close();
  await menu("Copy to next week, slightly harder");
  await page.waitForFunction(() => document.querySelector('input[type="date"]')?.value === "2027-03-02");
  await steps().locator("button", { hasText: "Strong ah" }).click();
  const hold = page.getByRole("region", { name: "This step" }).getByLabel("Hold, seconds");
  assert.equal(await hold.inputValue(), "11", "ten seconds and one more");
  const changes = page.getByRole("group").filter({ hasText: "What changed in the copy" });
  await changes.getByRole("row").filter({ hasText: "Strong ah" }).filter({ hasText: "Hold, seconds 11" }).waitFor();
  await saved();
});

test("a group has its people; a plan for it names who is not cleared and brings fresh clues", async () => {
  await page.getByRole("button", { name: "All plans" }).click();
  await page.getByRole("button", { name: "A new group" }).click();
  const name = page.getByLabel("Name of the group");
  await name.fill("Lantern Quay, Tuesdays");
  await name.press("Enter");
  await page.getByLabel("Meets on").selectOption("Tuesday");
  for (const person of ["Ann", "Ben"]) {
    await page.getByLabel("First name of a new person").fill(person);
    await page.keyboard.press("Enter");
  }
  await saved();
  await page.getByRole("button", { name: "Ann", exact: true }).click();
  await page.getByRole("checkbox", { name: "neck" }).first().check();
  // A clearance cannot be given without a clinician's name; it is that of whoever is signed in, unless they say whose.
  const swallow = page.getByRole("button", { name: "Swallow drills may be switched on in class" }).first();
  const decider = page.getByLabel("Name of the clinician who decides here");
  assert.equal(await decider.inputValue(), "Ines");
  await decider.fill("");
  assert.ok(await swallow.isDisabled());
  await decider.fill("Ines");
  await swallow.click();
  const today = new Date().toLocaleDateString("sv");
  await page.getByText(`Swallow drills may be switched on in class · Ines, ${today}`).waitFor();
  await saved();
  await page.getByRole("button", { name: "Back to the group" }).click();
  await page.getByRole("button", { name: "Ann neck · 1 decision" }).waitFor();
  await page.getByRole("button", { name: "All plans" }).click();
  await page.getByLabel("For the group").selectOption("Lantern Quay, Tuesdays");
  await page.getByRole("button", { name: "An empty plan" }).click();
  const day = await page.getByLabel("Day", { exact: true }).inputValue();
  assert.equal(new Date(day).getUTCDay(), 2, "the next Tuesday");
  await search().fill("nod down");
  await search().press("Enter");
  await page.getByRole("region", { name: "Advice" }).getByText("Not cleared for Nod down: Ann. They rest.").waitFor();
  await search().fill("toolbox");
  await page.getByRole("button", { name: "Add The toolbox" }).click();
  await saved();
  await menu("Copy to next week");
  await page.waitForFunction((day) => document.querySelector('input[type="date"]')?.value > day, day);
  const toolbox = page.getByRole("region", { name: "Library" }).getByRole("listitem").filter({ hasText: "The toolbox" });
  await toolbox.getByText("0 of 12 clues left for this group").waitFor();
  await toolbox.getByText("used 1 week earlier").waitFor();
  await search().fill("nod down");
  await page.getByRole("region", { name: "Library" }).getByText("used 1 week earlier").first().waitFor();
  assert.equal(await steps().getByText("The toolbox").count(), 0, "another round took its place");
});

test("a class of the group expects its people", async () => {
  await page.getByRole("button", { name: "Make the class" }).click();
  const link = page.getByRole("status").filter({ hasText: "The class is ready" }).getByRole("link", { name: "Desk" });
  const desk = await page.context().newPage();
  await desk.goto(new URL(await link.getAttribute("href"), page.url()).href);
  await desk.waitForURL("**/desk/**");
  for (const person of ["Ann", "Ben"]) await desk.getByText(person, { exact: true }).first().waitFor();
  await desk.close();
});

test("somebody of one group is enrolled in another and is one person there, and two of one name are refused", async () => {
  await page.getByRole("button", { name: "All plans" }).click();
  await page.getByRole("button", { name: "A new group" }).click();
  await page.getByLabel("Name of the group").fill("Evening");
  await page.getByLabel("Name of the group").press("Enter");
  await page.getByLabel("Or add somebody who is here already").selectOption({ label: "Ann (Lantern Quay, Tuesdays)" });
  await page.getByLabel("First name of a new person").fill("Bea");
  await page.keyboard.press("Enter");
  await page.getByRole("button", { name: "Bea", exact: true }).click();
  await page.getByLabel("First name", { exact: true }).fill("Ann");
  await page.keyboard.press("Enter");
  await page.getByText("there are two people called “Ann” in Evening; add an initial").waitFor();
  await page.getByLabel("First name", { exact: true }).fill("Ann B.");
  await page.keyboard.press("Enter");
  await saved();
  // A page that is loaded again is still this person's.
  await page.reload();
  await page.getByText("Enrolled in Evening.").waitFor();
  await page.getByRole("button", { name: "All plans" }).click();
  await page.getByRole("button", { name: /^Evening/ }).click();
  await page.getByRole("button", { name: /^Ann neck/ }).click();
  await page.getByText("Enrolled in Evening, Lantern Quay, Tuesdays.").waitFor();
  await page.getByLabel("First name", { exact: true }).fill("Anna");
  await page.keyboard.press("Enter");
  await saved();
  await page.getByRole("button", { name: "Remove this person" }).click();
  await page.getByRole("button", { name: "Yes, remove this person" }).click();
  await page.getByRole("alert").filter({ hasText: "this person is enrolled in" }).waitFor();
  await page.getByLabel("First name", { exact: true }).fill("Ann");
  await page.keyboard.press("Enter");
  await saved();
  await page.getByRole("button", { name: "Back to the group" }).click();
  // Somebody in no group is still here, and can be removed.
  await page.getByRole("button", { name: "Take out Ann B." }).click();
  await saved();
  await page.getByRole("button", { name: "All plans" }).click();
  await page.getByRole("region", { name: "People in no group" }).getByRole("button", { name: "Ann B." }).click();
  await page.getByText("Not enrolled in any group.").waitFor();
  await page.getByRole("button", { name: "Remove this person" }).click();
  await page.getByRole("button", { name: "Yes, remove this person" }).click();
  await page.getByRole("heading", { name: "Plans" }).waitFor();
  await page.getByText("People in no group").waitFor({ state: "detached" });
  await page.getByRole("button", { name: /^Evening/ }).click();
});

test("removing a group takes two keys in two places, and then no class begins from its plan", async () => {
  await page.getByRole("button", { name: "All plans" }).click();
  await page.getByRole("button", { name: "A new group" }).click();
  const name = page.getByLabel("Name of the group");
  await name.fill("Short-lived");
  await name.press("Enter");
  await saved();
  await page.getByRole("button", { name: "Remove this group" }).dblclick();
  await page.getByRole("button", { name: "Remove this group" }).waitFor();
  await page.getByRole("button", { name: "All plans" }).click();
  await page.getByLabel("For the group").selectOption("Short-lived");
  await page.getByRole("button", { name: "Tuesday at ten" }).last().click();
  await saved();
  const other = await page.context().newPage();
  await other.goto(page.url().split("#")[0]);
  await other.getByRole("button", { name: /^Short-lived/ }).click();
  await other.getByRole("button", { name: "Remove this group" }).click();
  await other.getByRole("button", { name: "Yes, remove the group" }).click();
  await other.getByRole("button", { name: "A new group" }).waitFor();
  await other.close();
  await page.getByRole("button", { name: "Make the class" }).click();
  await page.getByRole("alert").filter({ hasText: "the group of this plan was removed" }).waitFor();
});

test("a plan that was removed can be brought back", async () => {
  await page.getByRole("button", { name: "All plans" }).click();
  const other = page.getByRole("button", { name: /^The other's/ });
  await page.getByRole("button", { name: "Remove The other's" }).click();
  await other.waitFor({ state: "detached" });
  await page.getByRole("button", { name: "Bring it back" }).click();
  await other.waitFor();
});

test("axe-core finds nothing in the way of a screen reader or the keyboard", async () => {
  await page.evaluate(axe.source);
  const look = async (where) => {
    for (const colorScheme of ["light", "dark"]) {
      await page.emulateMedia({ colorScheme });
      const { violations, passes } = await page.evaluate(() => window.axe.run({ runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"], rules: { "page-has-heading-one": { enabled: true } } }));
      assert.ok(passes.length > 10, "axe-core checked the page");
      assert.deepEqual(violations.map((v) => `${v.id}: ${v.nodes.map((n) => n.target).join(", ")}`), [], `${where}, ${colorScheme}`);
    }
    await reflows(page, where);
    await album.take(page, `planner, ${where}`, DESK_SIZES);
    await page.setViewportSize(DESK_SIZES.desk);
  };
  await look("the list");
  await page.getByRole("button", { name: /^Lantern Quay, Tuesdays/ }).click();
  await page.getByRole("button", { name: /^Ann/ }).waitFor();
  await look("a group");
  await page.getByRole("button", { name: /^Ann/ }).click();
  await page.getByText("Enrolled in Evening, Lantern Quay, Tuesdays.").waitFor();
  await look("a person");
  await page.getByRole("button", { name: "Back to the group" }).click();
  await page.getByRole("button", { name: "All plans" }).click();
  await page.getByRole("button", { name: /^Lantern Quay, late spring/ }).first().click();
  await steps().waitFor();
  await look("a plan");
  await page.emulateMedia({ colorScheme: "light" });
});

test("paper says the cues, the answers and who rests, on two pages at most", async () => {
  await page.emulateMedia({ media: "print" });
  const paper = () => page.locator("main").innerText();
  assert.match(await paper(), /Swallow\. The tongue stays\./);
  assert.equal(await page.getByRole("searchbox").isVisible(), false);
  await page.emulateMedia({ media: null });
  const pdf = await page.pdf({ format: "A4" });
  const pages = (Buffer.from(pdf).toString("latin1").match(/\/Type\s*\/Page[^s]/g) ?? []).length;
  assert.ok(pages <= 2, `${pages} pages`);
});

test("back and forward go to where one was, and a class is found again in the list", async () => {
  await page.getByRole("button", { name: "All plans" }).click();
  await page.getByRole("button", { name: /^Lantern Quay, late spring/ }).first().click();
  await steps().locator("button", { hasText: "Strong ah" }).click();
  await page.waitForFunction(() => /^#plan\.[0-9a-f-]{36}\.\d+$/.test(location.hash));
  await page.goBack();
  const classes = page.getByRole("region", { name: "Classes that have not ended" });
  await classes.waitFor();
  await page.goForward();
  await page.getByRole("region", { name: "This step" }).getByRole("heading", { name: /Strong ah/ }).waitFor();
  await page.goBack();
  await classes.getByRole("button", { name: /^Links for it: Lantern Quay/ }).first().click();
  const link = page.getByRole("status").filter({ hasText: "The class is ready" }).getByRole("link", { name: "Desk" });
  const desk = await page.context().newPage();
  await desk.goto(new URL(await link.getAttribute("href"), page.url()).href);
  await desk.waitForURL("**/desk/**");
  await desk.close();
});

test("nothing failed on the page", () => assert.deepEqual(page.errors, []));
