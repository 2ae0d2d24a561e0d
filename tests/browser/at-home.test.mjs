// Practice at home on a person's own tablet: at their own pace, without the network, with nothing lost and nothing counted
// twice (W-37 to W-40, W-42).

import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { createServer, request } from "node:http";
import { after, before, test as nodeTest } from "node:test";
import { accessible, reflows } from "./gallery.mjs";
import { drill, heading, Homes, isCopied, kept, key } from "./home.mjs";
import { shows } from "./people.mjs";

const test = (name, act) => nodeTest(name, { timeout: 120_000 }, act);
let homes, house, page, origin;

before(async () => {
  homes = await Homes.open();
  ({ house, page, origin } = homes);
});
after(() => homes?.close());

const ask = (...what) => homes.ask(...what);
const atHome = (...who) => homes.atHome(...who);

/** What staff read of the drills of somebody's newest sheet. */
const said = async (name) => (await homes.said(name)).drills;

test("the player goes by its own clock to the second, and waits in the longer rests", async () => {
  const { context, own } = await atHome("Maelys", { ready: (tab) => tab.clock.install() });
  const [{ sheet }] = (await own.evaluate(() => fetch(`/api/own/${location.hash.slice(1)}/sheets`).then((all) => all.json()))).sheets;
  const { timeline, title } = sheet.items[0].content;
  await drill(own).click();
  await shows(own, "Start when you are ready.");
  await own.getByText(sheet.items[0].cautions[0]).first().waitFor();
  await own.clock.pauseAt(Date.now() + 60_000);
  await key("Start", own).click();
  // Up to the first rest that is as long as one likes.
  const untilRest = timeline.spans.findIndex((span) => span.phase === "rest" && span.len_ms >= 10_000);
  const firstMs = timeline.ready_ms + timeline.spans[untilRest].start_ms;
  await own.clock.runFor(timeline.ready_ms + 500);
  await own.getByText("1 of").first().waitFor();
  await own.clock.runFor(firstMs - timeline.ready_ms - 1_500);
  await own.getByRole("timer").waitFor();
  await own.clock.runFor(1_000);
  await shows(own, "Rest.");
  await own.clock.runFor(300_000);
  await own.getByText("As long as you like.").waitFor();
  // The rest of it: each part after the person goes on.
  const work = timeline.spans.slice(untilRest).filter((span) => !(span.phase === "rest" && span.len_ms >= 10_000));
  let leftMs = work.reduce((sum, span) => sum + span.len_ms, 0);
  for (let rests = 0; (await key("Go on", own).count()) > 0; rests++) {
    assert.ok(rests < 10, "it comes to an end");
    await key("Go on", own).click();
    await own.clock.runFor(5_000 + firstMs - timeline.ready_ms);
    leftMs -= firstMs - timeline.ready_ms;
  }
  assert.equal(leftMs, 0, "the parts are as long as the drill without the longer rests");
  await heading("How did it go?", own).waitFor();
  await key("Just right", own).click();
  await heading("Well done, Maelys.", own).waitFor();
  await own.clock.runFor(1_000);
  await own.getByText("Your facilitator can see it.").waitFor();
  const [of] = await said("Maelys");
  assert.equal(of.title, title);
  assert.deepEqual([of.times, of.reps, of.ease], [1, sheet.items[0].reps * sheet.items[0].sets * Math.max(1, sheet.items[0].sides.length), [0, 1, 0]]);
  assert.deepEqual(own.errors, []);
  await context.close();
});

test("it opens and works without the network, keeps what was done over a reload and a killed server, and sends it once", async () => {
  const { context, own } = await atHome("Anselm");
  await isCopied(own);
  const before = await said("Anselm");
  house.proxy.cut();
  for (const path of ["/practice", "/practice?in=es", `/practice#${new URL(own.url()).hash.slice(1)}`]) {
    await own.goto("about:blank");
    await own.goto(origin + path);
    await own.locator(".drill").first().waitFor();
    assert.ok(await own.evaluate(() => navigator.serviceWorker.controller !== null));
  }
  assert.ok(await own.evaluate(() => navigator.wakeLock.request("screen").then((lock) => !lock.released)), "the screen stays on");
  await drill(own).click();
  await key("Start", own).click();
  await key("I stop here", own).click();
  await key("That is enough", own).click();
  // On the smallest phone too it can be said without scrolling that it hurt.
  const tablet = own.viewportSize();
  await own.setViewportSize({ width: 360, height: 640 });
  const [last, foot] = await Promise.all([key("It hurt", own).boundingBox(), own.locator("nav").boundingBox()]);
  assert.ok(last.y + last.height <= foot.y, `it ends at ${last.y + last.height}, the foot begins at ${foot.y}`);
  await own.setViewportSize(tablet);
  await key("Hard", own).click();
  await own.getByText("Saved on this device.").waitFor();
  await key("Do another one", own).click();
  await drill(own, 1).click();
  await key("Start", own).click();
  await key("I stop here", own).click();
  await key("It hurt", own).click();
  // What to do needs no network (W-42).
  await heading("Stop for today.", own).waitFor();
  await own.getByText(/call your emergency number now/).waitFor();
  await own.getByText(/Nobody reads it at once/).waitFor();
  await accessible(own);
  await own.reload();
  await own.locator(".drill").first().waitFor();
  assert.deepEqual(await kept(own), { sheets: 1, logs: 2, workers: 1 });
  await house.server.kill();
  await house.server.start("demo");
  // The first answer of the server gets lost, so that the log is sent again.
  let sent = 0;
  const isLost = new Promise((lost) => {
    void context.route("**/api/own/*/practice", async (route) => {
      sent += 1;
      if (sent > 1) return route.continue();
      await route.fetch();
      await route.abort("connectionreset");
      lost();
    });
  });
  house.proxy.mend();
  await page.goto(new URL(house.server.links.staff.trial, origin).href.replace(/^http:\/\/[^/]*/, origin));
  await heading("Left to do", page).waitFor();
  await own.evaluate(() => window.dispatchEvent(new Event("online")));
  await isLost;
  const taken = new Set();
  const isTaken = own.waitForResponse((answer) => {
    if (answer.url().endsWith("/practice") && answer.ok()) taken.add(answer.request().postDataJSON().log.id);
    return answer.url().endsWith("/sheets") && taken.size === 2;
  });
  await own.evaluate(() => window.dispatchEvent(new Event("online")));
  // The sheets are read once everything is sent.
  await isTaken;
  assert.equal((await kept(own)).logs, 0);
  assert.ok(sent >= 3, "one was sent twice");
  const now = await said("Anselm");
  const times = (of) => of.reduce((sum, one) => sum + one.times + one.hurt.length, 0);
  // Nobody did a whole repetition: neither log counts as a time, and one of them hurt.
  assert.equal(times(now), times(before) + 1);
  const { left } = await ask("/api/planner/today");
  const hurt = left.filter((one) => one.what === "follow_up" && one.name === "Anselm" && /hurt at home/.test(one.to_do));
  assert.equal(hurt.length, 1, JSON.stringify(left));
  assert.deepEqual(own.errors, []);
  await context.close();
});

test("no other page is controlled, and a link that was ended leaves nothing on the device", async () => {
  const { context, own, end } = await atHome("Ifeoma");
  await isCopied(own);
  const other = await house.tab(context, "/");
  assert.equal(await other.evaluate(() => navigator.serviceWorker.controller), null);
  await end();
  await own.evaluate(() => window.dispatchEvent(new Event("online")));
  await heading("This page has nothing of yours.", own).waitFor();
  const { sheets, logs } = await kept(own);
  assert.deepEqual([sheets, logs], [0, 0]);
  await own.reload();
  await heading("This page has nothing of yours.", own).waitFor();
  await context.close();
});

test("a tablet that others use too keeps nothing, and says so while something is on its way", async () => {
  const { context, own } = await atHome("Casimir", { shared: true });
  assert.deepEqual(await kept(own), { sheets: 0, logs: 0, workers: 0 });
  await drill(own).click();
  await key("Start", own).click();
  const before = (await said("Casimir"))[0].ease[0];
  await context.route("**/api/own/*/practice", (route) => route.abort());
  await key("I stop here", own).click();
  await key("That is enough", own).click();
  await key("Easy", own).click();
  await own.getByText("It is not sent yet. Leave this page open until it is.").waitFor();
  assert.deepEqual(await kept(own), { sheets: 0, logs: 0, workers: 0 });
  // Nothing is lost with a page that is loaded again.
  await own.reload();
  await heading("What shall we do?", own).waitFor();
  await context.unroute("**/api/own/*/practice");
  await own.evaluate(() => window.dispatchEvent(new Event("online")));
  await own.waitForFunction(() => sessionStorage.getItem("samebreath.practice.logs") === "[]");
  assert.equal((await said("Casimir"))[0].ease[0], before + 1);
  assert.equal(await own.evaluate(() => localStorage.length), 0);
  await context.close();
});

test("what was done without the screen is said in two taps", async () => {
  const { context, own } = await atHome("Bertram");
  const before = (await said("Bertram"))[0];
  await key("✓ I did it without the screen", own).click();
  await heading("Which one did you do?", own).waitFor();
  await accessible(own);
  await drill(own).click();
  await key("Some", own).click();
  await own.getByText("Your facilitator can see it.").waitFor();
  const now = (await said("Bertram"))[0];
  assert.deepEqual([now.times - before.times, now.uncounted - before.uncounted, now.reps - before.reps], [1, 1, 0]);
  await context.close();
});

test("a week on an old tablet, half of it without the network, is a week of seven days for the staff", async () => {
  const DAY_MS = 86_400_000;
  const first = Date.now() - 6 * DAY_MS;
  const { context, own } = await atHome("Philippa", {
    device: { viewport: { width: 1024, height: 768 }, hasTouch: true },
    ready: async (tab) => {
      const device = await tab.context().newCDPSession(tab);
      await device.send("Emulation.setCPUThrottlingRate", { rate: 6 });
      await tab.clock.install({ time: first });
    },
  });
  await isCopied(own);
  const before = (await said("Philippa"))[0];
  const [{ sheet }] = (await own.evaluate(() => fetch(`/api/own/${location.hash.slice(1)}/sheets`).then((all) => all.json()))).sheets;
  const [item] = sheet.items;
  for (let day = 0; day < 7; day++) {
    const isOffline = day % 2 === 1;
    if (isOffline) house.proxy.cut();
    await own.clock.setSystemTime(first + day * DAY_MS);
    await own.reload();
    await drill(own).click();
    await key("Start", own).click();
    for (let s = 0; (await heading("How did it go?", own).count()) === 0; s++) {
      assert.ok(s < 900, "the drill comes to an end");
      if (await key("Go on", own).count()) await key("Go on", own).click();
      await own.clock.runFor(1_000);
    }
    await key("Easy", own).click();
    await own.getByText(isOffline ? "Saved on this device." : "Saved.", { exact: true }).waitFor();
    if (isOffline) house.proxy.mend();
  }
  await own.evaluate(() => window.dispatchEvent(new Event("online")));
  await own.waitForFunction(() => document.body.innerText.includes("Your facilitator can see it."));
  assert.equal((await kept(own)).logs, 0);
  const now = (await said("Philippa"))[0];
  const each = item.reps * item.sets * Math.max(1, item.sides.length);
  assert.deepEqual([now.days - before.days >= 6, now.times - before.times, now.reps - before.reps, now.ease[0] - before.ease[0]], [true, 7, 7 * each, 7]);
  assert.deepEqual(own.errors, []);
  await context.close();
});

test("a reminder is for the person's own calendar, once a day, and only for whoever asks for it", async () => {
  // Before the first of the times that are offered.
  const { context, own } = await atHome("Yuki", { ready: (tab) => tab.clock.install({ time: new Date().setHours(8, 0, 0, 0) }) });
  const [{ sheet }] = (await own.evaluate(() => fetch(`/api/own/${location.hash.slice(1)}/sheets`).then((all) => all.json()))).sheets;
  await key("Remind me", own).click();
  await heading("At what time?", own).waitFor();
  await accessible(own);
  await reflows(own);
  const [file] = await Promise.all([own.waitForEvent("download"), key("11:00", own).click()]);
  await own.getByText("Open the file that was saved, and your calendar takes it.").waitFor();
  // icalendar and recurring-ical-events (PyPI) read and expand it; they know nothing of ours.
  const last = new Date(Date.now() + 60 * 86_400_000).toISOString().slice(0, 10);
  const today = await own.evaluate(() => new Date().toLocaleDateString("sv"));
  const python = new URL("../.venv/bin/python", import.meta.url).pathname;
  const reader = new URL("../reference/calendar_file.py", import.meta.url).pathname;
  const seen = JSON.parse(execFileSync(python, [reader, await file.path(), today, last], { encoding: "utf8" }));
  const { classes } = await own.evaluate(() => fetch(`/api/own/${location.hash.slice(1)}/sheets`).then((all) => all.json()));
  const until = [sheet.until, ...classes.map((one) => one.sheet.until)].sort().at(-1);
  assert.equal(seen.found.length, 1 + (Date.parse(until) - Date.parse(today)) / 86_400_000);
  assert.deepEqual([seen.errors, seen.loose, seen.whole, seen.summaries], [[], 0, true, ["Practice at home"]]);
  assert.equal(await own.evaluate(() => document.body.innerText.includes("missed")), false);
  await context.close();
  // A tablet that others use too has no calendar of theirs.
  const shared = await atHome("Yuki", { shared: true });
  assert.equal(await key("Remind me", shared.own).count(), 0);
  await shared.context.close();
});

/** A server before the server, whose worker is another one as soon as it is told so. */
async function inFront() {
  const state = { isNew: false };
  const server = createServer((asked, answer) => {
    const to = request({ port: house.server.port, host: "127.0.0.1", path: asked.url, method: asked.method, headers: { ...asked.headers, "accept-encoding": "identity" } }, (got) => {
      const isWorker = asked.url === "/sw.js" && state.isNew;
      const headers = { ...got.headers };
      if (isWorker) delete headers["content-length"];
      answer.writeHead(got.statusCode, headers);
      got.on("data", (data) => answer.write(data));
      got.on("end", () => answer.end(isWorker ? "\n// a new version\n" : ""));
    });
    to.on("error", () => answer.destroy());
    asked.pipe(to);
  });
  await new Promise((resolve) => server.listen(0, "127.0.0.1", resolve));
  return { state, at: `http://127.0.0.1:${server.address().port}`, close: () => server.close() };
}

test("a new version waits until the drill is over, and is taken with one tap", async () => {
  const front = await inFront();
  try {
    const { context, own } = await atHome("Tobias", { at: front.at });
    await isCopied(own);
    await own.reload();
    await drill(own).click();
    await accessible(own);
    await key("Start", own).click();
    front.state.isNew = true;
    await own.evaluate(async () => {
      const copy = await navigator.serviceWorker.getRegistration("/practice");
      const coming = new Promise((found) => copy.addEventListener("updatefound", () => found(copy.installing)));
      await copy.update();
      const worker = await coming;
      // It is installed, and waits.
      if (worker.state !== "installed") await new Promise((is) => worker.addEventListener("statechange", is, { once: true }));
      if (copy.waiting !== worker) throw new Error(`it is ${worker.state}`);
    });
    await key("I stop here", own).waitFor();
    assert.equal(await key("Take it now", own).count(), 0);
    await key("I stop here", own).click();
    await key("That is enough", own).click();
    await accessible(own);
    await reflows(own);
    await key("Leave it out", own).click();
    await key("Do another one", own).click();
    await own.evaluate(() => (window.isOld = true));
    await key("Take it now", own).click();
    await own.waitForFunction(() => window.isOld === undefined);
    await heading("What shall we do?", own).waitFor();
    assert.equal(await key("Take it now", own).count(), 0);
    const caches = await own.evaluate(() => caches.keys());
    assert.equal(caches.length, 1, caches.join());
    await context.close();
  } finally {
    front.close();
  }
});

test("a worker that has to go ends itself, with its copy of the page and nothing else", async () => {
  const { context, own } = await atHome("Yuki");
  await isCopied(own);
  await house.server.kill();
  await house.server.start("demo", "--no-offline-practice");
  await own.evaluate(() => navigator.serviceWorker.getRegistration("/practice").then((copy) => copy.update()));
  while ((await kept(own)).workers > 0);
  assert.deepEqual(await own.evaluate(() => caches.keys()), []);
  assert.equal((await kept(own)).sheets, 1, "what the person has stays");
  await own.reload();
  await heading("What shall we do?", own).waitFor();
  await context.close();
});
