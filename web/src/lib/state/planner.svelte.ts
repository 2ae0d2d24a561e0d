// What the planner holds: plans, groups and rounds, the one being edited, and what it amounts to. It knows no DOM.

import { Refused } from "../http";
import { copyOf, newPerson, type Begun, type Kind, type Kinds } from "../planner/kinds";
import { mendOldCopy, unsaved } from "../planner/copies";
import type { PlannerServer } from "../planner/server";
import { isSame } from "../same";
import { Editor, type Copies, type Host, type Later } from "./editor.svelte";
import type {
  ClassCard,
  ClassLinks,
  ComingClass,
  GroupCard,
  Draft,
  GroupLook,
  LibraryBook,
  Look,
  PersonEntry,
  PlanCard,
  Planned,
  RoundCard,
  RoundLook,
  Unreadable,
  Versioned,
} from "../wire/types";

/** A document on the screen. */
type Opened = { [K in Kind]: { kind: K; editor: Editor<Kinds[K]> } }[Kind];

const LOOK_MS = 120;
const AGAIN_MS = 4_000;
const WEEKS = 8;
const MOST_WEEKS = 110;

export class PlannerState {
  book = $state.raw<LibraryBook | null>(null);
  /** Whether the lists have come. A helper's have no library. */
  isReady = $state(false);
  plans = $state.raw<PlanCard[]>([]);
  groups = $state.raw<GroupCard[]>([]);
  /** The rounds of the word game that were written here. */
  rounds = $state.raw<RoundCard[]>([]);
  /** Classes whose records cannot be read. Everything else goes on, but somebody has to know. */
  unreadable = $state.raw<readonly Unreadable[]>([]);
  /** The people who are enrolled anywhere, or were. */
  people = $state.raw<PersonEntry[]>([]);
  #opened = $state.raw<Opened | null>(null);
  /** The group from which the person on the screen was opened. */
  #cameFrom = $state<string | null>(null);
  /** The clinician who decides on this screen. */
  clinician = $state("");
  look = $state.raw<(Look & { of: Draft }) | null>(null);
  roundLook = $state.raw<RoundLook | null>(null);
  /** When the group on the screen meets. */
  groupLook = $state.raw<GroupLook | null>(null);
  /** The classes of today and of the next days. */
  week = $state.raw<readonly ComingClass[]>([]);
  /** An answer to try for each clue of the round on the screen. */
  #said: string[] = [];
  /** For how many weeks the group's classes are shown. */
  #weeks = WEEKS;
  /** Why the last request failed, in a sentence. */
  problem = $state<string | null>(null);
  links = $state.raw<ClassLinks | null>(null);
  /** The classes that have not ended. */
  classes = $state.raw<readonly ClassCard[]>([]);
  /** The plan from which the one on the screen was copied. */
  copied = $state.raw<Planned | null>(null);
  /** The plan that was removed last and can be brought back. */
  removed = $state.raw<Planned | null>(null);
  /** Whether nobody is signed in in this browser any more. */
  shut = $state(false);
  /** Whether whoever is signed in plans, and looks after groups and people. */
  mayPlan = $state(true);
  #underWay = new Set<string>();
  #last: Promise<void> = Promise.resolve();
  #looks = 0;

  constructor(
    private readonly server: PlannerServer,
    private readonly copies: Copies,
    private readonly later: Later,
  ) {}

  /** A helper plans nothing, and sees only which classes there are. */
  start(mayPlan: boolean): Promise<void> {
    this.mayPlan = mayPlan;
    return this.#once("start", () => this.#list());
  }

  /** The document on the screen. */
  get editor(): Opened["editor"] | null {
    return this.#opened?.editor ?? null;
  }

  get plan(): Editor<Kinds["plans"]> | null {
    return this.#on("plans");
  }

  get group(): Editor<Kinds["groups"]> | null {
    return this.#on("groups");
  }

  get person(): Editor<Kinds["people"]> | null {
    return this.#on("people");
  }

  get round(): Editor<Kinds["rounds"]> | null {
    return this.#on("rounds");
  }

  /** Whether the person on the screen was opened from a group. */
  get cameFromGroup(): boolean {
    return this.#cameFrom !== null;
  }

  /** Makes a document, and opens it. */
  make<K extends Kind>(kind: K, from: Begun[K]): Promise<void> {
    return this.#once("make", async () => {
      await this.editor?.save();
      await this.#replace(kind, await this.server.make(kind, from));
    });
  }

  /** Opens a document. What was open before is saved first. */
  open(kind: Kind, id: string): Promise<void> {
    return this.#once("open", async () => {
      const from = kind === "people" ? (this.group?.id ?? null) : null;
      await this.editor?.save();
      // Somebody else may have enrolled or renamed people.
      if (kind === "groups" || kind === "people") await this.#list();
      await this.#replace(kind, await this.server.read(kind, id));
      this.#cameFrom = from;
    });
  }

  /** Goes back to where the document was opened from. */
  async back(): Promise<void> {
    const from = this.#cameFrom;
    if (from !== null) await this.open("groups", from);
    // The group may have been removed in the meantime.
    if (from === null || !this.groups.some(({ id }) => id === from)) await this.close();
  }

  /** Goes back to the list. What cannot be saved now stays in its local copy. */
  close(): Promise<void> {
    return this.#once("close", async () => {
      await this.editor?.close();
      this.#clear();
      await this.#list();
    });
  }

  /** Saves what is not saved, for a page that may be closed at any moment. */
  async save(): Promise<void> {
    await this.editor?.save();
  }

  /** Whether this browser has a change to the document that the server does not have. */
  isUnsaved(id: string): boolean {
    return this.copies.get(id) !== null;
  }

  /**
   * Saves the document on this screen as a new one, with what is typed meanwhile; theirs, if it still exists, stays as
   * it is.
   */
  keepAsCopy(): Promise<void> {
    return this.#once("keepAsCopy", async () => {
      if (this.#opened) await this.#copy(this.#opened.kind);
    });
  }

  /** Removes the document on this screen. */
  remove(): Promise<void> {
    return this.#once("remove", async () => {
      const opened = this.#opened;
      if (!opened) return;
      const { kind, editor } = opened;
      await editor.save();
      await this.server.remove(kind, editor.id, { version: editor.version });
      editor.giveUp();
      this.#clear();
      await this.#list();
    });
  }

  /** Enrols a new person in the group on the screen. */
  enrolNew(name: string): Promise<void> {
    return this.#once(`enrol ${name}`, async () => {
      const { group } = this;
      if (!group) return;
      const person = newPerson(name);
      // Two people of one name in two groups are two people, also when an answer was lost.
      const { id } = await this.server.make("people", person, group.id);
      this.people = [...this.people, { ...person, id, decisions: 0, health_hidden: false }];
      group.change({ ...group.content, people: [...group.content.people, id] });
    });
  }

  /** Enrols somebody in the group on the screen. */
  enrol(id: string): void {
    const { group } = this;
    if (group) group.change({ ...group.content, people: [...group.content.people, id] });
  }

  /** The plan's group if it or one of its people is not saved: a class would begin without the latest changes. */
  get unsavedGroup(): string | null {
    const id = this.plan?.content.group ?? null;
    if (id === null) return null;
    const people = this.groups.find((group) => group.id === id)?.people ?? [];
    return [id, ...people].some((one) => this.isUnsaved(one)) ? id : null;
  }

  /** Begins a class from the plan on the screen. */
  beginClass(rehearsal: boolean): Promise<void> {
    return this.#onSaved("class", async ({ id, version }) => {
      this.links = await this.server.beginClass(id, { version, rehearsal });
    });
  }

  /** Makes new links for a class that was begun before. */
  findClass(id: string): Promise<void> {
    return this.#once("findClass", async () => {
      this.links = await this.server.classLinks(id);
    });
  }

  nextWeek(one_notch_on: boolean): Promise<void> {
    return this.#onSaved("nextWeek", async ({ id, version }) => {
      const before = this.plan?.content ?? null;
      this.#show("plans", await this.server.make("plans", { from: "next_week", id, version, one_notch_on }));
      this.copied = before;
    });
  }

  removePlan({ id, version }: PlanCard): Promise<void> {
    return this.#once("removePlan", async () => {
      const { content } = await this.server.remove("plans", id, { version });
      // What was not saved yet comes back too.
      this.removed = unsaved<Planned>(this.copies, id) ?? content;
      this.copies.remove(id);
      await this.#list();
    });
  }

  bringBack(): Promise<void> {
    return this.#once("bringBack", async () => {
      if (this.removed) await this.server.make("plans", copyOf.plans(this.removed));
      this.removed = null;
      await this.#list();
    });
  }

  /** Tries an answer to each clue of the round on the screen. */
  tryAnswers(said: string[]): void {
    this.#said = said;
    this.#lookSoon();
  }

  /** Shows the group's classes of more weeks. */
  lookFurther(): void {
    this.#weeks = Math.min(2 * this.#weeks, MOST_WEEKS);
    this.#lookSoon();
  }

  #on<K extends Kind>(kind: K): Editor<Kinds[K]> | null {
    // The kind tells what the editor holds.
    return this.#opened?.kind === kind ? (this.#opened.editor as unknown as Editor<Kinds[K]>) : null;
  }

  async #copy<K extends Kind>(kind: K): Promise<void> {
    const before = this.#on(kind);
    if (!before) return;
    const { content } = before;
    const copy = await this.server.make(kind, copyOf[kind](content));
    const typedMeanwhile = before.content;
    before.giveUp();
    this.#show(kind, copy);
    if (!isSame(typedMeanwhile, content)) this.#on(kind)?.change(typedMeanwhile);
  }

  /** Shows another document in place of the one on the screen. */
  async #replace<K extends Kind>(kind: K, kept: Versioned<Kinds[K]>): Promise<void> {
    await this.editor?.close();
    this.#show(kind, kept);
  }

  #show<K extends Kind>(kind: K, kept: Versioned<Kinds[K]>): void {
    this.#clear();
    const { copies, later } = this;
    mendOldCopy(copies, kind, kept.id);
    const host: Host<Kinds[K]> = {
      save: (id, after, content) => this.server.save(kind, id, { after, content }),
      copies,
      later,
      changed: () => this.#lookSoon(),
      refused: (error) => void (this.shut ||= error.status === 401),
    };
    this.#opened = { kind, editor: new Editor(kept, host) } as unknown as Opened;
    this.#lookSoon();
  }

  #clear(): void {
    this.#opened = null;
    this.#cameFrom = null;
    this.look = null;
    this.roundLook = null;
    this.groupLook = null;
    this.#weeks = WEEKS;
    this.#said = [];
    this.links = null;
    this.copied = null;
    this.removed = null;
  }

  async #list(): Promise<void> {
    const { server } = this;
    if (!this.mayPlan) {
      [this.week, this.classes] = await Promise.all([server.week(), server.classes()]);
      this.isReady = true;
      return;
    }
    const documents = [server.cards("plans"), server.cards("groups"), server.cards("people")] as const;
    const [plans, groups, people, week, rounds, unreadable, classes] = await Promise.all([
      ...documents,
      server.week(),
      server.cards("rounds"),
      server.unreadable(),
      server.classes(),
    ]);
    // The library has the rounds that were written, here or in another browser.
    if (!this.book || !isSame(rounds, this.rounds)) this.book = await server.library();
    [this.plans, this.groups, this.people, this.rounds] = [plans, groups, people, rounds];
    [this.week, this.unreadable, this.classes] = [week, unreadable, classes];
    this.isReady = true;
  }

  #lookSoon(): void {
    if (this.plan ?? this.round ?? this.group) this.later("look", LOOK_MS, () => this.#lookNow());
  }

  async #lookNow(): Promise<void> {
    const { plan, round, group } = this;
    const number = ++this.#looks;
    // A late answer says nothing about a newer draft.
    const isNewest = () =>
      number === this.#looks && this.plan === plan && this.round === round && this.group === group;
    try {
      if (plan) {
        const planned = plan.content;
        const look = await this.server.look({ plan: plan.id, planned });
        if (isNewest()) this.look = { ...look, of: planned.draft };
      } else if (round) {
        const look = await this.server.lookAtRound({ round: round.content, said: this.#said });
        if (isNewest()) this.roundLook = look;
      } else if (group) {
        const look = await this.server.lookAtGroup({ group: group.content, weeks: this.#weeks });
        if (isNewest()) this.groupLook = look;
      }
    } catch (error) {
      // What is wrong with a group is said where it is saved.
      if (error instanceof Refused && !(group && error.status === 422)) this.#hear(error);
      else if (!(error instanceof Refused)) this.later("look", AGAIN_MS, () => this.#lookNow());
    }
  }

  /** Does something with the plan as the server has it, once everything on the screen is saved. */
  #onSaved(what: string, run: (plan: { id: string; version: number }) => Promise<void>): Promise<void> {
    return this.#once(what, async () => {
      const { plan } = this;
      await plan?.save();
      if (!plan || plan.saving !== "saved") return;
      try {
        await run({ id: plan.id, version: plan.version });
      } catch (error) {
        if (!(error instanceof Refused) || error.code !== "behind") throw error;
        await plan.meet(await this.server.read("plans", plan.id));
        this.problem = error.message;
      }
    });
  }

  /** Makes one request after the other; a second tap on one that is under way does nothing. */
  async #once(what: string, run: () => Promise<void>): Promise<void> {
    if (this.#underWay.has(what)) return;
    this.#underWay.add(what);
    this.#last = this.#last.then(async () => {
      this.problem = null;
      await run().catch((error: unknown) => this.#hear(error));
      this.#underWay.delete(what);
    });
    await this.#last;
  }

  #hear(error: unknown): void {
    if (error instanceof Refused && error.status === 401) this.shut = true;
    this.problem = error instanceof Error ? error.message : String(error);
  }
}
