// Mail (W-20), taken by a foreign mail server (aiosmtpd) with certificates of a foreign authority (trustme), and read by
// Python's own email parser: nothing that people type makes a header, encryption is never given up, what fails for now is
// tried again, and what fails for good is said.

import assert from "node:assert/strict";
import { execFileSync, spawn } from "node:child_process";
import { randomUUID } from "node:crypto";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test as nodeTest } from "node:test";
import { fileURLToPath } from "node:url";
import { INES } from "../staff.mjs";
import { Server } from "../server.mjs";

const test = (name, act) => nodeTest(name, { timeout: 90_000 }, act);
const here = (path) => fileURLToPath(new URL(path, import.meta.url));
const PYTHON = here("../.venv/bin/python");
const PUBLIC = "https://class.example";
const folder = mkdtempSync(join(tmpdir(), "samebreath-mail-"));
const running = [];

before(() => execFileSync(PYTHON, [here("certificates.py"), folder]));
after(async () => {
  for (const one of running) await one.stop();
  rmSync(folder, { recursive: true, force: true });
});

/** A mail server. */
async function taker(mode) {
  const child = spawn(PYTHON, [here("mail_server.py"), mode, folder], { stdio: ["ignore", "pipe", "inherit"] });
  const taken = [];
  const port = await new Promise((resolve) => {
    let text = "";
    child.stdout.on("data", (data) => {
      text += data;
      const lines = text.split("\n");
      text = lines.pop();
      for (const line of lines) {
        if (line.startsWith("{")) taken.push(JSON.parse(line));
        else resolve(Number(line));
      }
    });
  });
  running.push({ stop: async () => child.kill() });
  return { port, taken };
}

/** A house that sends by a mail server, with its coordinator. */
async function house(port, ...more) {
  const server = await new Server().start(
    "serve", "--public-url", PUBLIC, "--mail-host", "localhost", "--mail-port", String(port), "--mail-from",
    "Voice Circle <voices@class.example>", ...more,
  );
  running.push(server);
  const at = `http://${server.links.listens_on}`;
  const ask = async (cookie, path, body, method = "POST") => {
    const headers = { "content-type": "application/json", origin: PUBLIC, host: "class.example", cookie };
    const answer = await fetch(at + path, { method, headers, ...(body === undefined ? {} : { body: JSON.stringify(body) }) });
    return { status: answer.status, body: await answer.json().catch(() => null), cookie: (answer.headers.get("set-cookie") ?? "").split(";")[0] };
  };
  const token = server.links.staff.first.split(".").at(-1);
  const first = await ask("", "/api/staff/first", { ...INES, token, request: randomUUID() });
  assert.equal(first.status, 200);
  const ines = (path, body, method) => ask(first.cookie, path, body, method);
  const person = async (name, mail, language = null) => {
    const contacts = { phone: null, mail, place: null, partner: null, partner_phone: null };
    return ines("/api/planner/people", { name, conditions: [], decisions: [], contacts, language });
  };
  const link = async (id) => (await ines(`/api/planner/people/${id}/links`, { medium: "mail", request: randomUUID() })).body.card.id;
  const letters = async (id) => (await ines(`/api/planner/people/${id}/letters`, undefined, "GET")).body;
  /** Waits until the newest letter to somebody is so. */
  const until = async (id, isSo) => {
    for (let tries = 0; tries < 300; tries++) {
      const [newest] = await letters(id);
      if (newest && isSo(newest)) return newest;
      await new Promise((go) => setTimeout(go, 100));
    }
    assert.fail(`it never became so: ${JSON.stringify(await letters(id))}`);
  };
  return { server, ines, person, link, letters, until, ask };
}

const AUTHORITY = ["--mail-ca", join(folder, "authority.pem")];
const send = (at, id, link) => at.ines(`/api/planner/people/${id}/links/${link}/letter`, {});

test("a link comes as a letter, encrypted, in their language, and works; no header is made of what people typed", async () => {
  const mail = await taker("starttls");
  const at = await house(mail.port, ...AUTHORITY);
  // Names with everything that a header or an address is made of. Those with a line break never become names.
  const names = ['Ada, <x@example.org>', 'Ben "the hat"', "Zoë; Bcc: eve@example.org", "王秀英 🎈", "=?utf-8?q?a?="];
  for (const broken of ["Ada\r\nBcc: eve@example.org", "Ada\nX: 1"]) {
    assert.equal((await at.person(broken, "ada@example.org")).status, 422, JSON.stringify(broken));
    assert.equal((await at.person("Ada", `ada@example.org${broken.slice(3)}`)).status, 422, JSON.stringify(broken));
  }
  for (const [n, name] of names.entries()) {
    const { id } = (await at.person(name, `p${n}@example.org`, n === 1 ? "es" : null)).body;
    const link = await at.link(id);
    assert.deepEqual((await send(at, id, link)).body, { posted: 1, again: 0, without: [] });
    assert.deepEqual((await send(at, id, link)).body, { posted: 0, again: 1, without: [] }, "one a person, purpose and day");
    await at.until(id, ({ state }) => state === "sent");
    const { to, names: read, headers, subject, text, tls, from } = mail.taken.at(-1);
    assert.deepEqual([to, read, tls], [[`p${n}@example.org`], [name], true]);
    assert.equal(from, "Voice Circle <voices@class.example>");
    assert.equal(headers.filter((header) => /bcc|^x/i.test(header)).length, 0, headers.join(" "));
    assert.equal(subject, n === 1 ? "Su enlace a la clase" : "Your link to the class");
    const [, token] = /https:\/\/class\.example\/own#([0-9A-Z]{32})/.exec(text);
    assert.ok(!subject.includes(token));
    const look = await at.ask("", "/api/own/look", { token });
    assert.deepEqual([look.status, look.body], [200, { name }]);
  }
  assert.equal(new Set(mail.taken.map(({ id }) => id)).size, names.length, "each has an id of its own");
  assert.equal((await at.ines(`/api/planner/people/${randomUUID()}/links/${randomUUID()}/letter`, {})).status, 404);
  const { id } = (await at.person("Cleo", null)).body;
  assert.deepEqual((await send(at, id, await at.link(id))).body, { posted: 0, again: 0, without: ["Cleo"] });
});

test("a cancelled class is told to everybody of the group once", async () => {
  const mail = await taker("implicit");
  const at = await house(mail.port, "--mail-tls", "implicit", ...AUTHORITY);
  const people = [];
  for (const name of ["Ada", "Ben"]) people.push((await at.person(name, `${name.toLowerCase()}@example.org`)).body.id);
  people.push((await at.person("Cleo", null)).body.id);
  const of = "2031-11-04"; // A Tuesday.
  const group = {
    name: "Lantern Quay", weekday: 2, start: "10:00", minutes: 45, zone: "UTC", first: null, last: null, weeks_apart: 8, people,
    others: [{ of, cancelled: "No power this morning.", day: null, start: null, minutes: null, led_by: null, stand_in: null }],
  };
  const { id } = (await at.ines("/api/planner/groups", group)).body;
  const told = await at.ines(`/api/planner/groups/${id}/letters`, { of });
  assert.deepEqual(told.body, { posted: 2, again: 0, without: ["Cleo"] });
  assert.deepEqual((await at.ines(`/api/planner/groups/${id}/letters`, { of })).body, { posted: 0, again: 2, without: ["Cleo"] });
  assert.equal((await at.ines(`/api/planner/groups/${id}/letters`, { of: "2031-11-11" })).status, 422, "that one takes place");
  for (const person of people.slice(0, 2)) await at.until(person, ({ state }) => state === "sent");
  assert.equal(mail.taken.length, 2);
  assert.match(mail.taken[0].text.replaceAll("\r\n", "\n"), /^Hello (Ada|Ben),\n\nThe class of Tuesday 4 November at 10:00 is cancelled\.\n\nNo power this morning\./);
  assert.ok(mail.taken.every(({ tls, subject }) => tls && subject === "Your class is cancelled"));
});

test("a server that offers no encryption, or has a certificate of nobody known, gets nothing", async () => {
  const bare = await taker("bare");
  const strange = await taker("starttls");
  for (const [{ port, taken }, more, says] of [[bare, AUTHORITY, /STARTTLS/i], [strange, [], /certificate|UnknownIssuer/i]]) {
    const at = await house(port, ...more);
    const { id } = (await at.person("Ada", "ada@example.org")).body;
    await send(at, id, await at.link(id));
    const { state, error } = await at.until(id, (letter) => letter.error !== null);
    assert.equal(state, "waits", "it is tried again, in case the server is put right");
    assert.match(error, says);
    assert.deepEqual(taken, []);
  }
});

test("what a server refuses for now is tried again, and what it refuses for good is said", async () => {
  const later = await taker("later");
  const at = await house(later.port, ...AUTHORITY);
  const { id } = (await at.person("Ada", "ada@example.org")).body;
  await send(at, id, await at.link(id));
  const put = await at.until(id, ({ error }) => error !== null);
  assert.deepEqual([put.state, /4\.7\.1 try again later/.test(put.error)], ["waits", true], put.error);
  await at.until(id, ({ state }) => state === "sent");
  assert.equal(later.taken.length, 1);

  const never = await taker("never");
  const other = await house(never.port, ...AUTHORITY);
  const ben = (await other.person("Ben", "ben@example.org")).body.id;
  await send(other, ben, await other.link(ben));
  const failed = await other.until(ben, ({ state }) => state === "failed");
  assert.match(failed.error, /5\.1\.1 no such mailbox here/);
  const { left } = (await other.ines("/api/planner/today", undefined, "GET")).body;
  assert.ok(left.some((one) => one.what === "letter_failed" && one.name === "Ben" && one.why.includes("no such mailbox")), JSON.stringify(left));
  assert.ok(!other.server.log.includes("ben@example.org"), "no address is in the log");
});
