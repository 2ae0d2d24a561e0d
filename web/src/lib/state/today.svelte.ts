// What staff see first: the class of the day, and what is left to do. It knows no DOM.

import { Refused } from "../http";
import { asSentence, staffText as t } from "../messages/staff";
import type { BeginClass, ClassLinks, Today } from "../wire/types";

export interface TodayServer {
  today(): Promise<Today>;
  openDesk(id: string): Promise<string>;
  beginClass(id: string, how: Omit<BeginClass, "request">): Promise<ClassLinks>;
}

export class TodayState {
  today = $state.raw<Today | null>(null);
  /** Why the last request failed, in a sentence. */
  problem = $state<string | null>(null);
  /** Whether nobody is signed in any more; then nothing of what was seen stays. */
  isOut = $state(false);
  #isShown = false;
  #underWay = false;

  constructor(
    private readonly server: TodayServer,
    private readonly leave: (address: string) => void,
  ) {}

  /** Looks while the page is shown, and from then on every now and then. */
  show(isShown: boolean): void {
    const wasShown = this.#isShown;
    this.#isShown = isShown;
    if (isShown && !wasShown) void this.lookAgain();
  }

  async lookAgain(): Promise<void> {
    if (!this.#isShown) return;
    try {
      this.today = await this.server.today();
    } catch (error) {
      // What was seen last is better than nothing while the server cannot be reached.
      this.#hear(error);
    }
  }

  /** Opens the desk of a class, and leaves this page for it. */
  openDesk(session: string): Promise<void> {
    return this.#do(async () => this.leave(await this.server.openDesk(session)));
  }

  /** Makes the class of the day from its plan, or a rehearsal, which has a desk too. */
  makeClass(plan: string, version: number): Promise<void> {
    return this.#do(async () => {
      await this.server.beginClass(plan, { version, rehearsal: false });
      await this.lookAgain();
    });
  }

  #hear(error: unknown): void {
    if (error instanceof Refused && error.status === 401) [this.isOut, this.today] = [true, null];
  }

  /** Does one thing at a time; a second tap does nothing. */
  async #do(act: () => Promise<void>): Promise<void> {
    if (this.#underWay) return;
    this.#underWay = true;
    this.problem = null;
    try {
      await act();
    } catch (error) {
      this.problem = error instanceof Refused ? asSentence(error.message) : t.failed;
      this.#hear(error);
    }
    this.#underWay = false;
  }
}
