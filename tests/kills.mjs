// How much survives `kill -9`: people tap all the time, the server is killed again and again in the middle of it and
// started anew, and whatever was not acknowledged is sent again under its id. Then the ledger is read by another
// program: each acknowledged command must be in it, and none twice.
//
//   node tests/kills.mjs [250]        (after cargo build --release)

import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { randomUUID } from "node:crypto";
import { join } from "node:path";
import WebSocket from "ws";
import { Desk } from "./reference/desk.mjs";
import { Server } from "./server.mjs";

const kills = Number(process.argv[2] ?? 250);
const PEOPLE = 12;
/** Somebody taps so often, everybody in turn: well below a person's allowance. */
const TAP_EVERY_MS = 10;
const LIVES_MS = { least: 100, most: 500 };

const sleep = (ms) => new Promise((resolve) => setTimeout(resolve, ms));
const said = { whose: "own", where: "neck", strength: null, urgent: null, words: null };

/** What somebody taps, over and over: each of it changes something, or must be remembered although it does not. */
const TAPS = [
  () => ({ do: "stop", reason: "tired" }),
  () => ({ do: "report", report: randomUUID(), said }),
  () => ({ do: "stop", reason: "tired" }),
  () => ({ do: "go_on" }),
  () => ({ do: "done", step: 1 }),
  () => ({ do: "undo", step: 1 }),
  () => ({ do: "go_on" }),
];

/** A page that keeps what was not acknowledged, in order, and sends it again on each new socket. */
class Person {
  acknowledged = [];
  refused = [];
  waits = new Map();
  #taps = 0;

  static async join(server, name) {
    const origin = new URL(server.links.desk).origin;
    const code = new URL(server.links.class).hash.slice(3);
    const answer = await fetch(`${origin}/api/join`, {
      method: "POST",
      headers: { "content-type": "application/json" },
      body: JSON.stringify({ code, name, request: randomUUID() }),
    });
    assert.equal(answer.status, 200, await answer.clone().text());
    const person = new Person();
    const { stay } = await answer.json();
    person.cookie = answer.headers.get("set-cookie").split(";")[0];
    person.origin = origin;
    person.url = `${origin.replace("http", "ws")}/ws/${stay}`;
    return person;
  }

  connect() {
    const socket = new WebSocket(this.url, "samebreath.v2", { headers: { cookie: this.cookie }, origin: this.origin });
    this.socket = socket;
    socket.on("error", () => undefined);
    socket.on("message", (text) => {
      const { kind, id } = JSON.parse(text);
      if (kind !== "taken" && kind !== "refused") return;
      if (this.waits.delete(id)) (kind === "taken" ? this.acknowledged : this.refused).push(id);
    });
    return new Promise((resolve) => {
      socket.on("open", () => {
        for (const text of this.waits.values()) socket.send(text);
        resolve();
      });
      socket.on("close", resolve);
    });
  }

  tap() {
    const id = randomUUID();
    const text = JSON.stringify({ kind: "seat", id, command: TAPS[this.#taps++ % TAPS.length]() });
    this.waits.set(id, text);
    if (this.socket.readyState === WebSocket.OPEN) this.socket.send(text);
  }
}

const server = await new Server().start();
const desk = await Desk.open(server.links.desk);
await desk.tell({ do: "open" });
await desk.tell({ do: "start" });
const people = await Promise.all(Array.from({ length: PEOPLE }, (_, n) => Person.join(server, `Person ${String.fromCharCode(65 + n)}`)));
await Promise.all(people.map((person) => person.connect()));
let turn = 0;
const tapping = setInterval(() => people[turn++ % PEOPLE].tap(), TAP_EVERY_MS);
let onTheirWay = 0;
for (let n = 0; n < kills; n++) {
  await sleep(LIVES_MS.least + Math.random() * (LIVES_MS.most - LIVES_MS.least));
  await server.kill();
  onTheirWay += people.reduce((sum, { waits }) => sum + waits.size, 0);
  await server.start("serve");
  await Promise.all(people.map((person) => person.connect()));
}
clearInterval(tapping);
while (people.some(({ waits }) => waits.size > 0)) await sleep(20);
desk.close();
people.forEach(({ socket }) => socket.terminate());
await server.kill();

/** Each line of the ledger as its cause and the kind of its event, by Python's own reader of SQLite. */
const READ = `import json, sqlite3, sys
for (body,) in sqlite3.connect(sys.argv[1]).execute("select body from event order by seq"):
    line = json.loads(body)
    event = line["event"]
    print(line.get("cause"), event if isinstance(event, str) else event["event"])`;
const lines = execFileSync("python3", ["-c", READ, join(server.folder, "samebreath.db")], { encoding: "utf8", maxBuffer: 2 ** 28 }).trim().split("\n");
await server.stop();

const known = new Set(lines.map((line) => line.split(" ")[0]));
const all = people.flatMap(({ acknowledged }) => acknowledged);
const missing = all.filter((id) => !known.has(id));
const own = new Set(all);
const caused = lines.filter((line) => own.has(line.split(" ")[0]));
const twice = caused.length - new Set(caused).size;
const refused = people.reduce((sum, person) => sum + person.refused.length, 0);
console.log(`${kills} times kill -9, ${PEOPLE} people: ${all.length} acknowledged, ${missing.length} missing, ${twice} twice; ${refused} refused, ${onTheirWay} on their way as the server was killed.`);
process.exitCode = missing.length + twice > 0 ? 1 : 0;
