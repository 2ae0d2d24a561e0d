// The choices of the person at this screen: applied at once, and kept on the device under their name.

import { hasChosen, keepChoices, recallChoices, type Choices, type Shelf } from "../choices";

export class ChoicesState {
  now = $state.raw<Choices>() as Choices;
  /** Whether this device can be heard now. */
  audible = $state(false);
  /** Goes up with each cue, for the edge that people see instead of hearing a tone. */
  cuesBegun = $state(0);
  /** Whether this device has a voice. */
  canSpeak = $state(false);
  #name: string | null = null;

  /** `apply` puts the choices into effect; `reload` loads the page anew, for another language. */
  constructor(
    private readonly shelf: Shelf,
    private readonly tags: readonly string[],
    private readonly apply: (choices: Choices) => void,
    private readonly reload: () => void,
  ) {
    this.now = recallChoices(shelf, null, tags);
    apply(this.now);
  }

  /** The person at this screen is now known: their own choices come before the device's last ones. */
  meet(name: string): void {
    if (name === this.#name) return;
    this.#name = name;
    this.#use(recallChoices(this.shelf, name, this.tags), null);
  }

  /** What `name` chose on an earlier page that did not know them yet. */
  chose(name: string, change: Partial<Choices>): void {
    keepChoices(this.shelf, name, { ...recallChoices(this.shelf, name, this.tags), ...change });
  }

  /** What is noted for `name`; what was chosen under that name on this device stays. */
  begin(name: string, change: Partial<Choices>): void {
    if (!hasChosen(this.shelf, name)) this.chose(name, change);
  }

  change(change: Partial<Choices>): void {
    this.#use({ ...this.now, ...change }, this.#name);
  }

  #use(next: Choices, keptFor: string | null): void {
    const before = this.now;
    this.now = next;
    keepChoices(this.shelf, keptFor, next);
    this.apply(next);
    // A page that cannot keep the language would reload for ever.
    const kept = recallChoices(this.shelf, null, this.tags).language === next.language;
    if (next.language !== before.language && kept) this.reload();
  }
}
