// An independent client: it uses Python's websockets library and only what server/wire/README.md says.

import assert from "node:assert/strict";
import { spawn } from "node:child_process";
import { test } from "node:test";
import { fileURLToPath } from "node:url";
import { Server } from "../server.mjs";
import { Desk } from "./desk.mjs";

const here = (path) => fileURLToPath(new URL(path, import.meta.url));

test("a stranger's client joins, follows a step and reports", async () => {
  const server = await new Server().start();
  try {
    const desk = await Desk.open(server.links.desk);
    await desk.tell({ do: "open" });
    const base = new URL(server.links.desk).origin;
    const client = spawn(here("../.venv/bin/python"), [here("client.py"), base, server.links.code]);
    const learned = {};
    let errors = "";
    client.stderr.on("data", (data) => (errors += data));
    let text = "";
    client.stdout.on("data", (data) => (text += data));
    const ended = new Promise((resolve) => client.on("exit", resolve));
    await desk.until((frame) => frame.rows.length === 1);
    await desk.tell({ do: "go_to", step: 7 });
    assert.equal(await ended, 0, errors);
    for (const line of text.trim().split("\n")) Object.assign(learned, JSON.parse(line));
    assert.equal(learned.subprotocol, "samebreath.v2");
    assert.equal(learned.step, 7);
    // 17 words stand on the screen while people get ready: 8 s at 140 words a minute.
    assert.equal(learned.offset_ms, -8_000);
    assert.ok(learned.t2 <= learned.t3 && learned.t1 <= learned.t4);
    await desk.until((frame) => frame.alerts.some((alert) => alert.id === learned.taken));
    desk.close();
  } finally {
    await server.stop();
  }
});
