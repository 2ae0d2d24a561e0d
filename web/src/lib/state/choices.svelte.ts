// The choices of whoever uses this screen: shown at once, and kept on the device for their name.

import { keepChoices, recallChoices, type Choices, type Shelf } from "../choices";

export class ChoicesState {
  now = $state.raw<Choices>() as Choices;
  #name: string | null = null;

  /** `apply` shows the choices; `reload` starts the page anew, for another language. */
  constructor(
    private readonly shelf: Shelf,
    private readonly tags: readonly string[],
    private readonly apply: (choices: Choices) => void,
    private readonly reload: () => void,
  ) {
    this.now = recallChoices(shelf, null, tags);
    apply(this.now);
  }

  /** The person of this screen is known now: their own choices go before the device's last. */
  meet(name: string): void {
    if (name === this.#name) return;
    this.#name = name;
    this.#use(recallChoices(this.shelf, name, this.tags));
  }

  change(change: Partial<Choices>): void {
    this.#use({ ...this.now, ...change });
  }

  #use(next: Choices): void {
    const before = this.now;
    this.now = next;
    keepChoices(this.shelf, this.#name, next);
    this.apply(next);
    if (next.language !== before.language) this.reload();
  }
}
