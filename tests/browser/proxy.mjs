// A bad home link: passes bytes on with a delay and jitter each way, in order, and can be cut.

import { connect, createServer } from "node:net";

export class Proxy {
  #pairs = new Set();

  static async to(port, delayMs, jitterMs) {
    const proxy = new Proxy();
    proxy.server = createServer((near) => proxy.#join(near, connect(port, "127.0.0.1"), delayMs, jitterMs));
    await new Promise((resolve) => proxy.server.listen(0, "127.0.0.1", resolve));
    proxy.port = proxy.server.address().port;
    return proxy;
  }

  #join(near, far, delayMs, jitterMs) {
    const pair = [near, far];
    this.#pairs.add(pair);
    for (const [from, to] of [pair, [far, near]]) {
      let last = Promise.resolve();
      from.on("data", (data) => {
        const due = new Promise((resolve) => setTimeout(resolve, delayMs + Math.random() * jitterMs));
        last = last.then(() => due).then(() => to.write(data));
      });
      from.on("error", () => to.destroy());
      from.on("close", () => last.then(() => to.destroy()));
    }
    near.on("close", () => this.#pairs.delete(pair));
  }

  close() {
    for (const pair of this.#pairs) for (const socket of pair) socket.destroy();
    this.server.close();
  }
}
