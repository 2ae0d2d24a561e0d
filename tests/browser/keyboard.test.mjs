// A participant without a pointer, from the code to the end of the class with the keyboard alone, with the focus
// visible at every stop.

import assert from "node:assert/strict";
import { after, before, test as nodeTest } from "node:test";
import { CHECK_IN, endClass, glance, goTo, House, key, sayName, shows, tabTo, waits } from "./people.mjs";

const test = (name, act) => nodeTest(name, { timeout: 120_000 }, act);

let house, desk, kay;

before(async () => {
  house = await House.open("serve", "--emergency-number", "555", "--plan", new URL("states-plan.toml", import.meta.url).pathname);
  desk = await house.desk();
  await sayName(desk, "Ines");
  await desk.getByRole("button", { name: "Let people in" }).click();
});
after(() => house.close());

/** Goes to a control, checks that its focus can be seen, and presses it. */
async function pressed(name) {
  await tabTo(kay, name);
  const focus = await kay.evaluate(() => {
    const { outlineStyle, outlineWidth } = getComputedStyle(document.activeElement);
    const { top, bottom, left, right } = document.activeElement.getBoundingClientRect();
    return { outline: outlineStyle === "none" ? 0 : parseFloat(outlineWidth), inside: top >= 0 && left >= 0 && bottom <= innerHeight + 1 && right <= innerWidth + 1 };
  });
  assert.ok(focus.outline >= 3, `the focus on "${name}" is drawn ${focus.outline} px wide`);
  assert.ok(focus.inside, `"${name}" is on the screen`);
  await kay.keyboard.press("Enter");
}

test("comes in, checks in, and makes choices for their own screen", async () => {
  const page = await house.stranger("");
  kay = page;
  await page.goto(new URL("/", page.url()).href);
  await tabTo(page, "Class code");
  await page.keyboard.type(house.server.links.code);
  await tabTo(page, "Your first name");
  await page.keyboard.type("Kay");
  await page.keyboard.press("Enter");
  await page.waitForURL("**/class/**");
  for (const answer of CHECK_IN) {
    await glance(page);
    await pressed(answer);
  }
  await waits(page);
  await pressed("My screen");
  await page.getByRole("heading", { name: "My screen" }).waitFor();
  assert.equal(await page.evaluate(() => document.activeElement.textContent), "My screen", "the sheet has the focus");
  await kay.getByRole("group", { name: "Light up the screen’s edge at each cue" }).getByRole("button", { name: "On" }).press("Enter");
  await pressed("Larger");
  assert.equal(await page.evaluate(() => document.documentElement.dataset.text), "larger");
  await tabTo(page, "Back to class", true);
  await page.keyboard.press("Enter");
  assert.equal(await page.evaluate(() => document.activeElement.textContent.trim()), "My screen", "the focus is back on the key");
});

test("says that a drill is done and how far it went, stops, reports, and goes on", async () => {
  await desk.getByRole("button", { name: "Begin the class" }).click();
  await shows(kay, "Listen to your facilitator.");
  await glance(desk);
  await key(desk, "PageDown");
  await kay.waitForFunction(() => [...document.querySelectorAll("nav button")].some((b) => b.textContent.trim() === "Done" && !b.disabled));
  await pressed("Done");
  await pressed("5 s");
  await kay.getByText("Done. Well done.", { exact: false }).waitFor();
  await goTo(desk, "Neck in five positions");
  await shows(kay, "Hold.");
  // As chosen, each cue lights the edge of the screen.
  await kay.locator(".edge").waitFor({ state: "attached" });
  await pressed("I need to stop");
  await shows(kay, "You have stopped.");
  await pressed("It hurts or feels wrong");
  await pressed("None of these");
  await pressed("Neck");
  await pressed("As a number");
  await pressed("3");
  await kay.getByText("Nobody has seen it yet.", { exact: false }).waitFor();
  await desk.getByText(/^Kay: neck/).first().waitFor();
  await pressed("I can go on now");
  await kay.getByRole("button", { name: "I need to stop" }).waitFor();
});

test("answers a clue, and comes to the end", async () => {
  await goTo(desk, "The toolbox");
  await desk.getByRole("button", { name: "First clue" }).click();
  await kay.getByText("It bangs the nail in, and now and then the thumb.").waitFor();
  await tabTo(kay, "Write the word");
  await kay.keyboard.type("hammer");
  await kay.keyboard.press("Enter");
  await kay.getByText("Yes, that is it").waitFor();
  await pressed("I need to stop");
  await endClass(desk);
  // The end is also shown to a person who had stopped.
  await shows(kay, "Thank you, Kay.");
  await kay.getByText("Get up slowly.", { exact: false }).waitFor();
  assert.deepEqual(kay.errors, []);
});
