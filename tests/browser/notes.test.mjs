// Notes after a class, in the demo's last class: written, signed one after the other, corrected, printed.

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { after, before, test as nodeTest } from "node:test";
import { accessible } from "./gallery.mjs";
import { House } from "./people.mjs";

const test = (name, act) => nodeTest(name, { timeout: 60_000 }, act);
let house, page, origin, session;

before(async () => {
  house = await House.open("demo");
  page = await house.linked(house.server.links.staff.trial);
  origin = new URL(page.url()).origin;
  await page.getByRole("heading", { name: "Left to do" }).waitFor();
});
after(() => house?.close());

const key = (name, of = page) => of.getByRole("button", { name, exact: true });
const box = (name, of = page) => of.getByRole("textbox", { name, exact: true });
const list = (of = page) => of.getByRole("navigation", { name: "Whose note" });

test("Today has the notes of the last class, and one press opens the first that is to be written", async () => {
  await page.getByRole("button", { name: /^Write: \d+ notes to sign/ }).first().click();
  await page.getByText(/^0 of \d+ signed$/).waitFor();
  session = new URL(page.url()).hash.replace("#notes.", "");
  assert.equal(await box("Assessment").inputValue(), "", "what it means is left to a clinician (W-22)");
  assert.ok(await key("Sign").isDisabled());
  await accessible(page);
});

test("what was typed is there after the page is lost, and a colleague's draft is not overwritten unseen", async () => {
  await box("Add to Plan").fill("Shorter holds.");
  // Before it was saved.
  await page.reload();
  await page.getByText("Saved as a draft.").waitFor();
  assert.equal(await box("Add to Plan").inputValue(), "Shorter holds.");

  const other = await page.context().newPage();
  await other.goto(page.url());
  await box("Add to Plan", other).fill("Longer holds.");
  await other.getByText("Saved as a draft.").waitFor();
  await box("Add to Plan").fill("Shorter holds, and a longer rest.");
  const alert = page.getByRole("alert").filter({ hasText: "A colleague changed this draft" });
  await alert.getByText("Longer holds.").waitFor();
  assert.equal(await key("Sign").count(), 0);
  await key("Keep mine in its place").click();
  await page.getByText("Saved as a draft.").waitFor();
  await other.reload();
  await other.getByText("to sign it, write the assessment", { exact: false }).waitFor();
  assert.equal(await box("Add to Plan", other).inputValue(), "Shorter holds, and a longer rest.");
  await other.close();
});

test("all notes of a class are signed, each with one press and what was typed", async (t) => {
  let presses = 0;
  const all = Number((await page.getByText(/^\d+ of \d+ signed$/).innerText()).split(" ")[2]);
  await box("Assessment").click();
  presses += 1;
  for (let signed = 1; signed <= all; signed++) {
    await page.keyboard.type(`Assessment number ${signed}.`);
    await key("Sign").click();
    presses += 1;
    await page.getByText(`${signed} of ${all} signed`, { exact: true }).waitFor();
    // Whoever signed goes on typing in the next one.
    if (signed < all) await page.waitForFunction(() => document.activeElement?.hasAttribute("data-first"));
  }
  await page.getByText("All notes of this class are signed.").waitFor();
  t.diagnostic(`${all} notes signed with ${presses} presses besides what was typed`);
  assert.equal(presses, all + 1);
  await accessible(page);
});

test("a signed note is only added to, and is printed with all that belongs to it (W-24)", async () => {
  await list().getByRole("button", { name: /signed$/ }).first().click();
  const note = page.locator(".sheet article");
  await note.getByText("Assessment number 1.").waitFor();
  assert.equal(await page.getByRole("textbox").count(), 0, "nothing of it can be typed over");
  for (const [kind, text] of [["something that was left out", "His wife called."], ["a correction", "Not number 1."]]) {
    await key("Add to this note").click();
    await page.getByRole("radio", { name: kind }).check();
    await box("What it says").fill(text);
    await key("Sign the addition").click();
    await note.getByText(text).waitFor();
  }
  await note.getByText("Late entry", { exact: false }).waitFor();

  await page.evaluate(() => (window.print = () => (document.title = "printed")));
  await key("Print").click();
  await page.waitForFunction(() => document.title === "printed");
  await page.emulateMedia({ media: "print" });
  const paper = (await page.locator("body").innerText()).replace(/\s+/g, " ");
  const inOrder = [
    /About \w+/, /week \d, \w+, \d+ \w+ \d{4}/, /Subjective/, /Objective/, /In class for \d+ of \d+ minutes/, /the class did/,
    /Assessment number 1\./, /Plan The class was given to take home: .* Shorter holds, and a longer rest\./,
    /Signed by You, Speech-language pathologist, none: this is a trial, on/, /SHA-256 [0-9a-f]{64}/,
    /Addition His wife called\. Signed by You/, /Correction Not number 1\. Signed by You/,
  ];
  let at = 0;
  for (const part of inOrder) {
    const found = paper.slice(at).search(part);
    assert.notEqual(found, -1, `${part} behind ${at} in ${paper}`);
    at += found;
  }
  assert.ok(!paper.includes("Whose note") && !paper.includes("Print"), "only the note is on paper");
  const [, mine] = /About (\w+)/.exec(paper);
  const names = (await list().getByRole("button").allTextContents()).map((text) => text.trim().split(" ")[0]);
  for (const name of names.filter((name) => name !== "The" && name !== mine)) assert.ok(!paper.includes(name), `${name} in ${paper}`);
  await page.emulateMedia({ media: null });

  await key("Print all that are signed").click();
  const pages = (await page.pdf({ format: "A4" })).toString("latin1").match(/\/Type\s*\/Page\b/g).length;
  const signed = Number((await page.getByText(/^\d+ of \d+ signed$/).innerText()).split(" ")[0]);
  assert.ok(pages >= signed, `${pages} pages for ${signed} notes`);
});

test("a person's weeks are told in words, plots and tables of the same numbers (W-35)", async () => {
  await page.goto(`${origin}/planner`);
  const person = await page.evaluate(async () => (await (await fetch("/api/planner/people")).json()).find((one) => one.name === "Maelys").id);
  await page.goto(`${origin}/planner#person.${person}`);
  await page.reload();
  await key("What they did in class").click();
  await page.getByRole("heading", { name: "Maelys" }).waitFor();
  await page.getByText(/^Classes since .*: came to 5 of 5 \(100 %\)/).waitFor();
  const { progress } = await page.evaluate(async (id) => (await fetch(`/api/planner/people/${id}/progress`)).json(), person);
  const plots = page.locator("svg[role=img]");
  assert.equal(await plots.count(), 2 + progress.drills.filter((drill) => drill.days.some((day) => day.far)).length);
  for (const plot of await plots.all()) {
    assert.equal(await plot.getAttribute("aria-label"), await plot.locator("title").textContent());
    assert.match(await plot.getAttribute("aria-label"), /The table below has the same/);
  }
  const dots = await page.locator('section[aria-label="Classes"] svg').evaluateAll((all) => all.map((svg) => svg.querySelectorAll("circle").length));
  assert.deepEqual(dots, [progress.classes.length, progress.effort.days.length]);
  const cells = await page.locator("table").first().locator("tbody tr").evaluateAll((rows) => rows.map((row) => [...row.cells].map((cell) => cell.innerText.trim())));
  assert.deepEqual(cells.map((row) => [row[3], row[5]]), progress.classes.map((one) => [`${one.there} of ${one.minutes} min`, one.efforts.join(", ")]));
  await accessible(page);
  // At 200 % nothing but the wide tables, which scroll by themselves, is wider than the page.
  await page.setViewportSize({ width: 640, height: 450 });
  await accessible(page);
  assert.ok(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth));
  await page.getByText(/, Voice circle, week 1$/).click();
  await page.getByText("Signed by Ines, Speech-language pathologist, an invented licence", { exact: false }).first().waitFor();
});

test("sums for funders are shown, hidden where they are small, and handed out as a file (W-32)", async () => {
  await page.setViewportSize({ width: 1280, height: 800 });
  await page.goto(`${origin}/planner`);
  await page.reload();
  await key("For funders").click();
  await key("Show").click();
  const table = page.getByRole("region", { name: "Sums of the period" });
  const rows = async () => table.locator("tbody tr").evaluateAll((all) => all.map((row) => [...row.cells].map((cell) => cell.innerText)));
  await table.waitFor();
  const [total, ...lines] = await rows();
  assert.deepEqual(total.slice(0, 7), ["All groups that you may see", "10", "2", "12", "12", "0", "55"]);
  assert.equal(lines.filter((line) => /Lantern Quay|Harbour Steps/.test(line[0])).length, 0, "one is in both groups");
  await accessible(page);
  const waiting = page.waitForEvent("download");
  await page.getByRole("link", { name: "As a file" }).click();
  const file = readFileSync(await (await waiting).path(), "utf8");
  assert.match(file, /^of,name,from,to,classes_held,.*\r\ntotal,,\d{4}-\d\d-\d\d,\d{4}-\d\d-\d\d,10,2,12,12,0,55,2585,5,no\r\n/);
  await page.getByLabel("Hide counts below").selectOption("11");
  await key("Show").click();
  await page.getByText("2 groups have no lines of their own", { exact: false }).waitFor();
  assert.equal((await rows()).filter((line) => /Lantern Quay|Harbour Steps/.test(line[0])).length, 0);
});

test("the same notes are there for whoever comes by the desk of the class", async () => {
  const desk = await page.evaluate(async (id) => {
    const answer = await fetch(`/api/planner/classes/${id}/desk`, { method: "POST", headers: { "content-type": "application/json" }, body: "{}" });
    return (await answer.json()).stay;
  }, session);
  await page.goto(`${origin}/desk/${desk}`);
  await page.getByRole("link", { name: "Write the notes" }).click();
  await page.getByText("All notes of this class are signed.").waitFor();
});
