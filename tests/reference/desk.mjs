// A desk without a browser, for tests that look at the server from outside. It uses another websocket library.

import { randomUUID } from "node:crypto";
import WebSocket from "ws";

export class Desk {
  static async open(link) {
    const url = new URL(link);
    const pass = await fetch(`${url.origin}/api/pass`, {
      method: "POST",
      headers: { "content-type": "application/json" },
      body: JSON.stringify({ token: url.hash.slice(3), request: randomUUID() }),
    });
    const { stay } = await pass.json();
    const desk = new Desk(url, stay, pass.headers.get("set-cookie").split(";")[0]);
    await desk.connect();
    return desk;
  }

  #waiting = new Set();
  #answers = new Map();
  frame = null;

  constructor(url, stay, cookie) {
    this.origin = url.origin;
    this.stay = stay;
    this.cookie = cookie;
  }

  async connect() {
    const headers = { cookie: this.cookie };
    this.socket = new WebSocket(`${this.origin.replace("http", "ws")}/ws/${this.stay}`, "samebreath.v2", { headers, origin: this.origin });
    this.socket.on("message", (text) => this.#hear(JSON.parse(text)));
    this.socket.on("error", () => undefined);
    await new Promise((resolve, reject) => {
      this.socket.on("open", resolve);
      this.socket.on("close", () => reject(new Error("closed")));
    });
  }

  #hear(message) {
    if (message.kind === "desk") this.frame = message.desk;
    if (message.kind === "taken" || message.kind === "refused") this.#answers.get(message.id)?.(message);
    for (const look of this.#waiting) look();
  }

  tell(command) {
    const id = randomUUID();
    this.socket.send(JSON.stringify({ kind: "desk", id, command }));
    return new Promise((resolve) => this.#answers.set(id, resolve));
  }

  until(isSo) {
    return new Promise((resolve) => {
      const look = () => {
        if (!this.frame || !isSo(this.frame)) return;
        this.#waiting.delete(look);
        resolve();
      };
      this.#waiting.add(look);
      look();
    });
  }

  /** The incident timeline of the class, as it is in the ledger. */
  async incidents() {
    const answer = await fetch(`${this.origin}/api/desk/${this.stay}/after`, { headers: { cookie: this.cookie } });
    return (await answer.json()).incidents;
  }

  close() {
    this.socket.terminate();
  }
}
