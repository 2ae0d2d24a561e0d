// Simulates people who tap all the time, keep what was not acknowledged, and send it again.

import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { randomUUID } from "node:crypto";
import { fileURLToPath } from "node:url";
import WebSocket from "ws";
import { Desk } from "../reference/desk.mjs";

const PEOPLE = 12;
/** The time between two taps, which people make in turn. It keeps each person well below their allowance. */
const TAP_EVERY_MS = 10;

export const sleep = (ms) => new Promise((resolve) => setTimeout(resolve, ms));
const said = { whose: "own", where: "neck", strength: null, urgent: null, words: null };

/** What each person taps, over and over. Each tap changes something, or must be remembered although it does not. */
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
  /** The acknowledged commands, each with the time when the acknowledgement came, in ns of the machine's clock. */
  acknowledged = new Map();
  refused = 0;
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
      if (!this.waits.delete(id)) return;
      if (kind === "taken") this.acknowledged.set(id, process.hrtime.bigint());
      else this.refused += 1;
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


/** A class that is under way, with people who tap until they are told to rest. */
export async function crowd(server) {
  const desk = await Desk.open(server.links.desk);
  await desk.tell({ do: "open" });
  await desk.tell({ do: "start" });
  const names = Array.from({ length: PEOPLE }, (_, n) => `Person ${String.fromCharCode(65 + n)}`);
  const people = await Promise.all(names.map((name) => Person.join(server, name)));
  const comeBack = () => Promise.all(people.map((person) => person.connect()));
  await comeBack();
  let turn = 0;
  const tapping = setInterval(() => people[turn++ % PEOPLE].tap(), TAP_EVERY_MS);
  return {
    comeBack,
    onTheirWay: () => people.reduce((sum, { waits }) => sum + waits.size, 0),
    refused: () => people.reduce((sum, { refused }) => sum + refused, 0),
    acknowledged: () => new Map(people.flatMap(({ acknowledged }) => [...acknowledged])),
    /** Ends the tapping and waits for every answer. */
    async rest() {
      clearInterval(tapping);
      while (people.some(({ waits }) => waits.size > 0)) await sleep(20);
      desk.close();
      people.forEach(({ socket }) => socket.terminate());
    },
  };
}

const READER = fileURLToPath(new URL("ledger.py", import.meta.url));

/** Has another program count how many of `ids` the ledger lacks, and how many of its lines are there twice. */
export function look(database, ids) {
  const found = execFileSync("python3", [READER, database], { input: [...ids].join("\n"), encoding: "utf8" });
  const [missing, twice] = found.trim().split(" ").map(Number);
  return { missing, twice };
}
