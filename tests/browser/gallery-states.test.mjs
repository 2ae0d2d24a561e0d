// States that people seldom meet and must understand at once: not open, not let in, asked about mouth and effort,
// resting, a message, an alarm, a class that waits, the end. The same rules are checked as in the gallery.

import assert from "node:assert/strict";
import { after, before, test as nodeTest } from "node:test";
import { Album, DESK_SIZES, SIZES, accessible, asks, inDrill } from "./gallery.mjs";
import { House, about, close, endClass, glance, goTo, key, more, sayName, setEntry, shows, tile } from "./people.mjs";

const test = (name, act) => nodeTest(name, { timeout: 300_000 }, act);
const album = new Album("states");
const FEW = { phone: SIZES.phone, "phone, lying": SIZES["phone, lying"], tablet: SIZES.tablet, laptop: SIZES.laptop };

let house, desk, ann, ben, wall;

before(async () => {
  await album.open();
  house = await House.open("serve", "--emergency-number", "555", "--plan", new URL("states-plan.toml", import.meta.url).pathname);
  desk = await house.desk(DESK_SIZES.desk);
  await sayName(desk, "Ines");
});

after(async () => {
  await album.close();
  await house.close();
});

/** The rules of a screen that asks or says something without a drill behind it. */
const plain = (page) => (size) => asks(page, size);

test("a class that is not open yet, and one that nobody enters", async () => {
  const early = await house.stranger("Early");
  await early.getByText("The class is not open yet.").waitFor();
  await album.take(early, "not open yet", FEW);
  await accessible(early, "not open yet");
  await desk.getByRole("button", { name: "Let people in" }).click();
  await early.waitForURL("**/class/**");
  await early.context().close();
  await setEntry(desk, "only with a personal link");
  const late = await house.stranger("Late");
  await late.getByRole("alert").waitFor();
  await album.take(late, "entry closed", FEW);
  await accessible(late, "entry closed");
  await late.context().close();
});

test("asked to be let in, let in, turned away and removed", async () => {
  await setEntry(desk, "only people you let in");
  const asking = await house.stranger("Dot");
  await asking.getByText("We have asked your facilitator to let you in.").waitFor();
  await album.take(asking, "asked to be let in", FEW);
  await accessible(asking, "asked to be let in");
  await desk.getByText("Dot asks to come in").waitFor();
  await album.take(desk, "desk, somebody asks", DESK_SIZES);
  await desk.setViewportSize(DESK_SIZES.desk);
  await desk.getByRole("button", { name: "Do not let in" }).click();
  await asking.getByText("You were not let into this class.", { exact: false }).waitFor();
  await album.take(asking, "not let in", FEW);
  await accessible(asking, "not let in");
  await asking.context().close();
  await setEntry(desk, "everybody with the code");
  await close(desk);
  const guest = await house.person("Guest");
  await about(desk, "Guest");
  await desk.getByRole("button", { name: "Remove …" }).click();
  await desk.getByLabel("Why?").fill("came twice");
  await desk.getByRole("button", { name: "Remove", exact: true }).click();
  await guest.getByText("Your place in this class was closed.", { exact: false }).waitFor();
  await album.take(guest, "place closed", FEW);
  await accessible(guest, "place closed");
  await guest.context().close();
});

test("saying how far one got, and seeing that it was taken", async () => {
  ann = await house.person("Ann");
  ben = await house.person("Ben");
  wall = await house.wall();
  await desk.getByRole("button", { name: "Begin the class" }).click();
  await shows(wall, "Welcome to all of you");
  await album.take(wall, "wall, talk", { laptop: SIZES.laptop, TV: SIZES.TV }, (size) => inDrill(wall, size, false));
  await album.take(desk, "desk, talk", DESK_SIZES);
  await accessible(desk, "desk, talk", "AA");
  await desk.setViewportSize(DESK_SIZES.desk);
  await key(desk, "PageDown");
  const done = ann.getByRole("button", { name: "Done", exact: true });
  await ann.waitForFunction(() => [...document.querySelectorAll("nav button")].some((b) => b.textContent.trim() === "Done" && !b.disabled));
  await album.take(ann, "rest, done is asked", FEW, (size) => inDrill(ann, size, false));
  await done.click();
  await shows(ann, "How far did you get?");
  await album.take(ann, "how far", SIZES, (size) => inDrill(ann, size, false));
  await accessible(ann, "how far");
  await ann.getByRole("button", { name: "Under 3 s", exact: true }).waitFor();
  await ann.getByRole("button", { name: "5 s", exact: true }).click();
  await ann.getByText("Done. Well done.", { exact: false }).waitFor();
  await album.take(ann, "done taken", FEW, (size) => inDrill(ann, size, false));
  await accessible(ann, "done taken");
});

test("how hard it was", async () => {
  await more(desk, "Ask effort, 0 to 10");
  await ann.getByText("How hard was that?").waitFor();
  await album.take(ann, "effort", SIZES, plain(ann));
  await accessible(ann, "effort");
  await accessible(desk, "desk, nobody answered yet", "AA");
  await ann.getByRole("button", { name: "4", exact: true }).click();
});

test("people are asked about their mouth before a swallow; those who are not cleared rest", async () => {
  await about(desk, "Ann");
  await desk.getByRole("button", { name: "Clearances …" }).click();
  await desk.getByRole("button", { name: "Swallow drills on", exact: true }).click();
  await close(desk);
  await goTo(desk, "Tongue-hold swallow");
  await ann.getByRole("button", { name: "Yes, it is empty" }).waitFor();
  await album.take(ann, "mouth", SIZES, plain(ann));
  await accessible(ann, "mouth");
  await shows(ben, "Rest for this one. Breathe easily.");
  await album.take(ben, "own rest", SIZES, (size) => inDrill(ben, size, false));
  await accessible(ben, "own rest");
  await ann.getByRole("button", { name: "Yes, it is empty" }).click();
  await shows(ann, "Good. We begin in a moment.");
  await album.take(ann, "before the first swallow", FEW, (size) => inDrill(ann, size, false));
});

test("eyes away: people are led by sound, and a page that was loaded again needs one tap to play it", async () => {
  await goTo(desk, "Neck in five positions");
  await desk.getByRole("button", { name: "Pause", exact: true }).click();
  const offer = ann.getByRole("button", { name: "Sound on" });
  await offer.waitFor();
  await album.take(ann, "sound offered", FEW, (size) => inDrill(ann, size, false));
  await accessible(ann, "sound offered");
  await offer.click();
  await ann.getByText("Look away if you like. The tones guide you.").waitFor();
  await offer.waitFor({ state: "detached" });
  await ann.reload();
  const note = ann.getByText("Tap once, anywhere, to hear the tones.");
  await note.waitFor();
  await shows(ann, "Pause. Rest and breathe.");
  await album.take(ann, "one tap for the tones", FEW, (size) => inDrill(ann, size, false));
  await accessible(ann, "one tap for the tones");
  await ann.getByRole("heading", { name: "Neck in five positions" }).click();
  await note.waitFor({ state: "detached" });
  await desk.getByRole("button", { name: "Go on", exact: true }).click();
});

test("asked to rest, and a message", async () => {
  await shows(ben, "Hold.");
  await about(desk, "Ben");
  await desk.getByRole("button", { name: "Ask to rest" }).click();
  await shows(ben, "Your facilitator asks you to rest. Breathe easily.");
  await album.take(ben, "asked to rest", FEW, (size) => inDrill(ben, size, false));
  await desk.getByRole("button", { name: "Message …" }).click();
  await desk.getByLabel("Message", { exact: true }).fill("Well done today, Ben. Please drink some water, if your plan allows it.");
  await desk.getByRole("button", { name: "Send", exact: true }).click();
  await ben.getByText("From your facilitator", { exact: false }).waitFor();
  await album.take(ben, "message", SIZES, (size) => inDrill(ben, size, false));
  await accessible(ben, "message");
  await album.take(desk, "desk, one person", DESK_SIZES);
  await accessible(desk, "desk, one person", "AA");
  await desk.setViewportSize(DESK_SIZES.desk);
  await ben.getByRole("button", { name: "I have read it" }).click();
});

test("a report on its way to being seen, and an alarm", async () => {
  await ann.getByRole("button", { name: "I need to stop" }).click();
  await ann.getByRole("button", { name: "It hurts or feels wrong" }).click();
  await ann.getByRole("button", { name: "None of these" }).click();
  await album.take(ann, "report, where", FEW, plain(ann));
  await accessible(ann, "report, where");
  await ann.getByRole("button", { name: "Neck", exact: true }).click();
  await album.take(ann, "report, how strong", FEW, plain(ann));
  await accessible(ann, "report, how strong");
  await ann.getByRole("button", { name: "Severe", exact: true }).click();
  await ann.getByText("Nobody has seen it yet.", { exact: false }).first().waitFor();
  await album.take(ann, "report, the class has it", FEW, plain(ann));
  await accessible(ann, "report, the class has it");
  await ben.getByRole("button", { name: "I need to stop" }).click();
  await ben.getByRole("button", { name: "It hurts or feels wrong" }).click();
  await ben.getByRole("button", { name: "Pain in my chest" }).click();
  await shows(ben, "Call 555 now");
  await album.take(ben, "alarm", SIZES, plain(ben));
  await accessible(ben, "alarm");
  await desk.getByText("Ben: chest pain").waitFor();
  await album.take(desk, "desk, alarm", DESK_SIZES, async (size) => {
    const seen = await desk.evaluate(() => {
      scrollTo(0, document.documentElement.scrollHeight);
      const { top, bottom } = document.querySelector(".bar.urgent").getBoundingClientRect();
      scrollTo(0, 0);
      return top >= 0 && bottom <= innerHeight;
    });
    assert.ok(seen, `${size}: the alarm is in sight wherever the page is scrolled`);
  });
  await accessible(desk, "desk, alarm", "AA");
  await desk.setViewportSize(DESK_SIZES.desk);
  await desk.emulateMedia({ forcedColors: "active" });
  await album.one(desk, "desk, alarm", "desk", "forced colours");
  await desk.emulateMedia({ forcedColors: "none" });
  await desk.setViewportSize(DESK_SIZES.desk);
  await glance(desk);
  await key(desk, "s");
  await shows(ben, "Ines has seen it.");
  await album.take(ben, "alarm, seen", FEW, plain(ben));
});

test("the word game on the wall and at the desk", async () => {
  await goTo(desk, "The toolbox");
  await desk.getByRole("button", { name: "First clue" }).click();
  await shows(wall, "It bangs the nail in, and now and then the thumb.");
  await desk.getByRole("img", { name: /^0 of \d+ have it/ }).waitFor();
  await album.take(wall, "wall, clue", { laptop: SIZES.laptop, TV: SIZES.TV }, (size) => inDrill(wall, size, false));
  await accessible(wall, "wall, clue");
  await album.take(desk, "desk, word game", DESK_SIZES);
  await accessible(desk, "desk, word game", "AA");
});

test("the class waits when the facilitator is lost, and ends for everyone", async () => {
  const helper = await house.helper();
  await ben.getByRole("button", { name: "I am better" }).click();
  await ben.getByRole("button", { name: "I can go on now" }).click();
  await ben.getByRole("button", { name: "I’ve got it" }).waitFor();
  await desk.context().close();
  await shows(wall, "Your facilitator lost the connection. Rest. The class waits.");
  await album.take(wall, "wall, the class waits", { laptop: SIZES.laptop, TV: SIZES.TV }, (size) => inDrill(wall, size, false));
  await shows(ben, "Your facilitator lost the connection. Rest. The class waits.");
  assert.equal(await ben.getByRole("button", { name: "I’ve got it" }).count(), 0, "nobody can answer while the class waits");
  await album.take(ben, "the class waits", SIZES, (size) => inDrill(ben, size, false));
  await accessible(ben, "the class waits");
  await helper.getByRole("button", { name: "Take the desk" }).click();
  await endClass(helper);
  await ben.getByText("Thank you, Ben.").waitFor();
  // What is taken home is named, but for the swallow: nobody decided that he may do it at home.
  assert.deepEqual(await ben.locator(".home li").allTextContents(), ["Steady strong ah", "Oo and ee"]);
  await album.take(ben, "the end", SIZES);
  await accessible(ben, "the end");
  await helper.getByRole("region", { name: "Who may need a follow-up" }).waitFor();
  await album.take(helper, "desk, the end", DESK_SIZES);
  await accessible(helper, "desk, the end", "AA");
  for (const page of [ann, ben, wall, helper]) assert.deepEqual(page.errors, []);
});
