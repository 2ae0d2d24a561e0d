// The notes of one class, while a clinician writes and signs them. It knows no DOM.

import type { Attempt } from "./links.svelte";
import type { Copies, Later } from "./editor.svelte";
import type {
  ClassNotes,
  NoteSheet,
  NoteWords,
  PersonId,
  SavedNote,
  SaveNote,
  ShownNote,
} from "../wire/types";

export interface NotesServer {
  notes(session: string): Promise<ClassNotes>;
  saveNote(session: string, person: PersonId | null, change: SaveNote): Promise<SavedNote>;
  signNote(session: string, person: PersonId | null, seen: string, words: NoteWords): Promise<ShownNote>;
  addToNote(note: string, corrects: boolean, text: string): Promise<ShownNote>;
}

/** Whose note it is: a person's, or that of the class as a whole. */
export type NoteOf = PersonId | null;

export type NotePartName = keyof NoteWords;

/** What is being written of one note. */
interface Draft {
  words: NoteWords;
  version: number;
  /** What is typed and not kept on the server yet. */
  isDirty: boolean;
  /** What a colleague saved meanwhile. */
  theirs: SavedNote | null;
}

const NO_WORDS: NoteWords = { subjective: null, objective: null, assessment: null, plan: null };
/** What is typed is saved after a pause of so long. */
const SAVED_AFTER_MS = 1_000;

export class NotesState {
  notes = $state.raw<ClassNotes | null>(null);
  /** The note that is shown. */
  chosen = $state<NoteOf>(null);
  #drafts = $state.raw<Readonly<Record<string, Draft>>>({});

  constructor(
    readonly session: string,
    private readonly server: NotesServer,
    private readonly attempt: Attempt,
    private readonly later: Later,
    private readonly copies: Copies,
  ) {}

  /** Reads the notes, and begins with the first that is to be written. */
  open(): Promise<void> {
    return this.attempt(async () => {
      await this.#read();
      const came = this.notes?.people.find((one) => one.attended !== "no");
      this.chosen = this.next() ?? came?.person ?? null;
    });
  }

  sheet(of: NoteOf): NoteSheet | undefined {
    if (of === null) return this.notes?.of_class;
    return this.notes?.people.find((one) => one.person === of)?.sheet;
  }

  words(of: NoteOf): NoteWords {
    return this.#drafts[this.#key(of)]?.words ?? this.sheet(of)?.words ?? NO_WORDS;
  }

  draft(of: NoteOf): Draft | undefined {
    return this.#drafts[this.#key(of)];
  }

  /** Whether anything of it was written. */
  isBegun(of: NoteOf): boolean {
    return Object.values(this.words(of)).some((text) => text !== null);
  }

  /** The next person after this one who came and whose note is not signed; from the beginning for nobody. */
  next(after: NoteOf = null): NoteOf {
    const people = this.notes?.people ?? [];
    const at = people.findIndex((one) => one.person === after) + 1;
    const round = [...people.slice(at), ...people.slice(0, at)];
    const open = round.find(
      ({ person, attended, sheet }) => person !== after && attended !== "no" && sheet.signed === null,
    );
    return open?.person ?? null;
  }

  write(of: NoteOf, part: NotePartName, text: string): void {
    const words = { ...this.words(of), [part]: text.trim() === "" ? null : text };
    const version = this.draft(of)?.version ?? this.sheet(of)?.version ?? 0;
    const theirs = this.draft(of)?.theirs ?? null;
    this.#set(of, { words, version, isDirty: true, theirs });
    this.copies.set(this.#key(of), JSON.stringify({ words, version }));
    this.later(`note ${this.#key(of)}`, SAVED_AFTER_MS, () => this.save(of));
  }

  save(of: NoteOf): Promise<void> {
    const draft = this.draft(of);
    // A colleague may have signed meanwhile.
    if (!draft?.isDirty || draft.theirs || this.sheet(of)?.signed) return Promise.resolve();
    return this.attempt(async () => {
      const { words, version } = draft;
      const kept = await this.server.saveNote(this.session, of, { after: version, words });
      const now = this.draft(of) ?? draft;
      if (!kept.saved) return this.#set(of, { ...now, theirs: kept });
      // Typing went on while it was saved.
      const isDirty = now.words !== words;
      this.#set(of, { ...now, version: kept.version, isDirty });
      if (isDirty) this.later(`note ${this.#key(of)}`, SAVED_AFTER_MS, () => this.save(of));
      else this.copies.remove(this.#key(of));
    });
  }

  /** Saves all that is typed, before the page goes. */
  async saveAll(): Promise<void> {
    const people = this.notes?.people.map((one) => one.person) ?? [];
    await Promise.all([null, ...people].map((of) => this.save(of)));
  }

  /** Goes on with what a colleague saved, or with what stands here in its place. */
  async settle(of: NoteOf, takes: "theirs" | "ours"): Promise<void> {
    const draft = this.draft(of);
    if (!draft?.theirs) return;
    const { version, words } = draft.theirs;
    if (takes === "theirs") {
      this.copies.remove(this.#key(of));
      return this.#set(of, { words, version, isDirty: false, theirs: null });
    }
    this.#set(of, { ...draft, version, isDirty: true, theirs: null });
    await this.save(of);
  }

  /** Signs what is shown, and goes on to the next. */
  async sign(of: NoteOf): Promise<void> {
    const sheet = this.sheet(of);
    if (!sheet || this.draft(of)?.theirs) return;
    await this.save(of);
    await this.attempt(async () => {
      try {
        await this.server.signNote(this.session, of, sheet.seen, this.words(of));
      } finally {
        // Also when it was refused: the record may say something else by now.
        await this.#read();
      }
      this.forget(of);
      this.chosen = this.next(of) ?? of;
    });
  }

  /** Adds to a signed note, and then does `then`. */
  add(note: string, corrects: boolean, text: string, then: () => void): Promise<void> {
    return this.attempt(async () => {
      await this.server.addToNote(note, corrects, text);
      then();
      await this.#read();
    });
  }

  async #read(): Promise<void> {
    this.notes = await this.server.notes(this.session);
    for (const of of [null, ...this.notes.people.map((one) => one.person)]) this.#take(of);
  }

  /** Finds again what was typed in this browser and never reached the server. */
  #take(of: NoteOf): void {
    const copy = this.copies.get(this.#key(of));
    if (copy === null || this.draft(of)) return;
    const { words, version } = JSON.parse(copy) as Pick<Draft, "words" | "version">;
    this.#set(of, { words, version, isDirty: true, theirs: null });
    if (this.sheet(of)?.signed) return;
    this.later(`note ${this.#key(of)}`, SAVED_AFTER_MS, () => this.save(of));
  }

  /** Forgets what was typed here. */
  forget(of: NoteOf): void {
    const { [this.#key(of)]: _, ...others } = this.#drafts;
    this.#drafts = others;
    this.copies.remove(this.#key(of));
  }

  #set(of: NoteOf, draft: Draft): void {
    this.#drafts = { ...this.#drafts, [this.#key(of)]: draft };
  }

  #key(of: NoteOf): string {
    return `${this.session}.${of ?? "class"}`;
  }
}
