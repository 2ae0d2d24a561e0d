// Checks the class screen and the wall in their main states: targets are large enough and far enough apart, the cue
// is large enough, nothing scrolls or is cut off in a drill, and contrast is AAA (7:1) by axe-core.

import assert from "node:assert/strict";
import { after, before, test as nodeTest } from "node:test";
import { Album, DESK_SIZES, GAP, SIZES, TARGET, accessible, asks, inDrill, measured } from "./gallery.mjs";
import { CHECK_IN, House, drawn, endClass, goTo, key, sayName, shows, waits } from "./people.mjs";

const test = (name, act) => nodeTest(name, { timeout: 300_000 }, act);
const album = new Album("class");

let house, desk, ann, wall;

before(async () => {
  await album.open();
  house = await House.open("serve", "--plan", new URL("gallery-plan.toml", import.meta.url).pathname);
  desk = await house.desk(DESK_SIZES.desk);
  await desk.getByRole("button", { name: "Let people in" }).click();
});

after(async () => {
  await album.close();
  await house.close();
});

test("joining, checking in, waiting and choosing", async () => {
  ann = await house.stranger("Ann");
  await ann.getByText("Before we begin").waitFor();
  for (const [n, answer] of CHECK_IN.entries()) {
    await ann.getByText(`${n + 1} of ${CHECK_IN.length}`).waitFor();
    await album.take(ann, `check-in ${n + 1}`, SIZES, (size) => asks(ann, size));
    if ([0, 4, 5].includes(n)) await accessible(ann, `check-in ${n + 1}`);
    await ann.getByRole("button", { name: answer, exact: true }).click();
  }
  await waits(ann);
  await album.take(ann, "waiting", SIZES, (size) => asks(ann, size));
  await accessible(ann, "waiting");
  await ann.getByRole("button", { name: "My screen" }).click();
  await ann.getByRole("heading", { name: "My screen" }).waitFor();
  await album.take(ann, "my screen", SIZES);
  await accessible(ann, "my screen");
  await ann.getByRole("button", { name: "Back to class" }).click();
  const join = await ann.context().browser().newPage({ viewport: SIZES.phone });
  await join.goto(new URL("/", ann.url()).href);
  await album.take(join, "join", SIZES);
  await accessible(join, "join");
  await join.getByRole("button", { name: "Español" }).click();
  await shows(join, "Entre a su clase");
  assert.equal(await join.evaluate(() => document.documentElement.lang), "es");
  await album.take(join, "join in Spanish", { phone: SIZES.phone });
  await join.getByRole("button", { name: "English" }).click();
  await join.getByLabel("Class code").fill("ZZZZ-ZZZZ");
  await join.getByLabel("Your first name").fill("Ann");
  await join.getByRole("button", { name: "Join the class" }).click();
  await join.getByRole("alert").waitFor();
  await album.take(join, "wrong code", { phone: SIZES.phone, tablet: SIZES.tablet });
  await accessible(join, "wrong code");
  await join.close();
});

test("the class screen and the wall in a talk, ready, a hold, a rest, a pause", async () => {
  wall = await house.wall();
  await key(desk, "s");
  await sayName(desk, "Ines");
  await desk.getByRole("button", { name: "Begin the class" }).click();
  await shows(ann, "Welcome to all of you");
  await album.take(ann, "talk", SIZES, (size) => inDrill(ann, size));
  await key(desk, "PageDown");
  await shows(ann, "Get ready");
  await album.take(ann, "get ready", { phone: SIZES.phone });
  await shows(ann, "Strong ah.");
  await album.take(ann, "hold", SIZES, (size) => inDrill(ann, size));
  await accessible(ann, "hold");
  await album.take(wall, "wall, hold", { laptop: SIZES.laptop, TV: SIZES.TV }, (size) => inDrill(wall, size));
  await accessible(wall, "wall");
  await desk.getByRole("button", { name: "Pause", exact: true }).or(desk.getByRole("button", { name: /^Pause/ })).first().click();
  await shows(ann, "Pause. Rest and breathe.");
  await album.take(ann, "paused", SIZES, (size) => inDrill(ann, size));
  await goTo(desk, "Neck in five positions");
  await shows(ann, "Hold.");
  await album.take(ann, "hold with a side", SIZES, (size) => inDrill(ann, size));
});

test("right to left, wide letters, forced colours and a lost line break nothing", async () => {
  for (const size of ["phone", "tablet", "laptop"]) {
    await ann.setViewportSize(SIZES[size]);
    await ann.evaluate(() => (document.documentElement.dir = "rtl"));
    assert.deepEqual((await measured(ann, { target: TARGET, gap: GAP })).wrong, [], `right to left, ${size}`);
    await ann.evaluate(() => (document.documentElement.dir = "ltr"));
  }
  // Text spacing as in WCAG 1.4.12: lines 1.5, letters 0.12 and words 0.16 times the font size. The 2 between
  // paragraphs is left out, because cue and number are not paragraphs.
  await ann.setViewportSize(SIZES.tablet);
  const spacing = await ann.evaluateHandle(() => {
    const sheet = new CSSStyleSheet();
    sheet.replaceSync("#screen * { line-height: 1.5 !important; letter-spacing: 0.12em !important; word-spacing: 0.16em !important } #screen p:not(.cue, .seconds) { margin-bottom: 2em !important }");
    document.adoptedStyleSheets.push(sheet);
    return sheet;
  });
  await ann.setViewportSize({ ...SIZES.tablet, height: SIZES.tablet.height - 1 });
  assert.deepEqual((await measured(ann, { target: TARGET, gap: GAP })).wrong, [], "with wide letters");
  await ann.evaluate((sheet) => (document.adoptedStyleSheets = document.adoptedStyleSheets.filter((one) => one !== sheet)), spacing);
  // In landscape, a phone's page has less height than its screen, because the browser's bars take some.
  for (const viewport of [{ width: 844, height: 340 }, { width: 640, height: 310 }]) {
    await ann.setViewportSize(viewport);
    await inDrill(ann, `${viewport.width} x ${viewport.height}`, false);
  }
  await ann.emulateMedia({ forcedColors: "active" });
  await ann.setViewportSize(SIZES.tablet);
  await album.one(ann, "hold", "tablet", "forced colours");
  const seen = await ann.evaluate(() => ({
    fill: getComputedStyle(document.querySelector(".fill")).backgroundColor,
    trough: getComputedStyle(document.querySelector(".trough")).backgroundColor,
  }));
  assert.notEqual(seen.fill, seen.trough, "progress can be seen in forced colours");
  await ann.emulateMedia({ forcedColors: "none" });
  await house.proxy.cut();
  await ann.getByText("No connection.", { exact: false }).waitFor();
  await album.take(ann, "no connection", SIZES, (size) => inDrill(ann, size, false));
  await house.proxy.mend();
  await ann.getByText("No connection.", { exact: false }).waitFor({ state: "detached" });
});

test("stopping and saying what hurts", async () => {
  await ann.getByRole("button", { name: "I need to stop" }).click();
  await shows(ann, "You have stopped.");
  await album.take(ann, "stopped", SIZES);
  await accessible(ann, "stopped");
  await ann.getByRole("button", { name: "It hurts or feels wrong" }).click();
  await album.take(ann, "report", SIZES, async (size) => assert.deepEqual((await measured(ann, { target: TARGET, gap: GAP })).wrong, [], size));
  await accessible(ann, "report");
  // The report stands on top, and nothing scrolls away under it.
  await album.take(desk, "desk, report", DESK_SIZES, async (size) => {
    const seen = await desk.evaluate(() => {
      const report = document.querySelector("[role=alert][aria-label='Reports']").getBoundingClientRect();
      return { scrolls: document.documentElement.scrollHeight > innerHeight, onTop: report.top < 40 };
    });
    assert.deepEqual(seen, { scrolls: false, onTop: true }, size);
  });
  await accessible(desk, "desk", "AA");
  await desk.setViewportSize(DESK_SIZES.desk);
});

test("the word game, and a screen in Spanish in the same class", async () => {
  const ben = await house.person("Ben");
  await goTo(desk, "The toolbox");
  await desk.getByRole("button", { name: "First clue" }).click();
  await ben.getByText("It bangs the nail in, and now and then the thumb.").waitFor();
  await album.take(ben, "clue", SIZES);
  await accessible(ben, "clue");
  await goTo(desk, "Steady strong ah");
  await shows(ben, "Strong ah.");
  // The language was chosen on this device, and the page loads again in it.
  await ben.evaluate(() => {
    for (const place of ["samebreath.choices", "samebreath.choices.Ben"]) {
      const kept = JSON.parse(localStorage.getItem(place) ?? "{}");
      localStorage.setItem(place, JSON.stringify({ ...kept, language: "es" }));
    }
  });
  await ben.reload();
  await shows(ben, "«Aaa» fuerte. Siempre llena.");
  await ben.getByRole("button", { name: "Necesito parar" }).waitFor();
  await album.take(ben, "hold in Spanish", SIZES, (size) => inDrill(ben, size));
  await goTo(desk, "The toolbox");
  // The round goes on with the clue that was on the screens when it was left.
  await ben.getByText("Mete el clavo a golpes, y a veces da en el dedo.").waitFor();
  await desk.getByRole("button", { name: "Next hint" }).waitFor();
  await key(desk, "PageDown");
  await ben.getByText("Por un lado pega y por el otro arranca.").waitFor();
  await desk.getByText("(es: martillo)").waitFor();
  for (const hint of ["8 letras", "Empieza por M"]) {
    await key(desk, "PageDown");
    await ben.getByText(hint).waitFor();
  }
  await album.take(ben, "letters", SIZES);
  await desk.getByRole("button", { name: "Reveal" }).click();
  await ben.getByText("martillo").waitFor();
  await album.take(ben, "clue in Spanish", SIZES);
  await goTo(desk, "Steady strong ah");
  await shows(ben, "«Aaa» fuerte. Siempre llena.");
  // Words are fitted when the page has been drawn at its size, not when the size was asked for.
  const sizes = async (places) => {
    await drawn(ben);
    return ben.evaluate((places) => places.map((at) => parseFloat(getComputedStyle(document.querySelector(at)).fontSize)), places);
  };
  const heights = () => sizes([".unit", "nav .caution", "nav button.stop"]);
  const largestSizes = () => sizes([".cue", ".seconds"]);
  await ben.setViewportSize(SIZES.laptop);
  const usual = await heights();
  const usualLargest = await largestSizes();
  for (const text of ["larger", "largest"]) {
    await ben.setViewportSize(SIZES.laptop);
    await ben.evaluate((text) => (document.documentElement.dataset.text = text), text);
    const now = await heights();
    (await largestSizes()).forEach((px, at) => assert.ok(px >= usualLargest[at], `${text}: cue and number are no smaller: ${px} px after ${usualLargest[at]} px`));
    now.forEach((px, at) => assert.ok(px > usual[at] * 1.1, `${text}: ${px} px after ${usual[at]} px`));
    await album.take(ben, `hold, ${text} text`, { phone: SIZES.phone, tablet: SIZES.tablet }, (size) => inDrill(ben, size));
  }
  await ben.evaluate(() => (document.documentElement.dataset.text = "usual"));
  // Zoom of 200 % and 400 % on a laptop. At 400 % the page may scroll, but only downwards.
  await ben.setViewportSize({ width: 683, height: 384 });
  assert.deepEqual((await measured(ben, { target: TARGET, gap: GAP })).wrong, [], "at 200 %");
  await ben.setViewportSize({ width: 320, height: 256 });
  const sideways = await ben.evaluate(() => document.documentElement.scrollWidth);
  assert.ok(sideways <= 320, `${sideways} px wide at 320 px`);
  const stop = await ben.getByRole("button", { name: "Necesito parar" }).boundingBox();
  assert.ok(stop.y >= 0 && stop.y + stop.height <= 257, `at 400 % the way to stop is on the screen without scrolling: ${JSON.stringify(stop)}`);
  assert.deepEqual(ben.errors, []);
  await ben.context().close();
});

test("the end", async () => {
  await ann.getByRole("button", { name: "Go back" }).or(ann.getByRole("button", { name: "I can go on now" })).first().click().catch(() => undefined);
  await endClass(desk);
  await shows(wall, "Thank you for coming.");
  await album.take(wall, "wall, end", { TV: SIZES.TV });
});

test("a browser that cannot run the page is told so, and one that may not is told what to allow", async () => {
  const old = await house.browser.newPage({ viewport: SIZES.phone });
  await old.route("**/*.js", (route) => route.abort());
  await old.goto(new URL("/", ann.url()).href);
  await old.getByText("This browser is too old", { exact: false }).waitFor();
  await album.take(old, "unsupported browser", { phone: SIZES.phone });
  await old.close();
  // As when a person turns it off in the browser. Then only what the page tells a screen reader can be checked.
  const strict = await house.launch("--blink-settings=scriptEnabled=false");
  const page = await strict.newPage({ viewport: SIZES.phone });
  await page.goto(new URL("/", ann.url()).href);
  const session = await page.context().newCDPSession(page);
  const { nodes } = await session.send("Accessibility.getFullAXTree");
  const said = nodes.map(({ name }) => name?.value ?? "").join(" ");
  assert.match(said, /This page needs scripts/);
  assert.doesNotMatch(said, /too old/, "only one reason is shown at a time");
  await album.one(page, "no scripts allowed", "phone", "light");
  await strict.close();
});

test("nothing failed on the pages", () => {
  for (const page of [desk, ann, wall]) assert.deepEqual(page.errors, []);
});
