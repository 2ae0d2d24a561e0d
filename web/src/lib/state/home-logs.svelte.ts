// What somebody did at home and did not tell the server yet. It is on the device before anything else happens with it.

import type { Keep, KeptLog } from "../practice/keep";
import type { Ease } from "../wire/types";

export class HomeLogs {
  /** What is done and not yet sent; what the server asks about is among it. */
  waiting = $state.raw<KeptLog[]>([]);
  /** The ids of what was noted last, once it is kept. */
  #noted = $state.raw<readonly string[]>([]);
  /** What was done and is not final: drills that are over, until the person says how it went. */
  #begun: KeptLog[] = [];

  constructor(private readonly keep: Keep) {}

  /** Whether the server has what was noted last. */
  get isSent(): boolean {
    return this.#noted.length > 0 && this.waiting.every(({ id }) => !this.#noted.includes(id));
  }

  /** Whether something was done since it was last settled. */
  get isBegun(): boolean {
    return this.#begun.length > 0;
  }

  async look(link: string | null): Promise<void> {
    this.waiting = link === null ? [] : await this.keep.logs(link);
  }

  /** How it went was never said; what was done counts all the same. */
  async finishDrafts(link: string): Promise<void> {
    for (const log of await this.keep.logs(link))
      if (log.isDraft) await this.keep.keepLog({ ...log, isDraft: false });
    await this.look(link);
  }

  forget(): void {
    this.#begun = [];
  }

  /** Takes what was done, to be settled in a moment. */
  add(log: KeptLog | null): void {
    if (log) this.#begun.push(log);
  }

  /** Keeps what was done at once, in case the person puts the device away; how it was is asked. */
  async draft(log: KeptLog | null): Promise<void> {
    if (log === null) return;
    const draft = { ...log, isDraft: true };
    this.#begun.push(draft);
    await this.keep.keepLog(draft);
  }

  /** What was done is final now. How it was is said of all of it; what hurt is said of what was last. */
  async settle({ ease, hurt = false }: { ease?: Ease | null; hurt?: boolean } = {}): Promise<void> {
    const begun = this.#begun;
    [this.#begun, this.#noted] = [[], []];
    for (const [at, draft] of begun.entries()) {
      const isHurt = draft.done.log.hurt || (hurt && at === begun.length - 1);
      if (draft.isDraft && !isHurt && !(await this.#isDraftStill(draft))) continue;
      const said = ease === undefined ? draft.done.log : { ...draft.done.log, ease };
      const log = { ...said, hurt: isHurt };
      await this.keep.keepLog({ ...draft, isDraft: false, done: { ...draft.done, log } });
    }
    if (begun[0]) await this.look(begun[0].link);
    this.#noted = begun.map(({ id }) => id);
  }

  /** Whether no other tab has sent what was done meanwhile: then how it went comes too late, unless it hurt. */
  async #isDraftStill({ id, link }: KeptLog): Promise<boolean> {
    return (await this.keep.logs(link)).some((log) => log.id === id && log.isDraft);
  }

  /** What the server asks about: it was on the day that is now, or it is left out. */
  async answerDay({ id }: KeptLog, now: { day: string; offset_minutes: number } | null): Promise<void> {
    const asked = this.waiting.find((one) => one.id === id && one.asks);
    if (!asked) return;
    // A home class is asked about once, for all of its drills.
    const run = asked.done.log.run?.run;
    const all = this.waiting.filter(
      (one) => one.asks && (one === asked || (run && one.done.log.run?.run === run)),
    );
    this.waiting = this.waiting.filter((one) => !all.includes(one));
    for (const log of all) {
      const of = { ...log.done.log, ...now };
      if (now) await this.keep.keepLog({ ...log, done: { ...log.done, log: of }, asks: false });
      else await this.keep.dropLog(log.id);
    }
    await this.look(asked.link);
  }
}
