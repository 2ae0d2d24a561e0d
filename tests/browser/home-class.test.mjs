// A plan that staff publish for people to do at home, the whole class as one of them goes through it, partly without the network,
// and what staff read of it.

import assert from "node:assert/strict";
import { after, before, test as nodeTest } from "node:test";
import { accessible, DESK_SIZES, reflows } from "./gallery.mjs";
import { heading, Homes, isCopied, kept, key } from "./home.mjs";

const test = (name, act) => nodeTest(name, { timeout: 180_000 }, act);
let homes, house, page, plan;

before(async () => {
  homes = await Homes.open();
  ({ house, page } = homes);
  const groups = await homes.ask("/api/planner/groups");
  const group = groups.find((one) => one.people.includes(homes.idOf("Maelys")));
  plan = (await homes.ask("/api/planner/plans")).find((one) => one.group === group.id);
});
after(() => homes?.close());

const whole = (own) => own.getByRole("button", { name: `${plan.title} A whole class` });

test("a plan is published with what each person has of it in sight, and is on the list of its group", async () => {
  await page.goto(`${homes.origin}/planner#plan.${plan.id}`);
  await page.reload();
  await page.getByRole("searchbox").waitFor();
  await key("More", page).click();
  await key("Publish for home", page).click();
  const people = page.getByRole("table").getByRole("row");
  // A swallow that is cleared for nobody is in nobody's.
  await people.filter({ hasText: "Maelys" }).filter({ hasText: "Tongue-hold swallow" }).waitFor();
  for (const [where, size] of Object.entries(DESK_SIZES)) {
    await page.setViewportSize(size);
    await reflows(page, where);
  }
  await page.setViewportSize(DESK_SIZES.desk);
  await accessible(page);
  await page.getByLabel("What you say before it").fill("Good evening.\nSit where you can hold on.");
  await page.getByRole("combobox", { name: "For whom" }).selectOption("Maelys");
  assert.equal(await people.count(), 2, "the head, and her");
  await key("Publish", page).click();
  await page.getByText("Published. It is on their own page from now on.").waitFor();
  const list = page.getByRole("region", { name: "Published for this group" }).getByRole("listitem");
  await list.filter({ hasText: `${plan.title}, Maelys` }).filter({ hasText: "3 days a week" }).waitFor();
  // The page is where it was, and goes back to the plan.
  await page.reload();
  await list.first().waitFor();
  await page.getByRole("button", { name: "← To the plan" }).click();
  await page.getByRole("searchbox").waitFor();
});

test("the whole class lasts to the second as long as its spans, and goes on when the network does not", async (t) => {
  const { context, own } = await homes.atHome("Maelys", { ready: (tab) => tab.clock.install() });
  await isCopied(own);
  const { classes } = await own.evaluate(() => fetch(`/api/own/${location.hash.slice(1)}/sheets`).then((all) => all.json()));
  const { sheet } = classes.find(({ sheet }) => sheet.title === plan.title);
  await whole(own).click();
  await heading(plan.title, own).waitFor();
  await own.getByText("Sit where you can hold on.").waitFor();
  await accessible(own);
  await reflows(own);
  await key("Go to the first one", own).click();
  await own.clock.pauseAt(Date.now() + 600_000);
  await own.getByText(`, 1 of ${sheet.steps.filter(({ kind }) => kind === "drill").length}`).waitFor();
  await key("Start", own).click();
  const over = heading("How was the whole class?", own);
  let [seconds, isCut] = [0, false];
  const run = async (s) => {
    await own.clock.runFor(s * 1_000);
    seconds += s;
  };
  while ((await over.count()) === 0) {
    assert.ok(seconds < 2 * (sheet.total_ms / 1_000), "it comes to an end");
    // From the second drill on there is no network.
    if (!isCut && (await own.getByText(", 2 of ").count())) [isCut] = [true, house.proxy.cut()];
    // Second by second where it ends.
    await run(seconds + 15 < sheet.total_ms / 1_000 ? 10 : 1);
  }
  t.diagnostic(`${seconds} s for ${sheet.total_ms / 1_000} s`);
  assert.equal(seconds, Math.ceil(sheet.total_ms / 1_000));
  assert.ok(isCut && sheet.total_ms > 15 * 60_000);
  await own.clock.resume();
  await accessible(own);
  await key("Hard", own).click();
  await own.getByText("Saved on this device.").waitFor();
  await own.reload();
  await whole(own).waitFor();
  house.proxy.mend();
  await own.evaluate(() => window.dispatchEvent(new Event("online")));
  while ((await kept(own)).logs > 0);
  const drills = sheet.steps.filter(({ kind }) => kind === "drill").length;
  const did = (await homes.said("Maelys")).classes.find(({ title }) => title === plan.title);
  assert.deepEqual([did.days, did.times, did.drills, did.drills_asked, did.ease], [1, 1, drills, drills, [0, 0, 1]]);
  assert.deepEqual(own.errors, []);
  await context.close();
});

test("staff read it beside what was asked, and what is taken back is gone from the person's page", async () => {
  await page.goto(`${homes.origin}/planner#weeks.${homes.idOf("Maelys")}`);
  await page.reload();
  const row = page.getByRole("row").filter({ hasText: `The whole class “${plan.title}”` });
  await row.first().waitFor();
  assert.match(await row.first().innerText(), /hard once; (\d+) of \1 drills/);
  const { context, own } = await homes.atHome("Maelys");
  await whole(own).click();
  // The group's page has it too.
  await page.goto(`${homes.origin}/planner#group.${plan.group}`);
  await page.reload();
  await key("Published for this group", page).click();
  await page.getByRole("button", { name: /^Take it back: .*Maelys/ }).click();
  const list = page.getByRole("region", { name: "Published for this group" }).getByRole("listitem");
  await list.filter({ hasText: "Maelys" }).waitFor({ state: "detached" });
  await own.evaluate(() => window.dispatchEvent(new Event("online")));
  await own.getByText("That class is not there any more").waitFor();
  assert.equal(await whole(own).count(), 0);
  assert.deepEqual(page.errors, []);
  await context.close();
});
