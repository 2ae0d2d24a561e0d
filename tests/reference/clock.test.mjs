// The clock's arithmetic against RFC 5905 and against ntplib, and the handshake against RFC 6455.

import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { randomUUID } from "node:crypto";
import { connect } from "node:net";
import { createRequire } from "node:module";
import { test } from "node:test";
import { fileURLToPath } from "node:url";
import { HOUR, Server } from "../server.mjs";

const here = (path) => fileURLToPath(new URL(path, import.meta.url));
const PYTHON = here("../.venv/bin/python");

/** The web part's `offsetAndDelay`, compiled by the web part's own build tool. */
async function offsetAndDelay() {
  const require = createRequire(here("../../web/package.json"));
  const vite = await import(require.resolve("vite"));
  const built = await vite.build({
    configFile: false,
    logLevel: "silent",
    build: { write: false, lib: { entry: here("../../web/src/lib/clock.ts"), formats: ["es"] } },
  });
  const { code } = built[0].output[0];
  const module = await import(`data:text/javascript;base64,${Buffer.from(code).toString("base64")}`);
  return module.offsetAndDelay;
}

// RFC 5905, section 8: theta = ((T2-T1)+(T3-T4))/2, delta = (T4-T1)-(T3-T2).
test("offset and delay agree with RFC 5905's formulas and with ntplib", async () => {
  const ours = await offsetAndDelay();
  const cases = [[10_000, 54_031, 54_031.5, 10_064.5]];
  let seed = 1;
  const random = () => (seed = (seed * 48271) % 2147483647) / 2147483647;
  for (let n = 0; n < 200; n++) {
    const [t1, ahead, up, stay, down] = [random() * 1e6, (random() - 0.5) * 1e6, random() * 300, random() * 5, random() * 300];
    const t2 = t1 + up + ahead;
    cases.push([t1, t2, t2 + stay, t1 + up + stay + down]);
  }
  const theirs = JSON.parse(execFileSync(PYTHON, [here("ntp.py")], { input: JSON.stringify(cases) }));
  cases.forEach(([sentMs, receivedMs, answeredMs, heardMs], index) => {
    const { offsetMs, delayMs } = ours({ sentMs, receivedMs, answeredMs, heardMs });
    assert.ok(Math.abs(offsetMs - theirs[index][0]) < 1e-6, `offset ${offsetMs} and ${theirs[index][0]}`);
    assert.ok(Math.abs(delayMs - theirs[index][1]) < 1e-6, `delay ${delayMs} and ${theirs[index][1]}`);
  });
  assert.deepEqual(ours({ sentMs: 10_000, receivedMs: 54_031, answeredMs: 54_031.5, heardMs: 10_064.5 }), {
    offsetMs: 43_999,
    delayMs: 64,
  });
});

// RFC 6455, section 1.3, gives this key and the accept value that answers it.
test("the handshake answers RFC 6455's example key", async () => {
  const server = await new Server().start("serve", "--plan", HOUR);
  try {
    const base = new URL(server.links.desk).origin;
    const token = server.links.wall.split("#p.")[1];
    const pass = await fetch(`${base}/api/pass`, {
      method: "POST",
      headers: { "content-type": "application/json" },
      body: JSON.stringify({ token, request: randomUUID() }),
    });
    const { stay } = await pass.json();
    const cookie = pass.headers.get("set-cookie").split(";")[0];
    const head = [
      `GET /ws/${stay} HTTP/1.1`,
      `Host: ${new URL(base).host}`,
      `Origin: ${base}`,
      `Cookie: ${cookie}`,
      "Upgrade: websocket",
      "Connection: Upgrade",
      "Sec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==",
      "Sec-WebSocket-Protocol: chat, samebreath.v2",
      "Sec-WebSocket-Version: 13",
    ];
    const socket = connect(server.port, "127.0.0.1");
    socket.write(head.join("\r\n") + "\r\n\r\n");
    const answer = await new Promise((resolve) => socket.once("data", (data) => resolve(data.toString("latin1"))));
    socket.destroy();
    assert.match(answer, /^HTTP\/1.1 101 /);
    assert.match(answer, /sec-websocket-accept: s3pPLMBiTxaQ9kYGzzhZRbK\+xOo=/i);
    assert.match(answer, /sec-websocket-protocol: samebreath\.v2/i);
  } finally {
    await server.stop();
  }
});
