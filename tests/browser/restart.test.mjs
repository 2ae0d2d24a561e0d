// The server is killed with kill -9 in the middle of a hold. Both screens go on with the same countdown, and nothing
// acknowledged is missing.

import assert from "node:assert/strict";
import { test } from "node:test";
import { goTo, House, key, shows, tile } from "./people.mjs";

test("a killed server comes back into the same hold", async () => {
  const house = await House.open();
  try {
    const desk = await house.desk();
    await desk.getByRole("button", { name: "Let people in" }).click();
    const ann = await house.person("Ann");
    const ben = await house.person("Ben", { width: 1024, height: 768 });
    await key(desk, "PageDown");
    await shows(ann, "Listen to your facilitator.");
    await goTo(desk, "Pucker, then wide smile");
    for (const page of [ann, ben]) await shows(page, "Hold it.");
    await ann.getByRole("button", { name: "I need to stop" }).click();
    await tile(desk, "Ann, stopped").waitFor();
    await house.server.kill();
    // What is tapped in the meantime is kept, even over a reload.
    await ann.getByRole("button", { name: "I am tired", exact: true }).click();
    await ann.getByRole("button", { name: "It hurts or feels wrong" }).waitFor();
    await house.server.start("serve");
    await tile(desk, "Ann, stopped, tired").waitFor();
    await ann.getByRole("button", { name: "I can go on now" }).click();
    for (const page of [ann, ben]) await page.getByRole("timer").waitFor();
    const read = () =>
      Promise.all([ann, ben].map((page) => page.evaluate(() => Number(document.querySelector('[role="timer"]').textContent))));
    const [a, b] = await read();
    assert.ok(Math.abs(a - b) <= 1, `the screens show ${a} and ${b}, which were read one after the other`);
    assert.ok(a > 5 && a < 50, `the screen does not show the first hold: ${a}`);
    for (const page of [ann, ben]) assert.ok(await page.getByText("Hold it.", { exact: true }).count());
  } finally {
    await house.close();
  }
});
