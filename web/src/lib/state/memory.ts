// For tests: a place for copies, timers that run when the test says so, and answers that can be held back.

import type { Copies, Later } from "./editor.svelte";

export function memory(): Copies & { kept: Map<string, string> } {
  const kept = new Map<string, string>();
  return {
    kept,
    get: (id) => kept.get(id) ?? null,
    set: (id, text) => void kept.set(id, text),
    remove: (id) => void kept.delete(id),
  };
}

export class Timers {
  #waiting = new Map<string, () => Promise<void>>();
  readonly later: Later = (name, _, run) => void this.#waiting.set(name, run);

  /** Runs what was scheduled under `name`, if anything was. */
  async run(name: string): Promise<void> {
    const run = this.#waiting.get(name);
    this.#waiting.delete(name);
    await run?.();
  }

  has(name: string): boolean {
    return this.#waiting.has(name);
  }
}
