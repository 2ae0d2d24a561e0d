// A document that is edited here and kept by the server: undo, automatic saving, a second editor, and a local copy
// of what is not saved. It knows no DOM; the server, the place for copies and the timer are passed in.

import { Refused } from "../http";
import { isSame } from "../same";
import type { Saved, Versioned } from "../wire/types";

/** Keeps what is not saved yet, so that closing the browser loses nothing. */
export interface Copies {
  get(id: string): string | null;
  set(id: string, text: string): void;
  remove(id: string): void;
}

/** Runs something later, replacing what was scheduled under the same `name`. */
export type Later = (name: string, afterMs: number, run: () => Promise<void>) => void;

/** How far saving has come with the newest change. */
export type Saving = "saved" | "changed" | "saving" | "not_reached" | "refused" | "behind" | "gone";

export interface Host<T> {
  save(id: string, after: number, content: T): Promise<Saved<T>>;
  copies: Copies;
  later: Later;
  /** Called whenever the content on the screen has changed. */
  changed(): void;
  /** Called when the server refused a save. */
  refused(error: Refused): void;
}

interface Copy<T> {
  version: number;
  content: T;
  /** What was sent to replace this version, while no answer has come back. */
  unanswered: T[];
}

const SAVE_MS = 700;
const AGAIN_MS = 4_000;
/** How many changes undo keeps. */
const STEPS_BACK = 200;

export class Editor<T> {
  content = $state.raw() as T;
  saving = $state<Saving>("saved");
  /** Why the server refused the newest change. */
  refusal = $state<string | null>(null);
  /** The other editor's version, when theirs was saved first. */
  theirs = $state.raw<Versioned<T> | null>(null);
  /** The newest version that this browser knows the server has. */
  #kept: Versioned<T>;
  #past = $state.raw<T[]>([]);
  #future = $state.raw<T[]>([]);
  #unanswered: T[] = [];
  /** The field of the last change, until another field is changed or this one is left. */
  #field: string | null = null;
  #running: Promise<void> | null = null;
  #closed = false;
  #isGivenUp = false;

  constructor(
    kept: Versioned<T>,
    private readonly host: Host<T>,
  ) {
    this.#kept = kept;
    this.content = kept.content;
    const copy = this.#copy();
    if (!copy) return;
    // A browser was closed before its last change was saved.
    this.content = copy.content;
    this.#unanswered = copy.unanswered;
    const isOurs = copy.unanswered.some((sent) => isSame(sent, kept.content));
    if (isSame(copy.content, kept.content)) this.#isSaved();
    else if (copy.version === kept.version || isOurs) this.#isChanged();
    else {
      // The copy still belongs to the version it was made from, however often the page is loaded.
      this.#kept = { ...kept, version: copy.version };
      this.#isBehind(kept);
    }
  }

  get id(): string {
    return this.#kept.id;
  }

  get version(): number {
    return this.#kept.version;
  }

  get canUndo(): boolean {
    return this.#past.length > 0;
  }

  get canRedo(): boolean {
    return this.#future.length > 0;
  }

  /** Makes a change; consecutive changes to one `field` are undone together. */
  change(next: T, field: string | null = null): void {
    if (isSame(next, this.content)) return;
    const goesOn = field !== null && field === this.#field;
    if (!goesOn) this.#past = [...this.#past, this.content].slice(-STEPS_BACK);
    this.#field = field;
    this.#future = [];
    this.content = next;
    this.#isChanged();
  }

  /** The field was left: the next change is undone on its own. */
  leaveField(): void {
    this.#field = null;
  }

  undo(): void {
    this.leaveField();
    const before = this.#past.at(-1);
    if (before === undefined) return;
    this.#past = this.#past.slice(0, -1);
    this.#future = [...this.#future, this.content];
    this.content = before;
    this.#isChanged();
  }

  redo(): void {
    this.leaveField();
    const after = this.#future.at(-1);
    if (after === undefined) return;
    this.#future = this.#future.slice(0, -1);
    this.#past = [...this.#past, this.content];
    this.content = after;
    this.#isChanged();
  }

  /** Resolves when everything is saved or cannot be saved now; `saving` says which. */
  save(): Promise<void> {
    this.#running ??= this.#saveAll().finally(() => (this.#running = null));
    return this.#running;
  }

  /** Saves what can be saved now and then stops; a local copy keeps the rest. */
  async close(): Promise<void> {
    await this.save();
    this.#closed = true;
  }

  /** Closes the document and drops what was changed here. */
  giveUp(): void {
    this.#closed = this.#isGivenUp = true;
    this.host.copies.remove(this.id);
  }

  /** The server has a newer version than the one on this screen. */
  async meet(now: Versioned<T>): Promise<void> {
    await this.#running;
    if (now.version === this.version || this.#closed) return;
    if (this.saving === "saved") this.#replace(now);
    else this.#isBehind(now);
  }

  /** Takes their version; undo brings back what was on this screen. */
  takeTheirs(): void {
    if (this.theirs) this.#replace(this.theirs);
  }

  #replace(now: Versioned<T>): void {
    this.#past = [...this.#past, this.content].slice(-STEPS_BACK);
    this.#future = [];
    this.#kept = now;
    this.#unanswered = [];
    this.content = now.content;
    this.theirs = null;
    this.#isSaved();
    this.host.changed();
  }

  async #saveAll(): Promise<void> {
    while (!this.#closed && !["saved", "behind", "gone"].includes(this.saving)) {
      const { content } = this;
      this.saving = "saving";
      try {
        this.#hear(content, await this.host.save(this.id, this.version, content));
      } catch (error) {
        const isRefused = error instanceof Refused && error.status < 500 && error.status !== 429;
        if (isRefused) {
          this.host.refused(error);
          // What was typed in the meantime may be acceptable.
          if (this.content !== content && error.status === 422) continue;
          this.saving = error.status === 404 ? "gone" : "refused";
          this.refusal = this.saving === "gone" ? null : error.message;
        } else {
          this.#unanswered = [...this.#unanswered, content];
          this.#keepCopy("not_reached");
          this.host.later(`save ${this.id}`, AGAIN_MS, () => this.save());
        }
        return;
      }
    }
  }

  #hear(content: T, { saved, now }: Saved<T>): void {
    if (this.#closed) return;
    // An earlier save may have arrived although its answer did not.
    const isOurs = saved || [content, ...this.#unanswered].some((sent) => isSame(sent, now.content));
    if (!isOurs) return this.#isBehind(now);
    this.#kept = now;
    this.#unanswered = [];
    this.theirs = null;
    // The server may write the same content in its own way; what was typed meanwhile still has to be saved.
    if (saved && isSame(this.content, content)) this.content = now.content;
    if (isSame(this.content, now.content)) this.#isSaved();
    else this.#keepCopy("changed");
  }

  #isSaved(): void {
    this.saving = "saved";
    this.refusal = null;
    // Another tab may have kept something else in the meantime.
    const copy = this.#copy();
    if (!copy || isSame(copy.content, this.content)) this.host.copies.remove(this.id);
  }

  #isChanged(): void {
    const stays = this.saving === "behind" || this.saving === "gone" || this.saving === "saving";
    this.refusal = null;
    this.#keepCopy(stays ? this.saving : "changed");
    this.host.changed();
    if (this.saving === "changed") this.host.later(`save ${this.id}`, SAVE_MS, () => this.save());
  }

  #isBehind(theirs: Versioned<T>): void {
    this.theirs = theirs;
    this.#keepCopy("behind");
  }

  #keepCopy(saving: Saving): void {
    this.saving = saving;
    // A save that was under way when the document was given up must not bring the copy back.
    if (this.#isGivenUp) return;
    const copy: Copy<T> = { version: this.version, content: this.content, unanswered: this.#unanswered };
    this.host.copies.set(this.id, JSON.stringify(copy));
  }

  #copy(): Copy<T> | null {
    try {
      const kept: unknown = JSON.parse(this.host.copies.get(this.id) ?? "null");
      const whole =
        typeof kept === "object" &&
        kept !== null &&
        "content" in kept &&
        "version" in kept &&
        "unanswered" in kept;
      return whole ? (kept as Copy<T>) : null;
    } catch {
      return null;
    }
  }
}
