// Counts what survives a power cut. What a server writes and flushes while people tap is recorded, and cuts are worked
// out from that (`cuts.py`). Each command acknowledged before a cut must be there after it, and none twice.
//
//   node tests/durability/power.mjs [2000]        (after cargo build --release)

import { execFileSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { Server } from "../server.mjs";
import { crowd, sleep } from "./taps.mjs";

const cuts = Number(process.argv[2] ?? 2_000);
const TAPPING_MS = 30_000;

const here = (name) => fileURLToPath(new URL(name, import.meta.url));
const folder = mkdtempSync(join(tmpdir(), "samebreath-power-"));
const [library, kept, acknowledged] = ["writes.so", "kept", "acknowledged.json"].map((name) => join(folder, name));
execFileSync("cc", ["-O2", "-shared", "-fPIC", "-o", library, here("writes.c"), "-ldl"]);
Object.assign(process.env, { LD_PRELOAD: library, WRITES_KEPT: kept });
const server = await new Server().start();
delete process.env.LD_PRELOAD;
const people = await crowd(server);
await sleep(TAPPING_MS);
await people.rest();
await server.kill();
const times = [...people.acknowledged()].map(([id, ns]) => [id, Number(ns)]);
writeFileSync(acknowledged, JSON.stringify(Object.fromEntries(times)));
try {
  execFileSync("python3", [here("cuts.py"), kept, acknowledged, String(cuts)], { stdio: "inherit" });
} catch {
  process.exitCode = 1;
}
await server.stop();
rmSync(folder, { recursive: true, force: true });
