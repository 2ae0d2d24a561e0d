// How long things are kept, for a coordinator. It knows no DOM.

import { Refused } from "../http";
import type { Retention, RetentionPage } from "../wire/types";
import type { Attempt } from "./links.svelte";

export interface RetentionServer {
  retention(): Promise<RetentionPage>;
  changeRetention(after: number, rules: Retention): Promise<RetentionPage>;
}

export class RetentionState {
  page = $state.raw<RetentionPage | null>(null);
  /** Whether somebody else changed the rules first; theirs are shown now. */
  isBehind = $state(false);
  isSaved = $state(false);

  constructor(
    private readonly server: RetentionServer,
    private readonly attempt: Attempt,
  ) {}

  look(): Promise<void> {
    [this.isBehind, this.isSaved] = [false, false];
    return this.attempt(async () => void (this.page = await this.server.retention()));
  }

  change(rules: Retention): Promise<void> {
    [this.isBehind, this.isSaved] = [false, false];
    return this.attempt(async () => {
      const after = this.page?.version ?? 0;
      try {
        this.page = await this.server.changeRetention(after, rules);
        this.isSaved = true;
      } catch (error) {
        if (!(error instanceof Refused) || error.code !== "behind") throw error;
        this.page = await this.server.retention();
        this.isBehind = true;
      }
    });
  }
}
