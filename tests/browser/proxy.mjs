// A link between browsers and the server that passes bytes on in order, with a separate delay in each direction. It
// can be cut, go silent with its connections still open, or become slow, and it can be mended.

import { connect, createServer } from "node:net";

/** A delay of `ms` plus up to `jitterMs`. */
export const delay = (ms, jitterMs) => () => ms + Math.random() * jitterMs;

export class Proxy {
  #pairs = new Set();
  #watchers = [];
  #extraMs = 0;
  #isCut = false;

  /** Listens for browsers on behalf of the server at `port`. `up` and `down` give each piece's delay in ms. */
  static async to(port, { up, down }) {
    const proxy = new Proxy();
    proxy.server = createServer({ noDelay: true }, (near) => {
      if (proxy.#isCut) {
        near.destroy();
        proxy.#tell("refused");
      } else proxy.#join(near, connect({ port, host: "127.0.0.1", noDelay: true }), up, down);
    });
    await new Promise((resolve) => proxy.server.listen(0, "127.0.0.1", resolve));
    proxy.port = proxy.server.address().port;
    return proxy;
  }

  #join(near, far, up, down) {
    const pair = { sockets: [near, far], silent: false };
    this.#pairs.add(pair);
    for (const [from, to, delayMs, came, passed] of [
      [near, far, up, "asked", "passed"],
      [far, near, down, "answered", "returned"],
    ]) {
      // What is on its way, including the end. Each timer releases the first piece, so that none overtakes another.
      const onTheWay = [];
      let freeAt = 0;
      const pass = (waitMs, act) => {
        onTheWay.push(act);
        freeAt = Math.max(freeAt, performance.now() + waitMs);
        setTimeout(() => onTheWay.shift()(), freeAt - performance.now());
      };
      from.on("data", (data) => {
        this.#tell(came);
        pass(delayMs() + this.#extraMs, () => {
          if (pair.silent) return this.#tell("swallowed");
          to.write(data);
          this.#tell(passed);
        });
      });
      from.on("error", () => to.destroy());
      from.on("close", () => pass(0, () => to.destroy()));
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
    this.breakAll();
  }

  /** Connections stay open on both sides, but nothing passes through. */
  goSilent() {
    for (const pair of this.#pairs) pair.silent = true;
  }

  /** Everything takes this much longer in each direction. */
  slowBy(ms) {
    this.#extraMs = ms;
  }

  /** New connections work as they did at first. */
  mend() {
    this.#isCut = false;
    this.#extraMs = 0;
  }

  /** Connections that went silent are given up at last, as a system does after some minutes. */
  endSilent() {
    for (const pair of this.#pairs) if (pair.silent) for (const socket of pair.sockets) socket.destroy();
  }

  /** Open connections break, and new ones work. */
  breakAll() {
    for (const pair of this.#pairs) for (const socket of pair.sockets) socket.destroy();
  }

  close() {
    this.breakAll();
    this.server.close();
  }
}
