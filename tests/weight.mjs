// Measures how many bytes the class screen takes, compressed as browsers ask for it, and how soon it can be used on a
// slow line with a slow processor. Prints figures; asserts nothing.
//
//   node tests/weight.mjs          (after cargo build --release)

import { chromium } from "playwright-core";
import { Server } from "./server.mjs";

const KIB = 1024;
const LINE = { latency: 150, downloadThroughput: 1_600_000 / 8, uploadThroughput: 750_000 / 8, offline: false };
const SLOWER = 4;
const RUNS = 5;

const server = await new Server().start("serve", "--plan", new URL("browser/gallery-plan.toml", import.meta.url).pathname);
const browser = await chromium.launch({ executablePath: "/usr/bin/chromium", args: ["--no-sandbox"] });
const desk = await browser.newPage();
await desk.goto(server.links.desk);
await desk.getByRole("button", { name: "Let people in" }).click();

async function run() {
  const context = await browser.newContext({ viewport: { width: 820, height: 1180 } });
  const page = await context.newPage();
  await page.goto(server.links.class);
  await page.getByLabel("Your first name").fill("Ann");
  await page.getByRole("button", { name: "Join the class" }).click();
  await page.waitForURL("**/class/**");
  const cold = await context.newCDPSession(page);
  await cold.send("Network.enable");
  await cold.send("Network.setCacheDisabled", { cacheDisabled: true });
  await cold.send("Network.emulateNetworkConditions", LINE);
  await cold.send("Emulation.setCPUThrottlingRate", { rate: SLOWER });
  const sizes = new Map();
  const names = new Map();
  cold.on("Network.responseReceived", ({ requestId, response }) => names.set(requestId, response.url));
  cold.on("Network.loadingFinished", ({ requestId, encodedDataLength }) => sizes.set(names.get(requestId) ?? "", encodedDataLength));
  const begun = performance.now();
  await page.reload({ waitUntil: "commit" });
  await page.getByRole("button", { name: /Not well|I need to stop/ }).first().waitFor();
  const usable = performance.now() - begun;
  await page.waitForLoadState("load");
  await context.close();
  return { usable, sizes };
}

const runs = [];
for (let n = 0; n < RUNS; n++) runs.push(await run());
const { sizes } = runs.at(-1);
let [code, fonts] = [0, 0];
for (const [url, bytes] of sizes) {
  if (!url.startsWith("http") || url.includes("/api/")) continue;
  const name = new URL(url).pathname;
  console.log(`${String(Math.round(bytes / 102.4) / 10).padStart(8)} KiB  ${name}`);
  if (/woff2$/.test(name)) fonts += bytes;
  else code += bytes;
}
const times = runs.map((one) => Math.round(one.usable)).sort((a, b) => a - b);
console.log(`class screen without fonts: ${(code / KIB).toFixed(1)} KiB; fonts: ${(fonts / KIB).toFixed(1)} KiB`);
console.log(`usable at 1.6 Mbit/s and 150 ms, with a processor ${SLOWER} times slower and nothing cached, after: ${times.join(", ")} ms (median ${times[Math.floor(RUNS / 2)]})`);
await browser.close();
await server.stop();
