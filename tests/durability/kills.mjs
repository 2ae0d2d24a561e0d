// Counts what survives `kill -9`. People tap all the time while the server is killed and started again and again, and
// whatever was not acknowledged is sent again under the same id. Then another program reads the ledger: each
// acknowledged command must be in it, and none twice.
//
//   node tests/durability/kills.mjs [250]        (after cargo build --release)

import { join } from "node:path";
import { Server } from "../server.mjs";
import { crowd, look, sleep } from "./taps.mjs";

const kills = Number(process.argv[2] ?? 250);
const LIVES_MS = { least: 100, most: 500 };

const server = await new Server().start();
const people = await crowd(server);
let onTheirWay = 0;
for (let n = 0; n < kills; n++) {
  await sleep(LIVES_MS.least + Math.random() * (LIVES_MS.most - LIVES_MS.least));
  await server.kill();
  onTheirWay += people.onTheirWay();
  await server.start("serve");
  await people.comeBack();
}
await people.rest();
await server.kill();
const acknowledged = people.acknowledged();
const { missing, twice } = look(join(server.folder, "samebreath.db"), acknowledged.keys());
await server.stop();
console.log(`kill -9, ${kills} times: ${acknowledged.size} acknowledged, ${missing} missing, ${twice} twice; ${people.refused()} refused, ${onTheirWay} on their way when the server was killed.`);
process.exitCode = missing + twice > 0 ? 1 : 0;
