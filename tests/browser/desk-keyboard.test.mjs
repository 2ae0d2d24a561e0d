// The desk by keyboard, from opening the class to its end, with the focus visible at every stop. Also what the space
// bar does after a click.

import assert from "node:assert/strict";
import { after, before, test as nodeTest } from "node:test";
import { House, calm, glance, key, shows, tabTo } from "./people.mjs";

const test = (name, act) => nodeTest(name, { timeout: 120_000 }, act);

let house, desk, kay;

before(async () => {
  house = await House.open("serve", "--plan", new URL("states-plan.toml", import.meta.url).pathname);
  desk = await house.desk();
});
after(() => house.close());

async function pressed(name) {
  await tabTo(desk, name);
  const outline = await desk.evaluate(() => {
    const { outlineStyle, outlineWidth } = getComputedStyle(document.activeElement);
    return outlineStyle === "none" ? 0 : parseFloat(outlineWidth);
  });
  assert.ok(outline >= 3, `the focus on "${name}" is drawn ${outline} px wide`);
  await key(desk, "Enter");
}

test("opens the class, begins it, pauses and goes on", async () => {
  await tabTo(desk, "Your name at this desk");
  await desk.keyboard.type("Ines");
  await pressed("Save name");
  await pressed("Let people in");
  kay = await house.person("Kay");
  await pressed("Begin the class");
  await shows(kay, "Listen to your facilitator.");
  // A presenter's remote may send its key twice; no step may be skipped.
  await desk.evaluate(() => {
    for (const key of ["PageDown", "PageDown"]) document.body.dispatchEvent(new KeyboardEvent("keydown", { key, bubbles: true }));
  });
  await kay.getByRole("heading", { name: "Steady strong ah" }).waitFor();
  await shows(desk, "Not done: the class has already gone on; press again if you mean it.");
  await pressed("Pause");
  await shows(kay, "Pause. Rest and breathe.");
  // The space bar must not press again what was clicked with a pointer.
  await desk.getByRole("button", { name: "Go on" }).first().click();
  await kay.getByText("Pause. Rest and breathe.").waitFor({ state: "detached" });
  // The same key pauses and goes on, by what the desk itself shows.
  await desk.getByRole("button", { name: "Pause", exact: true }).first().waitFor();
  await key(desk, " ");
  await shows(kay, "Pause. Rest and breathe.");
  await kay.getByRole("heading", { name: "Steady strong ah" }).waitFor();
});

test("sees to a report, and pauses for safety", async () => {
  await kay.getByRole("button", { name: "I need to stop" }).click();
  await kay.getByRole("button", { name: "It hurts or feels wrong" }).click();
  await kay.getByRole("button", { name: "None of these" }).click();
  await kay.getByRole("button", { name: "Neck", exact: true }).click();
  await kay.getByRole("button", { name: "Severe", exact: true }).click();
  await desk.getByText("Neck, severe", { exact: false }).first().waitFor();
  await glance(desk);
  await key(desk, "s");
  await shows(kay, "Ines has seen it.");
  await glance(desk);
  await key(desk, "t");
  await shows(kay, "Ines is seeing to it.");
  await glance(desk);
  await pressed("Resolved");
  await calm(desk);
  // The safety pause works from a text field too.
  await pressed("Everyone");
  await tabTo(desk, "Add by phone");
  await desk.keyboard.type("Mo");
  await key(desk, "Escape");
  await pressed("Resume the class");
  await glance(desk);
  await pressed("Yes, resume");
  await desk.getByRole("button", { name: "Pause" }).first().waitFor();
});

test("ends the class", async () => {
  await key(desk, "/");
  await key(desk, "/");
  await pressed("End the class");
  await pressed("Yes, end it");
  await desk.getByRole("region", { name: "Who may need a follow-up" }).waitFor();
  assert.deepEqual(desk.errors, []);
});
