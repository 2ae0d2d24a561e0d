// A class through the real nginx with the configuration that we publish, at the root of a host and below a path.

import assert from "node:assert/strict";
import { spawn } from "node:child_process";
import { randomUUID } from "node:crypto";
import { mkdir, mkdtemp, readFile, rm, writeFile } from "node:fs/promises";
import { request } from "node:http";
import { createServer } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { test } from "node:test";
import { fileURLToPath } from "node:url";
import { chromium } from "playwright-core";
import { HOUR, Server } from "../server.mjs";
import { makesFirstAccount } from "../staff.mjs";
import { checksIn, key, shows } from "./people.mjs";

const GIVEN = fileURLToPath(new URL("../../deploy/nginx.conf", import.meta.url));

async function freePort() {
  const server = createServer();
  await new Promise((listening) => server.listen(0, "127.0.0.1", listening));
  const { port } = server.address();
  await new Promise((closed) => server.close(closed));
  return port;
}

/** The configuration that we publish, except for names, ports and certificates, which a test cannot have. */
async function proxy(port, upstream) {
  const folder = await mkdtemp(join(tmpdir(), "samebreath-nginx-"));
  await mkdir(join(folder, "logs"));
  const site = (await readFile(GIVEN, "utf8"))
    .replaceAll("listen 443 ssl;", `listen 127.0.0.1:${port};`)
    .replaceAll(/^\s*ssl_certificate.*$/gm, "")
    .replaceAll(".example;", ".localhost;")
    .replaceAll("/var/log/nginx/", `${folder}/logs/`)
    .replace("127.0.0.1:8787", `127.0.0.1:${upstream}`);
  const temporary = ["client_body", "proxy", "fastcgi", "uwsgi", "scgi"];
  const paths = temporary.map((kind) => `${kind}_temp_path ${folder}/${kind};`).join("\n");
  const whole = `pid ${folder}/pid;\nerror_log ${folder}/logs/error.log;\nevents {}\nhttp {\n${paths}\n${site}\n}\n`;
  await writeFile(join(folder, "nginx.conf"), whole);
  const args = ["-p", folder, "-c", join(folder, "nginx.conf"), "-g", "daemon off; master_process off;"];
  const child = spawn("/usr/sbin/nginx", args, { stdio: ["ignore", "ignore", "inherit"] });
  const ended = new Promise((resolve) => child.on("exit", resolve));
  return {
    log: () => readFile(join(folder, "logs/samebreath.log"), "utf8"),
    async close() {
      child.kill("SIGTERM");
      await ended;
      await rm(folder, { recursive: true, force: true });
    },
  };
}

/** The status that answers a request from a page of another website. */
function fromElsewhere(port, host, path) {
  const headers = { host: `${host}:${port}`, origin: "http://other.example", "content-type": "application/json" };
  return new Promise((resolve, reject) => {
    const asked = request({ host: "127.0.0.1", port, path, method: "POST", headers }, (answer) => {
      answer.resume();
      resolve(answer.statusCode);
    });
    asked.on("error", reject);
    asked.end("{}");
  });
}

/** What somebody does at home opens without the network, in their language too. */
async function opensOffline(browser, planner, own) {
  // Only the browser knows where this host is.
  const post = (path, data) =>
    planner.evaluate(
      async ([url, body]) => {
        const answer = await fetch(url, { method: "POST", headers: { "content-type": "application/json" }, body });
        if (!answer.ok) throw new Error(`${url}: ${answer.status}`);
        return answer.json();
      },
      [own + path, JSON.stringify(data)],
    );
  const { id } = await post("/api/planner/people", { name: "Ada", conditions: [], decisions: [] });
  const made = await post(`/api/planner/people/${id}/links`, { medium: "tablet", request: randomUUID() });
  const context = await browser.newContext();
  const page = await context.newPage();
  await page.goto(own + made.path);
  await page.getByRole("button", { name: "Yes, I am Ada" }).click();
  await page.getByRole("button", { name: "Practice at home" }).click();
  await page.waitForURL(`${own}/practice#*`);
  await page.evaluate(() => navigator.serviceWorker.ready.then(({ active }) => active.state));
  await context.setOffline(true);
  for (const asked of ["", "?in=es", `#${made.card.id}`]) {
    await page.goto("about:blank");
    await page.goto(`${own}/practice${asked}`);
    await page.getByRole("heading", { name: "There is nothing for you to do at home at the moment." }).waitFor();
  }
  await context.close();
}

for (const [where, host, path, cookie] of [
  ["at the root of a host", "class.localhost", "", "samebreath-"],
  ["below a path", "clinic.localhost", "/voice", "samebreath-voice-"],
]) {
  test(`a class goes through nginx ${where}`, async () => {
    const port = await freePort();
    const own = `http://${host}:${port}${path}`;
    const server = await new Server().start("serve", "--plan", HOUR, "--public-url", own);
    const nginx = await proxy(port, server.port);
    const browser = await chromium.launch({ executablePath: "/usr/bin/chromium", args: ["--no-sandbox"] });
    try {
      const errors = [];
      const open = async (link) => {
        const context = await browser.newContext({ viewport: { width: 1280, height: 800 } });
        const page = await context.newPage();
        page.setDefaultTimeout(30_000);
        page.on("pageerror", (error) => errors.push(error.message));
        page.on("response", (response) => response.status() >= 400 && errors.push(`${response.status()} ${response.url()}`));
        await page.goto(link);
        return page;
      };
      assert.ok(server.links.desk.startsWith(`${own}/#p.`), server.links.desk);
      const desk = await open(server.links.desk);
      await desk.waitForURL(`${own}/desk/**`);
      await desk.getByRole("button", { name: "Let people in" }).click();
      const ann = await open(server.links.class);
      await ann.getByLabel("Your first name").fill("Ann");
      await ann.getByRole("button", { name: "Join the class" }).click();
      await ann.waitForURL(`${own}/class/**`);
      await checksIn(ann);
      await shows(desk, "Ann");
      await key(desk, "PageDown");
      await shows(ann, "Listen to your facilitator.");
      // A page that is loaded again finds its place in the session.
      await ann.reload();
      await shows(ann, "Listen to your facilitator.");
      const planner = await open(server.links.staff.first);
      await makesFirstAccount(planner);
      await planner.getByRole("heading", { name: "Plans" }).waitFor();
      for (const page of [desk, ann, planner])
        for (const { name } of await page.context().cookies()) assert.ok(name.startsWith(cookie), name);
      assert.deepEqual(errors.filter((error) => !error.startsWith("401")), [], "no request failed");
      await opensOffline(browser, planner, own);
      assert.equal(await fromElsewhere(port, host, `${path}/api/entry`), 403, "a page of another website is refused");
      const log = await nginx.log();
      assert.match(log, /^127\.0\.0\.1 .*"GET .*\/ws\//m, "the websocket went through");
      for (const link of [server.links.desk, server.links.staff.first])
        assert.ok(!log.includes(link.split(/#[pa]\./)[1]), "the log has no link's token");
    } finally {
      await browser.close();
      await nginx.close();
      await server.stop();
    }
  });
}
