// The safety loop on real screens: a class led by keyboard alone, with a safety pause, an urgent report, a lost
// person and a hand-over. Also the mouth check, and asking to come in.

import assert from "node:assert/strict";
import { after, before, test as nodeTest } from "node:test";
import { House, about, calm, close, endClass, everyone, glance, key, more, pressTab, setEntry, shows, tabTo, tile } from "./people.mjs";

/** A test that hangs must not hold up the others. */
const test = (name, act) => nodeTest(name, { timeout: 90_000 }, act);

let house, desk, helper, ann, ben;

before(async () => {
  house = await House.open("serve", "--emergency-number", "555", "--plan", new URL("./safety-plan.toml", import.meta.url).pathname);
  desk = await house.desk();
  helper = await house.helper();
});
after(() => house.close());

/** Waits until a desk can move the class. */
const leads = (desk) => desk.locator("nav .next:enabled").waitFor();

test("the desk is opened and named by keyboard", async () => {
  await tabTo(desk, "Your name at this desk");
  await desk.keyboard.type("Rosamund");
  await desk.keyboard.press("Enter");
  await desk.getByText("Rosamund, facilitator").waitFor();
  await pressTab(desk, "Let people in");
  ann = await house.person("Ann");
  ben = await house.person("Ben", { width: 1024, height: 768 });
  await tile(desk, "Ben").waitFor();
  await pressTab(desk, "Clear for swallows");
  // Both have checked in, and nothing speaks against beginning.
  await pressTab(desk, "Turn on for 2 people");
  await helper.getByText("Rosamund: turned swallow drills on").waitFor();
});

test("the class stands before the first swallow until the facilitator goes on", async () => {
  await desk.locator("body").click({ position: { x: 2, y: 2 } });
  await key(desk, "PageDown");
  await shows(ann, "Is your mouth empty?");
  await ann.getByRole("button", { name: "Yes, it is empty" }).click();
  await shows(ann, "Good. We begin in a moment.");
  await desk.getByRole("img", { name: "1 of 2 mouths are empty" }).waitFor();
  await ben.getByRole("button", { name: "Not yet" }).click();
  await shows(ben, "Empty your mouth first. Then tap yes.");
  await key(desk, " ");
  await shows(ann, "Swallow.");
  assert.ok(await ben.getByText("Empty your mouth first. Then tap yes.").isVisible(), "Ben sees no swallow before his mouth is empty");
  await ben.getByRole("button", { name: "Yes, it is empty" }).click();
});

test("one key pauses for safety", async () => {
  await key(desk, "Escape");
  for (const page of [ann, ben]) await shows(page, "Stop. Back to the middle. Rest.");
  await helper.getByText("Rosamund: paused for safety").waitFor();
  // A key that is pressed without looking must not end the pause.
  for (const press of [" ", "Escape", "PageDown"]) await key(desk, press);
  await shows(desk, /^Not done: /);
  assert.ok(await ann.getByText("Stop. Back to the middle. Rest.").isVisible());
  await pressTab(desk, "Resume the class");
  await glance(desk);
  await pressTab(desk, "Yes, resume");
  for (const page of [ann, ben]) await page.getByText("Stop. Back to the middle. Rest.").waitFor({ state: "detached" });
});

test("an urgent report says what to do at once and is seen and taken by key", async () => {
  await ann.getByRole("button", { name: "I need to stop" }).click();
  await ann.getByRole("button", { name: "It hurts or feels wrong" }).click();
  await ann.getByRole("button", { name: "I am choking" }).click();
  await shows(ann, "Stop. Sit down.");
  await shows(ann, "Call 555 now");
  await ann.getByText("Nobody has seen it yet.", { exact: false }).waitFor();
  await desk.getByText("Ann: choking").waitFor();
  await desk.waitForFunction(() => document.title.startsWith("(1) "));
  await helper.waitForFunction(() => document.title.startsWith("(1) "));
  await glance(desk);
  await key(desk, "s");
  await shows(ann, "Rosamund has seen it.");
  await glance(helper);
  await key(helper, "t");
  await shows(ann, "The helper is seeing to it.");
  await desk.waitForFunction(() => !document.title.startsWith("("));
  // Somebody is on the way. A page that comes back says so, and shows no alarm beside it.
  await ann.reload();
  await shows(ann, "The helper is seeing to it.");
  await ann.getByRole("button", { name: "I can go on now" }).click();
  await glance(desk);
  await key(desk, "d");
  await calm(desk);
});

test("the desk is told who was lost in a hold and how far into it, and they are found again", async () => {
  await key(desk, "PageDown");
  await shows(ben, "Hold it.");
  const home = ben.context();
  const url = ben.url();
  await ben.close();
  await desk.getByText(/Check the video call, then phone\.$/).waitFor({ timeout: 60_000 });
  await desk.getByText(/^Ben: screen lost/).first().waitFor();
  const ofBen = await about(desk, "Ben");
  await ofBen.getByText(/in Pucker, then wide smile, \d+ s into it/).waitFor();
  await close(desk);
  await glance(desk);
  await key(desk, "t");
  await desk.getByText("You have it.").waitFor();
  ben = await home.newPage();
  await ben.goto(url);
  await desk.getByText(/^Ben: screen lost/).waitFor({ state: "detached" });
});

test("a press that slides off a control counts, and one that slides onto it", async () => {
  const slide = async (name, from, to) => {
    const control = ben.getByRole("button", { name });
    const { x, y, width, height } = await control.boundingBox();
    // Press beside the control, in a corner where there is no other.
    const at = { inside: [x + width / 2, y + height / 2], beside: [3, 3] };
    await ben.mouse.move(...at[from]);
    await ben.mouse.down();
    await ben.mouse.move(...at[to], { steps: 4 });
    await ben.mouse.up();
  };
  await slide("I need to stop", "inside", "beside");
  await shows(ben, "You have stopped.");
  await slide("I pressed it by accident", "beside", "inside");
  await ben.getByRole("button", { name: "I need to stop" }).waitFor();
  await tile(desk, "Ben, stopped").waitFor({ state: "detached" });
});

test("a hidden page is not a lost person", async () => {
  await ann.evaluate(() => {
    Object.defineProperty(document, "visibilityState", { get: () => "hidden", configurable: true });
    document.dispatchEvent(new Event("visibilitychange"));
  });
  await (await everyone(desk)).getByRole("button").filter({ hasText: "Ann" }).filter({ hasText: "screen off" }).waitFor();
  await close(desk);
  await ann.evaluate(() => {
    delete document.visibilityState;
    document.dispatchEvent(new Event("visibilitychange"));
  });
});

test("the desk is handed over by keyboard, and both see who did it", async () => {
  await more(desk, "Hand the desk to helper");
  await pressTab(desk, "Yes, hand it over");
  await leads(helper);
  await helper.getByText("Rosamund: handed the desk over").waitFor();
  await desk.getByText("helper leads").waitFor();
  await helper.locator("body").click({ position: { x: 2, y: 2 } });
  await key(helper, "PageDown");
  await shows(ann, "Listen to your facilitator.");
});

test("a facilitator who is lost is told in plain words, and the helper takes the desk", async () => {
  await more(helper, "Hand the desk to Rosamund");
  await pressTab(helper, "Yes, hand it over");
  await leads(desk);
  await desk.context().close();
  await shows(ann, "Your facilitator lost the connection. Rest. The class waits.");
  await pressTab(helper, "Take the desk");
  await shows(ann, "Listen to your facilitator.");
});

test("a stranger asks to come in and is let in", async () => {
  await setEntry(helper, "only people you let in");
  await close(helper);
  const stranger = await house.stranger("Dot");
  await stranger.getByText("We have asked your facilitator to let you in.").waitFor();
  await helper.getByText("Dot asks to come in").waitFor();
  await pressTab(helper, "Let in");
  await stranger.waitForURL("**/class/**");
  assert.equal(stranger.errors.length, 0);
});

test("the check-in remembers where a person is, but never how they are", async () => {
  await setEntry(helper, "everybody with the code");
  await close(helper);
  const ida = await house.stranger("Ida");
  await ida.waitForURL("**/class/**");
  /** Answers the pages up to and with the one that asks `last`. */
  const answers = async (keys) => {
    for (const name of keys) {
      await glance(ida);
      await ida.getByRole("button", { name, exact: true }).click();
    }
  };
  await answers(["Not well", "Nothing new", "No, as usual", "Yes, feet on the floor", "Yes, it is empty", "Yes"]);
  await ida.getByLabel("Street and number").fill("12 Mill Lane");
  await answers(["Go on", "I would rather not say", "I am alone"]);
  await tile(helper, "Ida, not well").waitFor();
  await (await about(helper, "Ida")).getByText("12 Mill Lane").waitFor();
  await close(helper);
  const joinAs = async (name) => {
    await ida.goto(`${new URL(ida.url()).origin}/#c.${house.server.links.code}`);
    await ida.getByRole("button", { name: "No, someone else" }).click();
    await ida.getByLabel("Your first name").fill(name);
    await ida.getByRole("button", { name: "Join the class" }).click();
    await ida.waitForURL("**/class/**");
    await answers(["Well", "Nothing new", "Yes, feet on the floor", "Yes, it is empty", "Yes"]);
    await shows(ida, "Where are you today?");
    return ida.getByText("12 Mill Lane").count();
  };
  assert.equal(await joinAs("Otto"), 0, "another person on the same device sees no address");
  assert.equal(await joinAs("Ida"), 1, "hers is offered to her, and how she feels was asked anew");
  await answers(["Yes, I am there", "I would rather not say", "I am alone"]);
  await ida.close();
});

test("how hard it was is asked in a rest and shown as a spread", async () => {
  await more(helper, "Ask effort, 0 to 10");
  await ann.getByRole("button", { name: "7", exact: true }).click();
  await key(helper, "/");
  await helper.getByText("Effort: 1 answer").waitFor();
  await helper.getByRole("img", { name: "7: 1" }).waitFor();
});

test("after class there is who may need a follow-up, what was done, who came, and everything that happened", async () => {
  await endClass(helper);
  const needs = helper.getByRole("region", { name: "Who may need a follow-up" });
  const choking = needs.getByRole("listitem").filter({ hasText: "Ann: choking" });
  // Whom to call is a press away.
  await choking.getByRole("button", { name: "Ann: choking" }).click();
  assert.ok((await choking.getByRole("status").textContent()).length > 5);
  await choking.getByRole("button", { name: "Plan a follow-up" }).click();
  await choking.getByLabel("What needs doing").fill("Telephone about the choking");
  await choking.getByLabel("Who does it").fill("Otto");
  await choking.getByLabel("By").fill("2027-03-09");
  await choking.getByRole("button", { name: "Save" }).click();
  await choking.getByText("Otto, by Tue 9 March").waitFor();
  await needs.getByText("1 open").waitFor();
  // It is closed with a sentence.
  await choking.getByRole("button", { name: "Close it" }).click();
  await choking.getByRole("button", { name: "Save" }).click();
  assert.equal(await choking.getByLabel("What came of it").evaluate((field) => field.validity.valueMissing), true);
  await choking.getByLabel("What came of it").fill("Reached her; she ate too fast");
  await choking.getByRole("button", { name: "Save" }).click();
  await choking.getByText("✓ Done: Reached her; she ate too fast").waitFor();

  const came = helper.getByRole("region", { name: "Who came" });
  await came.getByRole("button", { name: /^Ann/ }).click();
  await came.getByLabel("Minutes").fill("45");
  await came.getByLabel("Why").fill("her tablet slept");
  await came.getByRole("button", { name: "Save" }).click();
  await came.getByText("put right by hand: her tablet slept", { exact: false }).waitFor();
  await came.getByRole("button", { name: /^Ann/ }).getByText("45").waitFor();

  await helper.getByRole("region", { name: "What was done" }).getByRole("row").nth(1).waitFor();
  await helper.getByText(/^Everything that happened, \d+ entries$/).click();
  const log = helper.getByRole("table").filter({ hasText: "reported discomfort" });
  for (const what of ["reported discomfort", "connection lost", "safety pause", "attendance put right"]) {
    await log.getByText(what).first().waitFor();
  }
});
