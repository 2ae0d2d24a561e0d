// A desk without a browser, for tests that look at the server from outside.

import { randomUUID } from "node:crypto";
import { connect } from "node:net";

/** Uses Node's own WebSocket where it can send a cookie; Node 20 cannot, so the few frames are made here. */
export class Desk {
  static async open(link) {
    const url = new URL(link);
    const pass = await fetch(`${url.origin}/api/pass`, {
      method: "POST",
      headers: { "content-type": "application/json" },
      body: JSON.stringify({ token: url.hash.slice(3) }),
    });
    const desk = new Desk();
    await desk.#handshake(url, pass.headers.get("set-cookie").split(";")[0]);
    return desk;
  }

  #waiting = new Set();
  frame = null;
  #answers = new Map();
  #buffer = Buffer.alloc(0);

  async #handshake(url, cookie) {
    this.socket = connect(Number(url.port), url.hostname);
    const head = `GET /ws/desk HTTP/1.1\r\nHost: ${url.host}\r\nOrigin: ${url.origin}\r\nCookie: ${cookie}\r\nUpgrade: websocket\r\nConnection: Upgrade\r\nSec-WebSocket-Key: AAAAAAAAAAAAAAAAAAAAAA==\r\nSec-WebSocket-Protocol: samebreath.v1\r\nSec-WebSocket-Version: 13\r\n\r\n`;
    this.socket.write(head);
    await new Promise((resolve) => {
      this.socket.on("data", (data) => {
        this.#buffer = Buffer.concat([this.#buffer, data]);
        const end = this.#buffer.indexOf("\r\n\r\n");
        if (this.upgraded !== true && end >= 0) {
          this.upgraded = true;
          this.#buffer = this.#buffer.subarray(end + 4);
          resolve();
        }
        if (this.upgraded) this.#read();
      });
    });
  }

  #read() {
    while (this.#buffer.length >= 2) {
      let length = this.#buffer[1] & 0x7f;
      let start = 2;
      if (length === 126) [length, start] = [this.#buffer.length >= 4 ? this.#buffer.readUInt16BE(2) : Infinity, 4];
      if (this.#buffer.length < start + length) return;
      const [opcode, body] = [this.#buffer[0] & 0x0f, this.#buffer.subarray(start, start + length)];
      this.#buffer = this.#buffer.subarray(start + length);
      if (opcode === 1) this.#hear(JSON.parse(body.toString("utf8")));
    }
  }

  #hear(message) {
    if (message.kind === "desk") this.frame = message.desk;
    if (message.kind === "taken" || message.kind === "refused") this.#answers.get(message.id)?.(message);
    for (const look of this.#waiting) look();
  }

  tell(command) {
    const id = randomUUID();
    const body = Buffer.from(JSON.stringify({ kind: "desk", id, command }));
    // A mask of zeros leaves the text as it is (RFC 6455, 5.3).
    const head = Buffer.from([0x81, 0x80 | body.length, 0, 0, 0, 0]);
    if (body.length > 125) throw new Error("this small client sends short commands only");
    this.socket.write(Buffer.concat([head, body]));
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

  close() {
    this.socket.destroy();
  }
}
