// A report through every fault between the tap and the acknowledgement: it is in the ledger exactly
// once, and the person's screen never claimed more than was true.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { Desk } from "../reference/desk.mjs";
import { House } from "./people.mjs";

let house, desk, ann;
const claims = [];
let tappedAt = 0;

/** Tells what the screen says of the report, as soon as it says it, over reloads too. */
async function watchClaims(page) {
  await page.exposeFunction("claimed", (progress) => claims.push({ progress, at: Date.now() }));
  await page.addInitScript(() => {
    let last = null;
    new MutationObserver(() => {
      const now = document.querySelector("[data-progress]")?.getAttribute("data-progress") ?? null;
      if (now !== last && now) globalThis.claimed(now);
      last = now;
    }).observe(document, { subtree: true, childList: true, attributes: true, attributeFilter: ["data-progress"] });
  });
}

before(async () => {
  house = await House.open();
  desk = await Desk.open(house.server.links.desk);
  await desk.tell({ do: "open" });
  ann = await house.person("Ann", { width: 390, height: 844 }, watchClaims);
  await desk.tell({ do: "go_to", step: 7 });
});
after(async () => {
  desk.close();
  await house.close();
});

const sleep = (ms) => new Promise((resolve) => setTimeout(resolve, ms));

/** The faults: what breaks, and what mends it. */
const FAULTS = {
  cut: { breaks: () => house.proxy.cut(), mends: () => house.proxy.mend() },
  silent: { breaks: () => house.proxy.goSilent(), mends: () => undefined },
  slow: { breaks: () => house.proxy.slowBy(1_500), mends: () => house.proxy.mend() },
  reload: { breaks: () => ann.reload(), mends: () => undefined },
  frozen: { breaks: () => lifecycle("frozen"), mends: () => lifecycle("active") },
  killed: {
    breaks: () => house.server.kill(),
    mends: async () => {
      await house.server.start("serve");
      await desk.connect();
    },
  },
};
/** From before the tap's bytes left (0) over their way of 40 to 100 ms to after the answer is back. */
const AFTER_MS = [0, 40, 100, 180];

async function lifecycle(state) {
  const session = await ann.context().newCDPSession(ann);
  await session.send("Page.setWebLifecycleState", { state });
  await session.detach();
}

const reported = async () => (await desk.incidents()).filter((line) => line.what === "reported");

for (const [name, fault] of Object.entries(FAULTS)) {
  for (const afterMs of AFTER_MS) {
    test(`a report survives: ${name}, ${afterMs} ms after the tap`, { timeout: 60_000 }, async () => {
      const before = (await reported()).length;
      claims.length = 0;
      await ann.getByRole("button", { name: "I need to stop" }).click();
      await ann.getByRole("button", { name: "It hurts" }).waitFor();
      tappedAt = Date.now();
      // The tap is made inside the page, so that the fault can follow it closely.
      await ann.evaluate(() => [...document.querySelectorAll("button")].find((b) => b.textContent.trim() === "It hurts").click());
      await sleep(afterMs);
      await fault.breaks();
      await sleep(400);
      await fault.mends();
      let lines = await reported();
      for (let waited = 0; lines.length === before && waited < 40_000; waited += 100) {
        await sleep(100);
        lines = await reported();
      }
      // The person goes back to where the report's state is shown, and it becomes what is true.
      const back = ann.getByRole("button", { name: "That is all" });
      if (await back.isVisible()) await back.click();
      await ann.locator('[data-progress="recorded"]').waitFor({ timeout: 40_000 });
      lines = await reported();
      assert.equal(lines.length, before + 1, "in the ledger exactly once");
      const recordedAt = lines.at(-1).at;
      assert.ok(recordedAt >= tappedAt, "recorded after the tap");
      for (const claim of claims) {
        assert.notEqual(claim.progress, "seen", "nobody has seen it");
        if (claim.progress === "recorded") assert.ok(claim.at >= recordedAt, "said only when it was true");
      }
      await ann.getByRole("button", { name: "Take it back" }).click();
      await ann.getByRole("button", { name: "I can go on" }).click();
      await ann.getByRole("button", { name: "I need to stop" }).waitFor();
      const open = (frame) => frame.rows.some((row) => row.name === "Ann" && row.status !== "stopped" && row.status !== "discomfort");
      await desk.until(open);
      house.proxy.endSilent();
    });
  }
}
