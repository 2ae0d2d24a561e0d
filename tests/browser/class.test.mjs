// A class in real browsers behind a bad network: every screen shows what the facilitator does.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { House, close, drawn, glance, goTo, key, more, seconds, shows, tile, timer } from "./people.mjs";

let house, desk, ann, ben;

before(async () => {
  house = await House.open();
  desk = await house.desk();
  await desk.getByRole("button", { name: "Let people in" }).click();
  ann = await house.person("Ann");
  ben = await house.person("Ben", { width: 1024, height: 768 });
  await shows(desk, "Ben");
});
after(() => house.close());

test("next moves every screen to the same step", async () => {
  await key(desk, "PageDown");
  for (const page of [ann, ben]) await shows(page, "Listen to your facilitator.");
  await key(desk, "PageDown");
  for (const page of [ann, ben]) await shows(page, "Tell your facilitator how you are.");
});

test("a hold shows the cue, one number and the same number everywhere", async () => {
  await goTo(desk, "Long steady hiss");
  for (const page of [ann, ben]) await shows(page, "Get ready");
  for (const page of [ann, ben]) await shows(page, "Sss.");
  const changes = await Promise.all(
    [ann, ben].map((page) =>
      page.evaluate(
        () =>
          new Promise((resolve) => {
            const seen = [];
            const timer = document.querySelector('[role="timer"]');
            const observer = new MutationObserver(() => {
              seen.push([timer.textContent, performance.timeOrigin + performance.now()]);
              if (seen.length === 5) {
                observer.disconnect();
                resolve(seen);
              }
            });
            observer.observe(timer, { characterData: true, childList: true, subtree: true });
          }),
      ),
    ),
  );
  const [one, two] = changes.map((seen) => new Map(seen));
  const both = [...one.keys()].filter((number) => two.has(number));
  assert.ok(both.length >= 3, "both screens count through the same numbers");
  for (const seen of changes) {
    const numbers = seen.map(([number]) => Number(number));
    assert.deepEqual(numbers, numbers.map((_, i) => numbers[0] + i), "each second of an open hold is shown once, counting up");
  }
  const apart = both.map((number) => Math.abs(one.get(number) - two.get(number)));
  console.log(`# the two screens changed ${Math.max(...apart).toFixed(1)} ms apart at most (40-100 ms each way)`);
});

test("pause stops the countdown, and go on continues it", async () => {
  await key(desk, " ");
  for (const page of [ann, ben]) await shows(page, "Pause. Rest and breathe.");
  // Nothing is counted now; how far it came is on the band.
  const filled = (page) => page.evaluate(() => new DOMMatrix(getComputedStyle(document.querySelector(".fill")).transform).a.toFixed(3));
  for (const page of [ann, ben]) assert.equal(await timer(page).count(), 0);
  const stands = await filled(ann);
  assert.ok(stands > 0 && stands < 1, stands);
  assert.equal(await filled(ben), stands, "both screens stop at the same place");
  await desk.getByRole("button", { name: "Go on" }).waitFor();
  assert.equal(await filled(ann), stands);
  await key(desk, " ");
  await ann.getByText("Pause. Rest and breathe.").waitFor({ state: "detached" });
});

test("the desk gives more time, repeats a step, cuts it short and goes back", async () => {
  await goTo(desk, "A sip, if your plan allows it");
  await shows(ann, "A sip, if your plan allows it");
  await timer(ann).waitFor();
  await key(desk, "m");
  await ann.waitForFunction(() => Number(document.querySelector('[role="timer"]').textContent) > 45);
  await key(desk, "c");
  await shows(ann, "Well done. Rest and breathe.");
  await more(desk, "Redo this step");
  await ann.waitForFunction(() => Number(document.querySelector('[role="timer"]')?.textContent) > 40);
  await key(desk, "PageUp");
  for (const page of [ann, ben]) await shows(page, "High ee");
});

test("a latecomer joins at the next boundary, and a reload keeps the seat", async () => {
  await goTo(desk, "Steady strong ah");
  await shows(ann, "Strong ah.");
  const cy = await house.person("Cy");
  await shows(cy, "You join at the next change.");
  await cy.getByText("You join at the next change.").waitFor({ state: "detached", timeout: 60_000 });
  await shows(cy, "Breathe easy.");
  await cy.reload();
  await timer(cy).waitFor();
  assert.match(new URL(cy.url()).pathname, /^\/class\/[0-9a-f]{32}\.3$/);
  assert.equal(await tile(desk, "Cy").count(), 1);
});

test("done, stop and a report reach the desk, and the answer comes back", async () => {
  // The Done key comes up once the last repetition is over.
  await key(desk, "o");
  await desk.getByLabel("Repetitions").fill("1");
  await desk.getByRole("button", { name: "Use this dose" }).click();
  await close(desk);
  await ann.getByRole("button", { name: "Done" }).click();
  await tile(desk, "Ann, done").waitFor();
  await ben.getByRole("button", { name: "I need to stop" }).click();
  await tile(desk, "Ben, stopped").waitFor();
  await ben.getByRole("button", { name: "It hurts or feels wrong" }).click();
  await ben.getByRole("button", { name: "None of these" }).click();
  await ben.getByRole("button", { name: "Neck" }).click();
  await ben.getByRole("button", { name: "Moderate" }).click();
  await desk.getByText("Ben: Neck, moderate").waitFor();
  await shows(ben, "It is sent.");
  await glance(desk);
  await desk.getByRole("button", { name: "Seen" }).click();
  await shows(ben, "Your facilitator has seen it.");
  await ben.getByRole("button", { name: "I can go on now" }).click();
});

test("clue words are in no frame before their time", async () => {
  await goTo(desk, "Word game");
  await shows(ann, "The first clue comes in a moment.");
  const heard = () => [...ann.frames_heard, ...ben.frames_heard].join("\n");
  assert.ok(!heard().includes("one wheel"));
  // The desk may learn where the class is a moment later than Ann does.
  await desk.getByRole("button", { name: "First clue" }).waitFor();
  await key(desk, "PageDown");
  for (const page of [ann, ben]) await shows(page, /It has one wheel/);
  await key(desk, "PageDown");
  for (const page of [ann, ben]) await shows(page, /You push it/);
  await key(desk, "PageDown");
  for (const page of [ann, ben]) await shows(page, "11 letters");
  assert.ok(!heard().includes("wheelbarrow"), "a hint's choice of two has not given it away either");
  await ann.getByRole("button", { name: "I’ve got it" }).click();
  await desk.getByRole("img", { name: "1 of 3 have it" }).waitFor();
  // Ben writes another word first, then the right one with a typing slip.
  for (const [word, answer] of [
    ["rake", "Not that word. Try again, or wait."],
    ["wheelbarow", /Yes, that is it/],
  ]) {
    await ben.getByLabel("Write the word").fill(word);
    await ben.getByLabel("Write the word").press("Enter");
    await shows(ben, answer);
  }
  await desk.getByRole("img", { name: "2 of 3 have it" }).waitFor();
  await key(desk, "v");
  for (const page of [ann, ben]) await shows(page, /wheelbarrow/);
  assert.ok(!heard().includes("onion"));
});

test("a browser without a wake lock is kept awake by a picture that moves, and the person is told", async () => {
  const other = await House.open();
  const lead = await other.desk();
  await lead.getByRole("button", { name: "Let people in" }).click();
  const dee = await other.person("Dee", undefined, (page) =>
    page.addInitScript(() => Object.defineProperty(Navigator.prototype, "wakeLock", { value: undefined })),
  );
  await shows(dee, "This screen may turn itself off. Set it to stay on.");
  await dee.waitForFunction(() => {
    const video = document.querySelector("video");
    return video && !video.paused && video.muted && video.currentTime > 1;
  });
  assert.deepEqual(dee.errors, []);
  await other.close();
});

test("over a whole class with an alert up and a message, nothing moves on the desk at half a screen, nor the stop key of a phone", async () => {
  const other = await House.open();
  const lead = await other.desk({ width: 720, height: 900 });
  await lead.getByRole("button", { name: "Let people in" }).click();
  const [pat, quin] = [await other.person("Pat"), await other.person("Quin")];
  const places = (page, selectors) =>
    page.evaluate(
      (selectors) =>
        selectors.map((at) => {
          const { x, y, width, height } = document.querySelector(at).getBoundingClientRect();
          return `${at} ${[x, y, width, height].map(Math.round).join(" ")}`;
        }),
      selectors,
    );
  const DESK = [".top", ".stage", ".notes", ".people", "nav .next", "nav .pause", "nav .safety", "nav .second > :nth-child(3)"];
  const found = { desk: new Set(), stop: new Set() };
  const look = async () => {
    await drawn(lead);
    found.desk.add((await places(lead, DESK)).join("\n"));
    found.stop.add((await places(quin, ["nav button.stop"])).join());
    const cut = await lead.evaluate(() => document.documentElement.scrollHeight > innerHeight || document.documentElement.scrollWidth > innerWidth);
    assert.ok(!cut, "the desk does not scroll");
  };
  await look();
  await key(lead, "PageDown");
  await lead.getByRole("button", { name: "Next step" }).waitFor();
  await look();
  await pat.getByRole("button", { name: "I need to stop" }).click();
  await pat.getByRole("button", { name: "It hurts or feels wrong" }).click();
  await pat.getByRole("button", { name: "Pain in my chest" }).click();
  await lead.getByText("Pat: chest pain").waitFor();
  await look();
  await key(lead, "a");
  await lead.getByRole("textbox", { name: "Message to everyone" }).fill("A little slower from here.");
  await lead.getByRole("button", { name: "Send", exact: true }).click();
  await quin.getByText("A little slower from here.").waitFor();
  await look();
  // Each press goes on; in the word game through the first clue, its hints and its answer.
  const next = () => lead.evaluate(() => document.querySelector("nav .next").textContent);
  let steps = 1;
  for (let presses = 0; presses < 60; presses++) {
    const before = await next();
    if (/^End the class/.test(before)) break;
    const isRound = /clue|hint|answer/.test(before);
    if (isRound && /^Next clue/.test(before)) await goTo(lead, "Two things for home");
    else await key(lead, "PageDown");
    await lead.waitForFunction((before) => document.querySelector("nav .next").textContent !== before, before);
    if (/^(Next step|End the class|Begin the drill)/.test(await next())) steps += 1;
    await look();
  }
  assert.ok(steps >= 15, `${steps} steps`);
  assert.match(await next(), /^End the class/);
  assert.equal(found.desk.size, 1, [...found.desk].join("\n\n"));
  assert.equal(found.stop.size, 1, [...found.stop].join("\n"));
  await glance(lead);
  await key(lead, "t");
  await lead.getByText("You have it.").waitFor();
  await look();
  assert.equal(found.desk.size, 1, "after it was taken");
  assert.deepEqual([...lead.errors, ...pat.errors, ...quin.errors], []);
  await other.close();
});

test("the page's policy was never broken and nothing failed", () => {
  for (const page of [desk, ann, ben]) assert.deepEqual(page.errors, []);
});
