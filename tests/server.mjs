// Starts the real binary on a free port with its own data folder, and ends it again.

import { spawn } from "node:child_process";
import { existsSync, mkdtempSync, readdirSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";

const ROOT = fileURLToPath(new URL("..", import.meta.url));
/** A debug build takes less time to make, and is good enough where nothing is measured. */
export const BINARY = process.env.SAMEBREATH_BINARY ?? join(ROOT, "target/release/samebreath");
export const HOUR = join(ROOT, "tests/hour-plan.toml");

const LIBRARIES = "/usr/lib";

/**
 * What makes a program believe that its clock showed `at` (UTC, as 2026-10-20 13:46:00) when it began. The clock that nobody
 * sets goes on as it is.
 */
function clockAt(at) {
  const library = readdirSync(LIBRARIES).map((of) => join(LIBRARIES, of, "faketime/libfaketime.so.1")).find(existsSync);
  return { LD_PRELOAD: library, FAKETIME: `@${at}`, FAKETIME_DONT_FAKE_MONOTONIC: "1", TZ: "UTC" };
}

export class Server {
  /** What its clock shows when it starts; without it, the time. */
  at = null;

  constructor() {
    this.folder = mkdtempSync(join(tmpdir(), "samebreath-test-"));
    this.port = 0;
  }

  /** Starts the server, or starts it again on the same folder and port. */
  async start(...args) {
    const command = args.length > 0 ? args : ["serve", "--plan", HOUR];
    // In most tests people come straight in; the tests about asking to come in set --entry themselves.
    if (!command.includes("--entry")) command.push("--entry", "code");
    const listen = `127.0.0.1:${this.port}`;
    this.child = spawn(BINARY, [...command, "--data", this.folder, "--listen", listen, "--json"], {
      stdio: ["ignore", "pipe", "pipe"],
      env: { ...process.env, ...(this.at ? clockAt(this.at) : {}) },
    });
    this.log = "";
    this.child.stderr.on("data", (data) => (this.log += data));
    const line = await new Promise((resolve, reject) => {
      let text = "";
      this.child.stdout.on("data", (data) => {
        text += data;
        if (text.includes("\n")) resolve(text);
      });
      this.child.on("exit", (code) => reject(new Error(`ended with ${code}: ${this.log}`)));
    });
    this.links = JSON.parse(line);
    // With a public address the links do not show the port on which the server listens.
    this.port = Number(this.links.listens_on.split(":").at(-1));
    return this;
  }

  /** Kills the server at once, without giving it time to say anything. */
  async kill() {
    await this.#end("SIGKILL");
  }

  async stop() {
    await this.#end("SIGTERM");
    rmSync(this.folder, { recursive: true, force: true });
  }

  async #end(signal) {
    const { child } = this;
    if (child.exitCode !== null || child.signalCode !== null) return;
    const ended = new Promise((resolve) => child.on("exit", resolve));
    child.kill(signal);
    await ended;
  }
}
