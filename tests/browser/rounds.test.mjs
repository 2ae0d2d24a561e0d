// A round of the word game is written in the planner by keyboard, tried while it is written, and played in a class on a
// participant's screen; a round of the library is copied and changed.

import assert from "node:assert/strict";
import axe from "axe-core";
import { after, before, test as nodeTest } from "node:test";
import { Album, DESK_SIZES, SIZES, reflows } from "./gallery.mjs";
import { House, goTo, pressTab, tabTo } from "./people.mjs";

const test = (name, act) => nodeTest(name, { timeout: 90_000 }, act);

const album = new Album("rounds");
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

const clue = (number) => page.getByRole("group", { name: `Clue ${number}`, exact: true });
const saved = () => page.getByText("Saved", { exact: true }).waitFor();
/** Tries an answer to a clue, and waits for what it is worth. */
async function tries(number, said, worth) {
  await clue(number).getByLabel("Try an answer").fill(said);
  await clue(number).getByText(worth, { exact: true }).waitFor();
}

test("a round is written by keyboard, says what is missing, and shows how answers would be taken", async () => {
  await pressTab(page, "Write a round");
  await tabTo(page, "Theme, shown to everyone");
  await page.keyboard.press("Control+a");
  await page.keyboard.type("By the harbour");
  await pressTab(page, "Add a clue");
  // The focus is in the new clue.
  await page.keyboard.type("It turns its light, and ships see it at night.");
  await page.getByText("The clue has no answer yet.").waitFor();
  await tabTo(page, "Answer");
  await page.keyboard.type("lighthouse");
  await tabTo(page, "Also right, with commas between");
  await page.keyboard.type("beacon, sea light");
  await tabTo(page, "A wrong word");
  await page.keyboard.type("windmill");
  await page.getByText("Lighthouse or windmill?").waitFor();
  await page.getByText("In the library.", { exact: false }).waitFor();
  await tries(1, "the Light-house", "Taken as right");
  await tries(1, "sea lights", "Taken as right");
  await tries(1, "windmill", "Not taken");
  // What is tried is compared with the round as it is on the page.
  await clue(1).getByLabel("A wrong word").fill("wind turbine");
  await clue(1).getByLabel("Also right").fill("beacon, sea light, windmill");
  await clue(1).getByText("Taken as right").waitFor();
  await clue(1).getByLabel("Also right").fill("beacon, sea light");
  await page.getByRole("button", { name: "Add a clue" }).click();
  await clue(2).getByLabel("Clue, as everyone reads it").fill("It floats and rings.");
  await clue(2).getByLabel("Answer", { exact: true }).fill("lighthouse");
  await clue(2).getByText("Clue 1 has the same answer.").waitFor();
  await clue(2).getByLabel("Answer", { exact: true }).fill("buoy");
  await page.getByText("In the library.", { exact: false }).waitFor();
  await saved();
});

test("a page that is loaded again has the round, and undo takes back what was typed", async () => {
  await page.reload();
  assert.equal(await clue(2).getByLabel("Answer", { exact: true }).inputValue(), "buoy");
  await clue(2).getByLabel("A second clue").fill("Gulls sit on it.");
  await clue(2).getByText("Gulls sit on it.").waitFor();
  await page.getByRole("button", { name: "Undo" }).click();
  assert.equal(await clue(2).getByLabel("A second clue").inputValue(), "");
  await page.getByRole("button", { name: "Take out clue 2" }).click();
  assert.equal(await clue(2).count(), 0);
  await page.getByRole("button", { name: "Undo" }).click();
  assert.equal(await clue(2).getByLabel("Answer", { exact: true }).inputValue(), "buoy");
  await saved();
});

test("the page can be read by a screen reader and at every width", async () => {
  await page.evaluate(axe.source);
  const { violations } = await page.evaluate(() => axe.run());
  assert.deepEqual(violations.map(({ id, nodes }) => [id, nodes.map(({ html }) => html)]), []);
  await album.take(page, "a round", DESK_SIZES);
  await reflows(page);
  await page.setViewportSize(DESK_SIZES.desk);
});

test("the round is played in a class, and a screen takes its answers", async () => {
  await page.getByRole("button", { name: "All plans" }).click();
  await page.getByRole("button", { name: "By the harbour" }).waitFor();
  await page.getByRole("button", { name: "An empty plan" }).click();
  await page.getByRole("searchbox").fill("harbour");
  await page.getByText("written here, 2 clues").waitFor();
  await page.getByRole("button", { name: "Add By the harbour" }).click();
  await saved();
  await page.getByRole("group", { name: "This plan" }).getByRole("button", { name: "Make the class" }).click();
  const ready = page.getByRole("status").filter({ hasText: "The class is ready" });
  const at = async (name) => new URL(await ready.getByRole("link", { name }).getAttribute("href"), page.url()).href;
  const desk = await page.context().newPage();
  await desk.goto(await at("Desk"));
  await desk.waitForURL("**/desk/**");
  await desk.getByRole("button", { name: "Let people in" }).click();
  const screen = await house.browser.newPage({ viewport: SIZES.phone });
  await screen.goto(await at("Class"));
  await house.comesIn(screen, "Ann");
  await goTo(desk, "By the harbour");
  await desk.getByRole("button", { name: "First clue" }).click();
  await screen.getByText("It turns its light, and ships see it at night.").waitFor();
  for (const [word, heard] of [
    ["windmill", "Not that word. Try again, or wait."],
    ["the Light House", "Yes, that is it"],
  ]) {
    await screen.getByLabel("Write the word").fill(word);
    await screen.getByRole("button", { name: "Send" }).click();
    await screen.getByText(heard).waitFor();
  }
  await screen.close();
  await desk.close();
});

test("a round of the library is copied in Spanish and changed; its hints follow the answer", async () => {
  await page.getByRole("searchbox").fill("toolbox");
  await page.getByRole("button", { name: "The toolbox" }).first().click();
  await page.getByRole("button", { name: "Write your own from it in Spanish" }).click();
  await clue(1).getByText("8 letras").waitFor();
  await clue(1).getByLabel("Answer", { exact: true }).fill("mazo");
  // What was the beginning of the answer is not any more.
  await clue(1).getByText("The first part must be how the answer begins", { exact: false }).waitFor();
  await clue(1).getByLabel("First part of the answer").fill("ma");
  await clue(1).getByText("4 letras").waitFor();
  await clue(1).getByText("Empieza así: ma...").waitFor();
  await saved();
});

test("removing a round takes two keys in two places, and a plan that has it says so", async () => {
  await page.getByRole("button", { name: "All plans" }).click();
  await page.getByRole("button", { name: "By the harbour Find the word" }).click();
  await page.getByRole("button", { name: "Remove the round" }).click();
  await page.getByRole("button", { name: "Yes, remove it" }).click();
  await page.getByRole("button", { name: "By the harbour Find the word" }).waitFor({ state: "detached" });
  await page.getByRole("button", { name: /A class/ }).first().click();
  await page.getByText("it may have been removed", { exact: false }).first().waitFor();
});

test("nothing failed on the page", () => assert.deepEqual(page.errors, []));
