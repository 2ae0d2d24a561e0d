// Where a person is in the check-in: the page, the answers so far, and the guard against a trembling finger.

import { answersOf, NOTHING_TOLD, questions, type LastTime, type Told } from "../check-in";
import type { CheckIn } from "../wire/types";
import { DEAF_MS } from "./seat.svelte";

export class CheckInState {
  told = $state.raw<Told>(NOTHING_TOLD);
  /** What the device kept from last time, until the person says that it is not so. */
  kept = $state.raw<Pick<LastTime, "place" | "contact">>({ place: "", contact: "" });
  #at = $state(0);
  #deafUntil = 0;
  readonly #all = $derived(questions(this.told));
  readonly question = $derived(this.#all[this.#at] ?? "feeling");

  constructor(
    private readonly monotonic: () => number,
    private readonly send: (answers: CheckIn) => void,
  ) {}

  /** The name at this screen is now known, and with it what the device kept under that name. */
  offer({ place, contact, partner }: LastTime): void {
    this.kept = { place, contact };
    this.told = { ...this.told, partner };
  }

  get isFirst(): boolean {
    return this.#at === 0;
  }

  /** Fills in words as they are typed; the page stays. */
  write(change: Partial<Told>): void {
    this.told = { ...this.told, ...change };
  }

  /** Takes an answer and turns the page; after the last one everything is sent. */
  answer(change: Partial<Told> = {}): void {
    if (!this.#isHeard()) return;
    this.told = { ...this.told, ...change };
    if (this.#at + 1 < this.#all.length) this.#at += 1;
    else this.send(answersOf(this.told));
  }

  /** What was kept is not so today; the page asks anew. */
  refuse(what: "place" | "contact"): void {
    if (!this.#isHeard()) return;
    this.kept = { ...this.kept, [what]: "" };
    this.told = { ...this.told, [what]: "" };
  }

  back(): void {
    if (this.#isHeard()) this.#at = Math.max(0, this.#at - 1);
  }

  /** The next page's keys lie where these are: what comes right after a touch is a tremor, and no answer. */
  #isHeard(): boolean {
    const now = this.monotonic();
    if (now < this.#deafUntil) return false;
    this.#deafUntil = now + DEAF_MS;
    return true;
  }
}
