// A bad home link: passes bytes on with a delay and jitter each way, in order. It can be cut, go silent
// with its connections still open, or become slow, and be mended.

import { connect, createServer } from "node:net";

export class Proxy {
  #pairs = new Set();
  #watchers = [];
  #extraMs = 0;
  #isCut = false;

  static async to(port, delayMs, jitterMs) {
    const proxy = new Proxy();
    proxy.server = createServer((near) => {
      if (proxy.#isCut) {
        near.destroy();
        proxy.#tell("refused");
      } else proxy.#join(near, connect(port, "127.0.0.1"), delayMs, jitterMs);
    });
    await new Promise((resolve) => proxy.server.listen(0, "127.0.0.1", resolve));
    proxy.port = proxy.server.address().port;
    return proxy;
  }

  #join(near, far, delayMs, jitterMs) {
    const pair = { sockets: [near, far], silent: false };
    this.#pairs.add(pair);
    for (const [from, to, came, passed] of [
      [near, far, "asked", "passed"],
      [far, near, "answered", "returned"],
    ]) {
      let last = Promise.resolve();
      from.on("data", (data) => {
        this.#tell(came);
        const waitMs = delayMs + Math.random() * jitterMs + this.#extraMs;
        const due = new Promise((resolve) => setTimeout(resolve, waitMs));
        last = last.then(() => due).then(() => {
          if (pair.silent) return this.#tell("swallowed");
          to.write(data);
          this.#tell(passed);
        });
      });
      from.on("error", () => to.destroy());
      from.on("close", () => last.then(() => to.destroy()));
    }
    near.on("close", () => this.#pairs.delete(pair));
  }

  /**
   * Waits for the next time that something happens to bytes: `asked` and `passed` of the browser's,
   * `answered` and `returned` of the server's (each when they reach the proxy and when they leave it),
   * `swallowed` by a silent connection, or a connection `refused` while cut.
   */
  next(event) {
    return new Promise((resolve) => this.#watchers.push({ event, resolve }));
  }

  #tell(event) {
    const told = this.#watchers.filter((watcher) => watcher.event === event);
    this.#watchers = this.#watchers.filter((watcher) => watcher.event !== event);
    for (const { resolve } of told) resolve();
  }

  /** The network is gone: open connections break, new ones are refused. */
  cut() {
    this.#isCut = true;
    this.#breakAll();
  }

  /** Connections stay open on both sides, and nothing passes any more. */
  goSilent() {
    for (const pair of this.#pairs) pair.silent = true;
  }

  /** Everything takes so much longer each way. */
  slowBy(ms) {
    this.#extraMs = ms;
  }

  /** New connections work as at first. */
  mend() {
    this.#isCut = false;
    this.#extraMs = 0;
  }

  /** What went silent is given up at last, as a system does after minutes. */
  endSilent() {
    for (const pair of this.#pairs) if (pair.silent) for (const socket of pair.sockets) socket.destroy();
  }

  #breakAll() {
    for (const pair of this.#pairs) for (const socket of pair.sockets) socket.destroy();
  }

  close() {
    this.#breakAll();
    this.server.close();
  }
}
