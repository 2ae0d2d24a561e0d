// How staff come in: the first account, signing in and out, colleagues and what is theirs, a recovery code, a second
// factor, and a desk that shuts when its account is signed out.

import assert from "node:assert/strict";
import { createHmac } from "node:crypto";
import axe from "axe-core";
import { after, before, test as nodeTest } from "node:test";
import { Album, DESK_SIZES, reflows } from "./gallery.mjs";
import { House } from "./people.mjs";
import { COLLEAGUES_PASSWORD, INES, colleague } from "../staff.mjs";

const test = (name, act) => nodeTest(name, { timeout: 90_000 }, act);
const album = new Album("staff");
let house, page, codes;

before(async () => {
  await album.open();
  house = await House.open("serve");
});
after(async () => {
  await album.close();
  await house.close();
});

const bar = (of = page) => of.getByRole("navigation", { name: "Pages" });
const key = (name, of = page) => of.getByRole("button", { name, exact: true });
const plans = (of = page) => of.getByRole("heading", { name: "Plans" });

/** Looks at a page as a screen reader and at every width. */
async function look(of, where) {
  await of.evaluate(axe.source);
  const { violations } = await of.evaluate(() => window.axe.run({ runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"] }));
  assert.deepEqual(violations.map((v) => `${v.id}: ${v.nodes.map((n) => n.target).join(", ")}`), [], where);
  await reflows(of, where);
  await album.take(of, where, DESK_SIZES);
  await of.setViewportSize(DESK_SIZES.desk);
}

async function signIn(of, name, password) {
  await of.getByLabel("Sign-in name").fill(name);
  await of.getByLabel("Password", { exact: true }).fill(password);
  await key("Sign in", of).click();
}

/** The code that an app shows for a secret in base 32 (RFC 6238), `later` steps from now. */
function totp(secret, later = 0) {
  const bits = [...secret].map((c) => "ABCDEFGHIJKLMNOPQRSTUVWXYZ234567".indexOf(c).toString(2).padStart(5, "0")).join("");
  const bytes = Buffer.from(bits.match(/.{8}/g).map((byte) => parseInt(byte, 2)));
  const step = Buffer.alloc(8);
  step.writeBigUInt64BE(BigInt(Math.floor(Date.now() / 30_000) + later));
  const mac = createHmac("sha1", bytes).update(step).digest();
  const at = mac.at(-1) & 15;
  return String((mac.readUInt32BE(at) & 0x7fffffff) % 1_000_000).padStart(6, "0");
}

test("the host's link makes the first account, and shows its recovery codes once", async () => {
  page = await house.linked(house.server.links.staff.first);
  await page.getByText("You make the first account.", { exact: false }).waitFor();
  assert.ok(!page.url().includes("#"), "the address bar does not keep the token");
  await look(page, "the first account");
  await page.getByLabel("Your name, as colleagues call you").fill(INES.name);
  await page.getByLabel("Sign-in name").fill(INES.sign_in);
  await page.getByLabel("New password").fill("too short");
  await key("Make the account").click();
  await page.getByText("This password has 9 characters; choose one with at least 15", { exact: false }).waitFor();
  await page.getByLabel("New password").fill(INES.password);
  await page.getByLabel("I am a licensed clinician").check();
  await page.getByLabel("Title").fill(INES.clinician.title);
  await page.getByLabel("Licence or registration").fill(INES.clinician.licence);
  await key("Make the account").click();
  const shown = page.getByRole("region", { name: "Your recovery codes" }).getByRole("listitem");
  await shown.first().waitFor();
  codes = await shown.allTextContents();
  assert.equal(codes.length, 10);
  await look(page, "recovery codes");
  await key("I have saved them").click();
  await plans().waitFor();
  const again = await house.linked(house.server.links.staff.first);
  await again.getByText("This link has been used, or it is too old.", { exact: false }).waitFor();
  await again.context().close();
});

test("whoever signs out is asked to sign in, and comes back to where they were", async () => {
  await key("A new group").click();
  await page.getByLabel("Name of the group").fill("Lantern Quay");
  await page.getByLabel("Name of the group").press("Enter");
  await page.getByText("Saved", { exact: true }).waitFor();
  const there = page.url();
  await page.context().clearCookies();
  await page.getByLabel("Minutes", { exact: true }).fill("50");
  await page.getByLabel("Minutes", { exact: true }).press("Enter");
  await page.getByText("What you have not saved is kept in this browser.", { exact: false }).waitFor();
  await key("Sign in").click();
  await look(page, "sign in");
  await signIn(page, " INÉS", "not it at all, really");
  await page.getByText("The name, the password or the code is not right", { exact: false }).waitFor();
  await signIn(page, " INÉS", INES.password);
  await page.getByLabel("Minutes", { exact: true }).waitFor();
  assert.equal(page.url(), there);
  assert.equal(await page.getByLabel("Minutes", { exact: true }).inputValue(), "50", "nothing was lost");
  await page.getByText("Saved", { exact: true }).waitFor();
});

test("a colleague is invited, chooses a password, and finds only what is theirs", async () => {
  await bar().getByRole("button", { name: "Staff" }).click();
  await key("Invite a colleague").click();
  await page.getByLabel("Name", { exact: true }).fill("Odile");
  await page.getByLabel("Sign-in name").fill("odile");
  await key("Make a link").click();
  const shown = page.getByRole("status").filter({ hasText: "Give this link to Odile" });
  const link = await shown.getByText("/sign-in#a.", { exact: false }).textContent();
  await look(page, "staff");
  const odile = await house.linked(link);
  await odile.getByText("You will sign in as odile.").waitFor();
  await odile.getByLabel("New password").fill(COLLEAGUES_PASSWORD);
  await key("Choose this password", odile).click();
  await key("I have saved them", odile).click();
  await plans(odile).waitFor();
  await key("Lantern Quay 0 people", odile).waitFor();
  assert.equal(await bar(odile).getByRole("button", { name: "Staff" }).count(), 0, "accounts are a coordinator's");
  // Whoever is no clinician reads precautions as well as anybody, and changes none.
  const answer = await page.request.post(new URL("/api/planner/people", page.url()).href, { data: { name: "Ada", conditions: ["neck"], decisions: [] } });
  assert.ok(answer.ok());
  await odile.reload();
  await key("Ada", odile).click();
  const ada = odile.getByRole("region", { name: "Ada" });
  await ada.getByText("neck", { exact: true }).waitFor();
  await ada.getByText("Only clinicians’ accounts set precautions and decide.").waitFor();
  assert.equal(await ada.getByRole("checkbox").count(), 0);
  await look(odile, "precautions for a facilitator");
  // The group is entrusted to Ines alone.
  await bar().getByRole("button", { name: "Today" }).click();
  await key("Lantern Quay 0 people").click();
  await page.getByRole("region", { name: "Entrusted to" }).getByLabel("Ines").check();
  await page.getByText("Saved", { exact: true }).waitFor();
  await key("← All plans", odile).click();
  await odile.reload();
  await plans(odile).waitFor();
  await odile.getByText("No groups yet", { exact: false }).waitFor();
  assert.deepEqual(odile.errors, []);
  await odile.context().close();
});

test("a coordinator chooses how long records are kept, and is reminded until then", async () => {
  await key("← All plans").click();
  await page.getByRole("button", { name: /^Choose: Choose how long records are kept/ }).click();
  await page.getByText("Nobody has chosen yet how long records are kept.", { exact: false }).waitFor();
  const years = page.getByLabel("Years for which a person’s record is kept", { exact: false });
  assert.equal(await years.inputValue(), "", "there is no usual time: the law of the place decides");
  await years.fill("6");
  await key("Save").click();
  await page.getByText("Saved.", { exact: true }).waitFor();
  await page.getByRole("heading", { name: "Whose record goes" }).waitFor();
  await look(page, "what is kept");
  await page.reload();
  await page.getByText("it is often six years", { exact: false }).waitFor();
  assert.equal(await years.inputValue(), "6");
  await bar().getByRole("button", { name: "Today" }).click();
  await page.getByRole("heading", { name: "Left to do" }).waitFor();
  await page.waitForFunction(() => !document.body.innerText.includes("Choose how long records are kept"));
});

test("a desk shuts when its account is signed out elsewhere", async () => {
  await key("An empty plan").click();
  await page.getByRole("searchbox").fill("nod down");
  await page.getByRole("searchbox").press("Enter");
  await page.getByText("Saved", { exact: true }).waitFor();
  await page.getByRole("group", { name: "This plan" }).getByRole("button", { name: "Make the class" }).click();
  await page.getByRole("status").filter({ hasText: "The class is ready" }).waitFor();
  // A helper sees which classes there are, and helps in them.
  const { name, value } = (await page.context().cookies()).find(({ name }) => name.endsWith("staff"));
  const anselm = await house.staffPage(await colleague(house.server, { name, value }, { name: "Anselm", sign_in: "anselm", role: "helper", clinician: null }));
  await anselm.getByRole("heading", { level: 1 }).waitFor();
  assert.equal(await plans(anselm).count(), 0, "a helper plans nothing");
  await look(anselm, "a helper's first page");
  await anselm.getByRole("region", { name: "Classes that have not ended" }).getByRole("button", { name: /^Open the desk/ }).first().click();
  await anselm.waitForURL("**/desk/**");
  await anselm.getByRole("region", { name: "People" }).waitFor();
  assert.deepEqual(anselm.errors, []);
  await anselm.context().close();
  const other = await house.linked("/planner");
  await signIn(other, "ines", INES.password);
  await other.getByRole("region", { name: "Classes that have not ended" }).getByRole("button", { name: /^Open the desk/ }).first().click();
  await other.waitForURL("**/desk/**");
  await other.getByText("Let people in").first().waitFor();
  await page.goto(page.url().split("#")[0]);
  await bar().getByRole("button", { name: /^Your account/ }).click();
  await look(page, "one's own account");
  await key("Sign out everywhere else").click();
  await other.waitForURL((url) => !url.pathname.includes("/desk/"));
  await other.context().close();
});

test("a passkey is made, signs in without a code, and proves again; at a number instead of a name it says why not", async () => {
  // An authenticator of Chromium's own, which verifies its user (WebDriver extension of Web Authentication).
  const keys = await page.context().newCDPSession(page);
  await keys.send("WebAuthn.enable");
  const options = { protocol: "ctap2", transport: "internal", hasResidentKey: true, hasUserVerification: true, isUserVerified: true };
  await keys.send("WebAuthn.addVirtualAuthenticator", { options });
  const part = page.getByRole("region", { name: "Passkeys" });
  const name = part.getByLabel("What you call it", { exact: false });
  const add = () => key("Make a passkey on this device", part).click();
  await bar().getByRole("button", { name: /^Your account/ }).click();
  await name.fill("this number");
  await add();
  await page.getByText("passkeys are for a name, not for a number", { exact: false }).waitFor();

  const there = new URL(page.url());
  there.hostname = "localhost";
  await page.goto(there.href);
  await signIn(page, INES.sign_in, INES.password);
  await bar().getByRole("button", { name: /^Your account/ }).click();
  await name.fill("the lamp");
  await add();
  await part.getByText("the lamp").waitFor();
  await part.getByText("not used yet").waitFor();
  await look(page, "passkeys");
  await key("Sign out").first().click();
  await key("Sign in").click();
  await page.getByLabel("Sign-in name").fill(" INÉS");
  await key("Use a passkey").click();
  await bar().waitFor();
  await bar().getByRole("button", { name: /^Your account/ }).click();
  await part.getByText("last used", { exact: false }).waitFor();
  // Whoever is signed in proves again who they are, and is signed in no second time.
  const browsers = () => page.getByRole("listitem").filter({ hasText: "Chrom" }).count();
  const before = await browsers();
  await page.goto(new URL("/sign-in", there).href);
  await page.getByLabel("Sign-in name").fill("inés");
  await key("Use a passkey").click();
  await bar().getByRole("button", { name: /^Your account/ }).click();
  await part.getByText("the lamp").waitFor();
  assert.equal(await browsers(), before);

  // Nobody learns who has an account: a name that nobody has is asked for a passkey too.
  const origin = there.origin;
  const ask = async (of) => (await page.request.post(`${origin}/api/staff/passkey-sign-in`, { data: { name: of }, headers: { origin } })).json();
  const [one, again, real] = [await ask("nobody"), await ask("nobody"), await ask("inés")];
  assert.deepEqual(one.options.allowCredentials, again.options.allowCredentials, "the same name gets the same question");
  assert.deepEqual(Object.keys(one.options).sort(), Object.keys(real.options).filter((of) => real.options[of] !== null).sort());
  const forged = await page.request.post(`${origin}/api/staff/passkey-sign-in/answer`, { data: { id: one.id, answer: {} }, headers: { origin } });
  assert.equal(forged.status(), 401);

  await key("Remove the passkey the lamp", part).click();
  await part.getByText("None yet.").waitFor();
  await page.goto(there.href.replace("localhost", "127.0.0.1"));
  await part.getByText("None yet.").waitFor();
});

test("a second factor is set up, asked for, and turned off by a recovery code", async () => {
  await key("Set it up").click();
  const secret = await page.locator(".secret").textContent();
  assert.match(await page.getByRole("link", { name: "Open it in an app" }).getAttribute("href"), /^otpauth:\/\/totp\//);
  await page.getByLabel("Code from your app").fill("000000");
  await key("Turn it on").click();
  await page.getByText("This is not the code that the app shows now", { exact: false }).waitFor();
  await page.getByLabel("Code from your app").fill(totp(secret));
  await key("Turn it on").click();
  await page.getByText("A code from an app is asked for when you sign in.").waitFor();
  await key("Sign out").click();
  await key("Sign in").click();
  await signIn(page, "ines", INES.password);
  await page.getByLabel("Code from your app").fill(totp(secret, 1));
  await key("Sign in").click();
  // Where they were when they signed out is where they go on.
  await page.getByRole("heading", { name: "Where you are signed in" }).waitFor();
  await key("Sign out").click();
  await key("Sign in").click();
  await key("I cannot sign in").click();
  await page.getByLabel("Sign-in name").fill("ines");
  await page.getByLabel("Recovery code").fill(codes[0].toLowerCase());
  await page.getByLabel("New password").fill("another lamp for the otter");
  await look(page, "a recovery code");
  await key("Choose this password").click();
  await page.getByText("9 recovery codes are left.").waitFor();
  await key("Set it up").waitFor();
});

test("the demo needs no sign-in, and says so", async () => {
  const demo = await House.open("demo");
  try {
    const trial = await demo.linked(demo.server.links.staff.trial);
    await plans(trial).waitFor();
    await trial.getByText("This is a trial: nobody signs in here", { exact: false }).waitFor();
    assert.deepEqual(trial.errors, []);
  } finally {
    await demo.close();
  }
});

test("nothing failed on the page", () => assert.deepEqual(page.errors, []));
