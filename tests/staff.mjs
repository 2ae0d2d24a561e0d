// The first account of a server, as tests need it.

import assert from "node:assert/strict";
import { randomUUID } from "node:crypto";

export const INES = { name: "Ines", sign_in: "ines", password: "lamp otter sill mango", clinician: { title: "SLP", licence: "L 1" } };

/** The cookie that an answer sets, as name and value. */
function cookieOf(answer) {
  const [pair] = (answer.headers.get("set-cookie") ?? "").split(";");
  const [name, value] = pair.split("=");
  return { name, value };
}

/** Makes the first account by the link that the server printed, and returns the cookie of whoever is signed in. */
export async function firstAccount(server) {
  const { origin, hash } = new URL(server.links.staff.first);
  const body = JSON.stringify({ ...INES, token: hash.split(".").at(-1), request: randomUUID() });
  const answer = await fetch(`${origin}/api/staff/first`, { method: "POST", headers: { "content-type": "application/json", origin }, body });
  assert.ok(answer.ok, `the first account: ${answer.status}`);
  return cookieOf(answer);
}

/** Fills in the page that makes the first account. */
export async function makesFirstAccount(page) {
  await page.getByLabel("Your name, as colleagues call you").fill(INES.name);
  await page.getByLabel("Sign-in name").fill(INES.sign_in);
  await page.getByLabel("New password").fill(INES.password);
  await page.getByLabel("I am a licensed clinician").check();
  await page.getByLabel("Title").fill(INES.clinician.title);
  await page.getByLabel("Licence or registration").fill(INES.clinician.licence);
  await page.getByRole("button", { name: "Make the account" }).click();
  await page.getByRole("button", { name: "I have saved them" }).click();
}

/** Makes a colleague's account, chooses its password, and returns the cookie of whoever is signed in with it. */
export async function colleague(server, by, account) {
  const origin = `http://${server.links.listens_on}`;
  const ask = async (path, body, cookie = "") => {
    const headers = { "content-type": "application/json", origin, cookie };
    const answer = await fetch(`${origin}${path}`, { method: "POST", headers, body: JSON.stringify(body) });
    assert.ok(answer.ok, `${path}: ${answer.status}`);
    return answer;
  };
  const cookie = `${by.name}=${by.value}`;
  const { id } = await (await ask("/api/accounts", { account, request: randomUUID() }, cookie)).json();
  const { link } = await (await ask(`/api/accounts/${id}/link`, {}, cookie)).json();
  const choice = { token: link.split("#a.")[1], password: COLLEAGUES_PASSWORD, request: randomUUID() };
  return { id, ...cookieOf(await ask("/api/staff/password-by-link", choice)) };
}

export const COLLEAGUES_PASSWORD = "quiet harbour seven pens";
