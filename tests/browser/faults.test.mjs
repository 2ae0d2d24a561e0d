// A report survives every fault between the tap and the acknowledgement: it is in the ledger exactly once, and the
// person's screen never claims more than is true.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { Desk } from "../reference/desk.mjs";
import { House } from "./people.mjs";

let house, desk, ann;
const claims = [];
let tappedLast = 0;

/** Notes what the screen says about the report, as soon as it says so, even over reloads. */
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

/** The faults: what breaks, what shows that the fault took effect, and what mends it. */
const FAULTS = {
  cut: { breaks: () => house.proxy.cut(), felt: () => house.proxy.next("refused"), mends: () => house.proxy.mend() },
  silent: { breaks: () => house.proxy.goSilent(), felt: () => house.proxy.next("swallowed"), mends: () => undefined },
  slow: { breaks: () => house.proxy.slowBy(1_500), felt: () => undefined, mends: () => undefined },
  reload: { breaks: () => ann.reload(), felt: () => undefined, mends: () => undefined },
  frozen: { breaks: () => lifecycle("frozen"), felt: () => undefined, mends: () => lifecycle("active") },
  killed: {
    breaks: () => house.server.kill(),
    felt: () => undefined,
    mends: async () => {
      await house.server.start("serve");
      await desk.connect();
    },
  },
};
/** The moments: at the tap, with its bytes on their way, at the server, and with the answer on its way back. */
const MOMENTS = ["tap", "asked", "passed", "answered"];

async function lifecycle(state) {
  const session = await ann.context().newCDPSession(ann);
  await session.send("Page.setWebLifecycleState", { state });
  await session.detach();
}

/** The reports that the desk shows as alerts, by the person's name. */
const reportsAt = (frame) => frame.alerts.filter(({ kind }) => kind === "report").map(({ id }) => id);

const reported = async () => (await desk.incidents()).filter((line) => line.what === "reported");

for (const [name, fault] of Object.entries(FAULTS)) {
  for (const moment of MOMENTS) {
    test(`a report survives: ${name}, ${moment}`, { timeout: 60_000 }, async () => {
      const before = (await reported()).length;
      claims.length = 0;
      // For a moment, by the page's own clock, a control that was tapped ignores taps. A new page takes them at once.
      await ann.waitForFunction((tapped) => Math.abs(performance.now() - tapped) > 600, tappedLast);
      await ann.getByRole("button", { name: "I need to stop" }).click();
      await ann.getByRole("button", { name: "It hurts or feels wrong" }).waitFor();
      const known = new Set(reportsAt(desk.frame));
      const tappedAt = Date.now();
      const comes = moment === "tap" ? null : house.proxy.next(moment);
      // The tap is made inside the page, so that the fault can follow it closely.
      await ann.evaluate(() => [...document.querySelectorAll("button")].find((b) => b.textContent.trim() === "It hurts or feels wrong").click());
      await comes;
      const felt = fault.felt();
      await fault.breaks();
      await felt;
      await fault.mends();
      await desk.until((frame) => reportsAt(frame).some((id) => !known.has(id)));
      // The person goes back to where the report's state is shown, and in the end it says what is true.
      const back = ann.getByRole("button", { name: "Nothing more to say" });
      await back.or(ann.locator("[data-progress]")).first().waitFor();
      if (await back.isVisible()) await back.click();
      await ann.locator('[data-progress="recorded"]').waitFor({ timeout: 40_000 });
      const lines = await reported();
      assert.equal(lines.length, before + 1, "the report is in the ledger exactly once");
      const recordedAt = lines.at(-1).at;
      assert.ok(recordedAt >= tappedAt, "the report was recorded after the tap");
      for (const claim of claims) {
        assert.notEqual(claim.progress, "seen", "nobody has seen it");
        if (claim.progress === "recorded") assert.ok(claim.at >= recordedAt, "the screen said so only once it was true");
      }
      await ann.getByRole("button", { name: "Take it back" }).click();
      await ann.getByRole("button", { name: "I can go on now" }).click();
      await ann.getByRole("button", { name: "I need to stop" }).waitFor();
      tappedLast = await ann.evaluate(() => performance.now());
      house.proxy.mend();
      const goesOn = (row) => row.name === "Ann" && row.status !== "stopped" && row.status !== "discomfort";
      await desk.until((frame) => frame.rows.some(goesOn));
      house.proxy.endSilent();
    });
  }
}
