// The notes of one class, while a clinician writes and signs them. It knows no DOM.

import { Refused } from "../http";
import { notesText as t } from "../messages/notes";
import { asSentence } from "../messages/staff";
import { isSame } from "../same";
import type {
  ClassNotes,
  NoteSheet,
  NoteWords,
  PersonId,
  SavedNote,
  SaveNote,
  ShownNote,
  SignNote,
} from "../wire/types";
import type { Copies, Later } from "./editor.svelte";
import type { Attempt } from "./links.svelte";

export interface NotesServer {
  notes(session: string): Promise<ClassNotes>;
  saveNote(session: string, person: PersonId | null, change: SaveNote): Promise<SavedNote>;
  signNote(session: string, person: PersonId | null, what: Omit<SignNote, "request">): Promise<ShownNote>;
  addToNote(note: string, corrects: boolean, text: string): Promise<ShownNote>;
}

/** Whose note it is: a person's, or that of the class as a whole. */
export type NoteOf = PersonId | null;

export type NotePartName = keyof NoteWords;

/** What is being written of one note. */
interface Draft {
  words: NoteWords;
  /** The version on the server that it goes on from. */
  version: number;
  /** Whether something of it is not kept on the server yet. */
  isDirty: boolean;
  /** What was sent and not answered: it may be kept all the same. */
  sent: NoteWords | null;
  /** What a colleague saved meanwhile. */
  theirs: Pick<SavedNote, "version" | "words"> | null;
  /** Why it is not saved, in a sentence. */
  failed: string | null;
}

/** What is being written to be added to a signed note. */
export interface Addition {
  corrects: boolean;
  text: string;
}

const NO_WORDS: NoteWords = { subjective: null, objective: null, assessment: null, plan: null };
/** What is typed is saved after a pause of so long, and tried again after so long. */
const SAVED_AFTER_MS = 1_000;
const AGAIN_AFTER_MS = 4_000;

/** As the server keeps it: without blanks around it. */
function plain(words: NoteWords): NoteWords {
  const of = (text: string | null): string | null => text?.trim() || null;
  const { subjective, objective, assessment, plan } = words;
  return {
    subjective: of(subjective),
    objective: of(objective),
    assessment: of(assessment),
    plan: of(plan),
  };
}

export class NotesState {
  notes = $state.raw<ClassNotes | null>(null);
  /** The note that is shown. */
  chosen = $state<NoteOf>(null);
  /** Why nothing could be read or signed, in a sentence. */
  problem = $state<string | null>(null);
  /** What is being added to signed notes, by their ids. */
  #additions = $state.raw<Readonly<Record<string, Addition>>>({});
  #drafts = $state.raw<Readonly<Record<string, Draft>>>({});
  #last: Promise<void> = Promise.resolve();

  constructor(
    readonly session: string,
    private readonly server: NotesServer,
    private readonly attempt: Attempt,
    private readonly later: Later,
    private readonly copies: Copies,
  ) {}

  /** Reads the notes, and begins with the first that is to be written. */
  async open(): Promise<void> {
    try {
      await this.#read();
    } catch (error) {
      this.problem = error instanceof Refused ? asSentence(error.message) : t.notRead;
      return;
    }
    const came = this.notes?.people.find((one) => one.attended !== "no");
    this.chosen = this.next() ?? came?.person ?? null;
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
    const begun = { version: this.sheet(of)?.version ?? 0, sent: null, theirs: null, failed: null };
    this.#set(of, { ...(this.draft(of) ?? begun), words, isDirty: true });
    this.later(`note ${this.#key(of)}`, SAVED_AFTER_MS, () => this.save(of));
  }

  /** Saves what is typed, after what is being saved already. */
  save(of: NoteOf): Promise<void> {
    this.#last = this.#last.then(async () => {
      try {
        await this.#save(of);
      } catch (error) {
        const failed = error instanceof Refused ? asSentence(error.message) : t.notReached;
        const draft = this.draft(of);
        if (draft) this.#set(of, { ...draft, failed });
        // A colleague may have signed meanwhile.
        if (error instanceof Refused && error.status < 500) await this.#read().catch(() => undefined);
        else this.later(`note ${this.#key(of)}`, AGAIN_AFTER_MS, () => this.save(of));
      }
    });
    return this.#last;
  }

  async #save(of: NoteOf): Promise<void> {
    const draft = this.draft(of);
    // A colleague may have signed meanwhile.
    if (!draft?.isDirty || draft.theirs || this.sheet(of)?.signed) return;
    const { words, version } = draft;
    this.#set(of, { ...draft, sent: words });
    const kept = await this.server.saveNote(this.session, of, { after: version, words });
    const now = this.draft(of) ?? draft;
    const { version: newest, words: theirs } = kept;
    if (kept.saved) {
      this.#set(of, { ...now, version: newest, isDirty: now.words !== words, sent: null, failed: null });
    } else if (draft.sent && isSame(theirs, plain(draft.sent))) {
      // What was sent before was kept, and only its answer was lost.
      this.#set(of, { ...now, version: newest, sent: null });
    } else {
      this.#set(of, { ...now, sent: null, theirs: { version: newest, words: theirs } });
      return;
    }
    if (this.draft(of)?.isDirty) await this.#save(of);
  }

  /** Saves all that is typed, before the page goes. */
  async saveAll(): Promise<void> {
    const people = this.notes?.people.map((one) => one.person) ?? [];
    await Promise.all([null, ...people].map((of) => this.save(of)));
  }

  /** Whether something that was typed is not kept on the server. */
  get isUnsaved(): boolean {
    const isOpen = (draft: Draft): boolean => draft.isDirty || draft.theirs !== null;
    return Object.values(this.#drafts).some(isOpen) || Object.keys(this.#additions).length > 0;
  }

  /** What is being added to a signed note. */
  addition(note: string): Addition | undefined {
    return this.#additions[note];
  }

  /** Keeps what is being added, also if the page is lost; `null` gives it up. */
  writeAddition(note: string, addition: Addition | null): void {
    const { [note]: _, ...others } = this.#additions;
    this.#additions = addition ? { ...others, [note]: addition } : others;
    if (addition) this.copies.set(`add.${note}`, JSON.stringify(addition));
    else this.copies.remove(`add.${note}`);
  }

  /** Goes on with what a colleague saved, or with what stands here in its place. */
  async settle(of: NoteOf, takes: "theirs" | "ours"): Promise<void> {
    const draft = this.draft(of);
    if (!draft?.theirs) return;
    const { version } = draft.theirs;
    if (takes === "theirs") this.forget(of);
    else this.#set(of, { ...draft, version, isDirty: true, theirs: null });
    if (takes === "theirs") return this.attempt(() => this.#read());
    await this.save(of);
  }

  /** Signs what is shown, and goes on to the next. */
  async sign(of: NoteOf): Promise<void> {
    await this.#grave(async () => {
      await this.save(of);
      const [sheet, draft] = [this.sheet(of), this.draft(of)];
      if (!sheet || draft?.theirs || draft?.isDirty) return;
      const after = draft?.version ?? sheet.version;
      const words = plain(this.words(of));
      await this.server.signNote(this.session, of, { seen: sheet.seen, after, words });
      this.forget(of);
      await this.#read();
      // Whoever looks at another note by now stays there.
      if (this.chosen === of) this.chosen = this.next(of) ?? of;
    });
    // Only the answer was lost.
    if (this.sheet(of)?.signed && !this.draft(of)) this.problem = null;
  }

  /** Signs what is being added to a note. */
  add(note: string): Promise<void> {
    return this.#grave(async () => {
      const addition = this.addition(note);
      if (!addition) return;
      await this.server.addToNote(note, addition.corrects, addition.text.trim());
      this.writeAddition(note, null);
      await this.#read();
    });
  }

  /** Does something for which whoever signs may have to prove who they are; what else goes wrong is told here. */
  #grave(act: () => Promise<void>): Promise<void> {
    return this.attempt(async () => {
      this.problem = null;
      try {
        await act();
      } catch (error) {
        if (!(error instanceof Refused)) this.problem = t.notReached;
        else if (error.code === "prove_again" || error.code === "not_signed_in") throw error;
        else this.problem = asSentence(error.message);
        // The record, or a colleague's draft, may say something else by now.
        await this.#read().catch(() => undefined);
      }
    });
  }

  async #read(): Promise<void> {
    this.notes = await this.server.notes(this.session);
    for (const of of [null, ...this.notes.people.map((one) => one.person)]) {
      this.#take(of);
      const note = this.sheet(of)?.signed?.id;
      const addition = note && !this.addition(note) ? this.#copied<Addition>(`add.${note}`) : null;
      if (note && addition && this.notes.may_sign) this.writeAddition(note, addition);
    }
  }

  /** Puts what is typed here beside what the server has. */
  #take(of: NoteOf): void {
    const sheet = this.sheet(of);
    if (!sheet || !this.notes?.may_sign) return;
    const draft = this.draft(of) ?? this.#copied<Draft>(this.#key(of));
    if (!draft) return;
    const signed = sheet.signed?.note?.content;
    if (signed?.kind === "note") {
      // An answer may have been lost: then it is signed as it stands here.
      if (isSame(plain(draft.words), signed.words)) this.forget(of);
      else this.#set(of, draft);
      return;
    }
    // A colleague went on from what was saved here. An answer that set out before the last save says less.
    if (!draft.isDirty && !draft.theirs) {
      if (sheet.version >= draft.version) this.forget(of);
      return;
    }
    const isBehind = sheet.version !== draft.version && !isSame(plain(draft.words), sheet.words);
    const isOwn = draft.sent !== null && isSame(plain(draft.sent), sheet.words);
    const theirs = isBehind && !isOwn ? { version: sheet.version, words: sheet.words } : null;
    const version = theirs ? draft.version : sheet.version;
    this.#set(of, { ...draft, version, theirs });
    if (draft.isDirty && !theirs) this.later(`note ${this.#key(of)}`, SAVED_AFTER_MS, () => this.save(of));
  }

  /** What was typed in this browser and may never have reached the server. */
  #copied<T>(key: string): T | null {
    const copy = this.copies.get(key);
    try {
      return copy === null ? null : (JSON.parse(copy) as T);
    } catch {
      this.copies.remove(key);
      return null;
    }
  }

  /** Forgets what was typed here. */
  forget(of: NoteOf): void {
    const { [this.#key(of)]: _, ...others } = this.#drafts;
    this.#drafts = others;
    this.copies.remove(this.#key(of));
  }

  #set(of: NoteOf, draft: Draft): void {
    this.#drafts = { ...this.#drafts, [this.#key(of)]: draft };
    if (draft.isDirty || draft.theirs) this.copies.set(this.#key(of), JSON.stringify(draft));
    else this.copies.remove(this.#key(of));
  }

  #key(of: NoteOf): string {
    return `${this.session}.${of ?? "class"}`;
  }
}
