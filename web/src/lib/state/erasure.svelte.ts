// Erasing one person, or holding their record. It knows no DOM.

import type { ErasureSheet } from "../wire/types";
import type { Attempt } from "./links.svelte";

export interface ErasureServer {
  erasure(person: string): Promise<ErasureSheet>;
  erase(person: string, name: string): Promise<void>;
  hold(person: string, reason: string): Promise<void>;
  lift(person: string): Promise<void>;
}

export class ErasureState {
  sheet = $state.raw<ErasureSheet | null>(null);

  constructor(
    private readonly person: string,
    private readonly server: ErasureServer,
    private readonly attempt: Attempt,
    /** Leaves the page of somebody who is no longer there. */
    private readonly gone: () => void,
  ) {}

  look(): Promise<void> {
    return this.attempt(() => this.#look());
  }

  hold(reason: string): Promise<void> {
    return this.attempt(async () => {
      await this.server.hold(this.person, reason);
      await this.#look();
    });
  }

  lift(): Promise<void> {
    return this.attempt(async () => {
      await this.server.lift(this.person);
      await this.#look();
    });
  }

  erase(name: string): Promise<void> {
    return this.attempt(async () => {
      await this.server.erase(this.person, name);
      this.gone();
    });
  }

  async #look(): Promise<void> {
    this.sheet = await this.server.erasure(this.person);
  }
}
