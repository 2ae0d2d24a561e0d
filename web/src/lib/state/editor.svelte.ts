// A document that is edited here and kept by the server: undo, saving by itself, a second editor, and a
// local copy of what is not saved. No DOM: the server, the place for copies and the timer come in.

import { Refused } from "../http";
import { isSame } from "../same";
import type { Saved, Versioned } from "../wire/types";

/** Keeps what is not saved yet, so that a closed browser loses nothing. */
export interface Copies {
  get(id: string): string | null;
  set(id: string, text: string): void;
  remove(id: string): void;
}

/** Runs something later, in place of what `name` was to run. */
export type Later = (name: string, afterMs: number, run: () => Promise<void>) => void;

/** How far the newest change is. */
export type Saving = "saved" | "changed" | "saving" | "not_reached" | "refused" | "behind";

export interface Host<T> {
  save(id: string, after: number, content: T): Promise<Saved<T>>;
  copies: Copies;
  later: Later;
  /** What is on the screen is another one now. */
  changed(): void;
  /** The server refused a save. */
  refused(error: Refused): void;
}

interface Copy<T> {
  version: number;
  content: T;
}

const SAVE_MS = 700;
const AGAIN_MS = 4_000;
/** Undo reaches this far back. */
const STEPS_BACK = 200;

export class Editor<T> {
  content = $state.raw() as T;
  saving = $state<Saving>("saved");
  /** Why the server did not take the newest change. */
  refusal = $state<string | null>(null);
  /** The other editor's, once theirs was saved first. */
  theirs = $state.raw<Versioned<T> | null>(null);
  /** The newest of which this browser knows that the server has it. */
  #kept: Versioned<T>;
  #past = $state.raw<T[]>([]);
  #future = $state.raw<T[]>([]);
  /** Sent over the kept version, with no answer that came back. */
  #unanswered: T[] = [];
  #running: Promise<void> | null = null;
  #closed = false;

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
    if (isSame(copy.content, kept.content)) this.#isSaved();
    else if (copy.version === kept.version) this.#isChanged();
    else this.#isBehind(kept);
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

  change(next: T): void {
    if (isSame(next, this.content)) return;
    this.#past = [...this.#past, this.content].slice(-STEPS_BACK);
    this.#future = [];
    this.content = next;
    this.#isChanged();
  }

  undo(): void {
    const before = this.#past.at(-1);
    if (before === undefined) return;
    this.#past = this.#past.slice(0, -1);
    this.#future = [...this.#future, this.content];
    this.content = before;
    this.#isChanged();
  }

  redo(): void {
    const after = this.#future.at(-1);
    if (after === undefined) return;
    this.#future = this.#future.slice(0, -1);
    this.#past = [...this.#past, this.content];
    this.content = after;
    this.#isChanged();
  }

  /** Ends when everything is saved, or cannot be now: `saving` says which. */
  save(): Promise<void> {
    this.#running ??= this.#saveAll().finally(() => (this.#running = null));
    return this.#running;
  }

  /** Saves what can be saved now, and then leaves the document alone; a local copy keeps the rest. */
  async close(): Promise<void> {
    await this.save();
    this.#closed = true;
  }

  /** Leaves the document as the server has it, without what was changed here. */
  giveUp(): void {
    this.#closed = true;
    this.host.copies.remove(this.id);
  }

  /** The server has another version than the one on this screen. */
  meet(now: Versioned<T>): void {
    if (now.version === this.version || this.#closed) return;
    if (this.saving === "saved") this.#replace(now);
    else this.#isBehind(now);
  }

  /** Theirs in place of what is on this screen, which can be had back by undoing. */
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
    while (!this.#closed && this.saving !== "saved" && this.saving !== "behind") {
      const { content } = this;
      this.saving = "saving";
      try {
        this.#hear(content, await this.host.save(this.id, this.version, content));
      } catch (error) {
        const isRefused = error instanceof Refused && error.status < 500 && error.status !== 429;
        if (isRefused) {
          this.saving = "refused";
          this.refusal = error.message;
          this.host.refused(error);
        } else {
          this.saving = "not_reached";
          this.#unanswered = [...this.#unanswered, content];
          this.host.later(`save ${this.id}`, AGAIN_MS, () => this.save());
        }
        return;
      }
    }
  }

  #hear(content: T, { saved, now }: Saved<T>): void {
    if (this.#closed) return;
    // An earlier save may have arrived though its answer did not.
    const isOurs = saved || [content, ...this.#unanswered].some((sent) => isSame(sent, now.content));
    if (!isOurs) return this.#isBehind(now);
    this.#kept = now;
    this.#unanswered = [];
    if (isSame(this.content, now.content)) this.#isSaved();
    else this.#keepCopy("changed");
  }

  #isSaved(): void {
    this.saving = "saved";
    this.refusal = null;
    this.host.copies.remove(this.id);
  }

  #isChanged(): void {
    const isRunning = this.saving === "saving";
    this.refusal = null;
    this.#keepCopy(this.saving === "behind" ? "behind" : isRunning ? "saving" : "changed");
    this.host.changed();
    if (this.saving === "changed") this.host.later(`save ${this.id}`, SAVE_MS, () => this.save());
  }

  #isBehind(theirs: Versioned<T>): void {
    this.theirs = theirs;
    this.#keepCopy("behind");
  }

  #keepCopy(saving: Saving): void {
    const copy: Copy<T> = { version: this.version, content: this.content };
    this.host.copies.set(this.id, JSON.stringify(copy));
    this.saving = saving;
  }

  #copy(): Copy<T> | null {
    try {
      const kept: unknown = JSON.parse(this.host.copies.get(this.id) ?? "null");
      const whole = typeof kept === "object" && kept !== null && "content" in kept && "version" in kept;
      return whole ? (kept as Copy<T>) : null;
    } catch {
      return null;
    }
  }
}
