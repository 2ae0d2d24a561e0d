// What the planner holds: plans, groups and rounds, the one being edited, and what it amounts to. It knows no DOM; the
// server, the place for local copies and the timer are passed in.

import { Refused } from "../http";
import { isSame } from "../same";
import { Editor, type Copies, type Host, type Later } from "./editor.svelte";
import type {
  BeginClass,
  ClassCard,
  ClassLinks,
  Group,
  GroupCard,
  LibraryBook,
  Look,
  LookAt,
  NewPlan,
  NewRound,
  PlanCard,
  Planned,
  Remove,
  RoundCard,
  RoundLook,
  RoundLookAt,
  Save,
  Saved,
  Unreadable,
  Versioned,
  WrittenRound,
} from "../wire/types";

export interface PlannerServer {
  library(): Promise<LibraryBook>;
  plans(): Promise<PlanCard[]>;
  newPlan(from: NewPlan): Promise<Versioned<Planned>>;
  plan(id: string): Promise<Versioned<Planned>>;
  savePlan(id: string, change: Save<Planned>): Promise<Saved<Planned>>;
  removePlan(id: string, which: Remove): Promise<Versioned<Planned>>;
  groups(): Promise<GroupCard[]>;
  newGroup(group: Group): Promise<Versioned<Group>>;
  group(id: string): Promise<Versioned<Group>>;
  saveGroup(id: string, change: Save<Group>): Promise<Saved<Group>>;
  removeGroup(id: string, which: Remove): Promise<Versioned<Group>>;
  rounds(): Promise<RoundCard[]>;
  newRound(from: NewRound): Promise<Versioned<WrittenRound>>;
  round(id: string): Promise<Versioned<WrittenRound>>;
  saveRound(id: string, change: Save<WrittenRound>): Promise<Saved<WrittenRound>>;
  removeRound(id: string, which: Remove): Promise<Versioned<WrittenRound>>;
  lookAtRound(at: RoundLookAt): Promise<RoundLook>;
  look(at: LookAt): Promise<Look>;
  beginClass(id: string, how: Omit<BeginClass, "request">): Promise<ClassLinks>;
  unreadable(): Promise<Unreadable[]>;
  classes(): Promise<ClassCard[]>;
  classLinks(id: string): Promise<ClassLinks>;
}

/** The local copy of a document's unsaved changes; null where there is none. */
function unsaved<T>(copies: Copies, id: string): T | null {
  try {
    return (JSON.parse(copies.get(id) ?? "null") as { content?: T } | null)?.content ?? null;
  } catch {
    return null;
  }
}

const LOOK_MS = 120;
const AGAIN_MS = 4_000;

export class PlannerState {
  book = $state.raw<LibraryBook | null>(null);
  plans = $state.raw<PlanCard[]>([]);
  groups = $state.raw<GroupCard[]>([]);
  /** The rounds of the word game that were written here. */
  rounds = $state.raw<RoundCard[]>([]);
  /** Classes whose records cannot be read. Everything else goes on, but somebody has to know. */
  unreadable = $state.raw<readonly Unreadable[]>([]);
  plan = $state.raw<Editor<Planned> | null>(null);
  group = $state.raw<Editor<Group> | null>(null);
  round = $state.raw<Editor<WrittenRound> | null>(null);
  look = $state.raw<Look | null>(null);
  roundLook = $state.raw<RoundLook | null>(null);
  /** An answer to try for each clue of the round on the screen. */
  #said: string[] = [];
  /** Why the last request failed, in a sentence. */
  problem = $state<string | null>(null);
  links = $state.raw<ClassLinks | null>(null);
  /** The classes that have not ended. */
  classes = $state.raw<readonly ClassCard[]>([]);
  /** The plan from which the one on the screen was copied. */
  copied = $state.raw<Planned | null>(null);
  /** The plan that was removed last and can be brought back. */
  removed = $state.raw<Planned | null>(null);
  /** Whether this browser lacks access to the planner. */
  shut = $state(false);
  #underWay = new Set<string>();
  #last: Promise<void> = Promise.resolve();
  #looks = 0;

  constructor(
    private readonly server: PlannerServer,
    private readonly copies: Copies,
    private readonly later: Later,
  ) {}

  start(): Promise<void> {
    return this.#once("start", () => this.#list());
  }

  begin(from: NewPlan): Promise<void> {
    return this.#once("begin", async () => this.#show(await this.server.newPlan(from)));
  }

  /** The document on the screen. */
  get open(): Editor<Planned> | Editor<Group> | Editor<WrittenRound> | null {
    return this.plan ?? this.group ?? this.round;
  }

  openPlan(id: string): Promise<void> {
    return this.#once("open", async () => this.#show(await this.server.plan(id)));
  }

  /** Goes back to the list. What cannot be saved now stays in its local copy. */
  close(): Promise<void> {
    return this.#once("close", async () => {
      await this.open?.close();
      this.#clear();
      await this.#list();
    });
  }

  /** Saves what is not saved, for a page that may be closed at any moment. */
  async save(): Promise<void> {
    await this.open?.save();
  }

  /** Whether this browser has a change to the document that the server does not have. */
  isUnsaved(id: string): boolean {
    return this.copies.get(id) !== null;
  }

  /** Saves the plan on this screen as a new one; theirs, if it still exists, stays as it is. */
  keepAsCopy(): Promise<void> {
    const make = (planned: Planned) => this.server.newPlan({ from: "copy", planned });
    return this.#keepAsCopy(
      () => this.plan,
      make,
      (kept) => this.#show(kept),
    );
  }

  /** Whether the plan's group is not saved: a class would then begin without the latest changes to its people. */
  get unsavedGroup(): string | null {
    const id = this.plan?.content.group ?? null;
    return id !== null && this.isUnsaved(id) ? id : null;
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
      this.#show(await this.server.newPlan({ from: "next_week", id, version, one_notch_on }));
      this.copied = before;
    });
  }

  removePlan({ id, version }: PlanCard): Promise<void> {
    return this.#once("removePlan", async () => {
      const { content } = await this.server.removePlan(id, { version });
      // What was not saved yet comes back too.
      this.removed = unsaved<Planned>(this.copies, id) ?? content;
      this.copies.remove(id);
      await this.#list();
    });
  }

  bringBack(): Promise<void> {
    return this.#once("bringBack", async () => {
      if (this.removed) await this.server.newPlan({ from: "copy", planned: this.removed });
      this.removed = null;
      await this.#list();
    });
  }

  newGroup(group: Group): Promise<void> {
    return this.#once("newGroup", async () => this.#showGroup(await this.server.newGroup(group)));
  }

  openGroup(id: string): Promise<void> {
    return this.#once("openGroup", async () => this.#showGroup(await this.server.group(id)));
  }

  /** Saves a group that somebody removed as a new one. */
  keepGroupAsCopy(): Promise<void> {
    const make = (group: Group) => this.server.newGroup(group);
    return this.#keepAsCopy(
      () => this.group,
      make,
      (kept) => this.#showGroup(kept),
    );
  }

  removeGroup(): Promise<void> {
    return this.#once("removeGroup", async () => {
      const { group } = this;
      if (!group) return;
      await group.save();
      await this.server.removeGroup(group.id, { version: group.version });
      group.giveUp();
      this.#clear();
      await this.#list();
    });
  }

  newRound(from: NewRound): Promise<void> {
    return this.#once("newRound", async () => this.#showRound(await this.server.newRound(from)));
  }

  openRound(id: string): Promise<void> {
    return this.#once("openRound", async () => this.#showRound(await this.server.round(id)));
  }

  /** Saves a round that somebody removed as a new one. */
  keepRoundAsCopy(): Promise<void> {
    const make = (round: WrittenRound) => this.server.newRound({ from: "copy", round });
    return this.#keepAsCopy(
      () => this.round,
      make,
      (kept) => this.#showRound(kept),
    );
  }

  removeRound(): Promise<void> {
    return this.#once("removeRound", async () => {
      const { round } = this;
      if (!round) return;
      await round.save();
      await this.server.removeRound(round.id, { version: round.version });
      round.giveUp();
      this.#clear();
      await this.#list();
    });
  }

  /** Tries an answer to each clue of the round on the screen. */
  tryAnswers(said: string[]): void {
    this.#said = said;
    this.#lookSoon();
  }

  /** Goes on with a copy of the document on the screen, and with what is typed while it is made. */
  #keepAsCopy<T>(
    open: () => Editor<T> | null,
    make: (content: T) => Promise<Versioned<T>>,
    show: (kept: Versioned<T>) => void,
  ): Promise<void> {
    return this.#once("keepAsCopy", async () => {
      const before = open();
      if (!before) return;
      const { content } = before;
      const copy = await make(content);
      const typedMeanwhile = before.content;
      before.giveUp();
      show(copy);
      if (!isSame(typedMeanwhile, content)) open()?.change(typedMeanwhile);
    });
  }

  #show(kept: Versioned<Planned>): void {
    this.#clear();
    this.plan = new Editor(
      kept,
      this.#host((id, after, content) => this.server.savePlan(id, { after, content })),
    );
    this.#lookSoon();
  }

  #showGroup(kept: Versioned<Group>): void {
    this.#clear();
    this.group = new Editor(
      kept,
      this.#host((id, after, content) => this.server.saveGroup(id, { after, content })),
    );
  }

  #showRound(kept: Versioned<WrittenRound>): void {
    this.#clear();
    this.round = new Editor(
      kept,
      this.#host((id, after, content) => this.server.saveRound(id, { after, content })),
    );
    this.#lookSoon();
  }

  #host<T>(save: Host<T>["save"]): Host<T> {
    const { copies, later } = this;
    const refused = (error: Refused): void => void (this.shut ||= error.status === 401);
    return { save, copies, later, changed: () => this.#lookSoon(), refused };
  }

  #clear(): void {
    this.plan = null;
    this.group = null;
    this.round = null;
    this.look = null;
    this.roundLook = null;
    this.#said = [];
    this.links = null;
    this.copied = null;
    this.removed = null;
  }

  async #list(): Promise<void> {
    const { server } = this;
    const lists = [server.plans(), server.groups(), server.rounds(), server.unreadable()] as const;
    const [plans, groups, rounds, unreadable, classes] = await Promise.all([...lists, server.classes()]);
    // The library has the rounds that were written, here or in another browser.
    if (!this.book || !isSame(rounds, this.rounds)) this.book = await server.library();
    [this.plans, this.groups, this.rounds, this.unreadable, this.classes] = [
      plans,
      groups,
      rounds,
      unreadable,
      classes,
    ];
  }

  #lookSoon(): void {
    if (this.plan ?? this.round) this.later("look", LOOK_MS, () => this.#lookNow());
  }

  async #lookNow(): Promise<void> {
    const { plan, round } = this;
    const number = ++this.#looks;
    // A late answer says nothing about a newer draft.
    const isNewest = () => number === this.#looks && this.plan === plan && this.round === round;
    try {
      if (plan) {
        const look = await this.server.look({ plan: plan.id, planned: plan.content });
        if (isNewest()) this.look = look;
      } else if (round) {
        const look = await this.server.lookAtRound({ round: round.content, said: this.#said });
        if (isNewest()) this.roundLook = look;
      }
    } catch (error) {
      if (error instanceof Refused) this.#hear(error);
      else this.later("look", AGAIN_MS, () => this.#lookNow());
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
        await plan.meet(await this.server.plan(plan.id));
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
