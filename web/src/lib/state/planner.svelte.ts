// What the planner holds: the list of plans, the plan being written, what it adds up to, and whether it
// is saved. No DOM: the server, the place for local copies and the timer come in as arguments.

import { Refused } from "../http";
import type {
  BeginClass,
  ClassLinks,
  Draft,
  LibraryBook,
  Look,
  NewPlan,
  PlanCard,
  PlanDoc,
  SavePlan,
  SavedPlan,
} from "../wire/types";

export interface PlannerServer {
  library(): Promise<LibraryBook>;
  plans(): Promise<PlanCard[]>;
  newPlan(from: NewPlan): Promise<PlanDoc>;
  plan(id: string): Promise<PlanDoc>;
  save(id: string, change: SavePlan): Promise<SavedPlan>;
  look(draft: Draft): Promise<Look>;
  beginClass(id: string, how: BeginClass): Promise<ClassLinks>;
}

/** Keeps what is not saved yet, so that a closed browser loses nothing. */
export interface Copies {
  get(id: string): string | null;
  set(id: string, text: string): void;
  remove(id: string): void;
}

/** Runs something later, in place of what `name` was to run; gives nothing back. */
export type Later = (name: string, afterMs: number, run: () => void) => void;

/** How far the newest change is. */
export type Saving = "saved" | "changed" | "saving" | "not_reached" | "behind";

interface Copy {
  version: number;
  draft: Draft;
  day: string | null;
}

const LOOK_MS = 120;
const SAVE_MS = 700;
const AGAIN_MS = 4_000;
/** Undo reaches this far back. */
const STEPS_BACK = 200;

export class PlannerState {
  book = $state.raw<LibraryBook | null>(null);
  plans = $state.raw<PlanCard[]>([]);
  doc = $state.raw<PlanDoc | null>(null);
  draft = $state.raw<Draft | null>(null);
  day = $state<string | null>(null);
  look = $state.raw<Look | null>(null);
  saving = $state<Saving>("saved");
  /** The other editor's plan, once theirs was saved first. */
  theirs = $state.raw<PlanDoc | null>(null);
  /** The last request that failed, in a sentence. */
  problem = $state<string | null>(null);
  links = $state.raw<ClassLinks | null>(null);
  /** This browser may not plan. */
  shut = $state(false);
  #past = $state.raw<Draft[]>([]);
  #future = $state.raw<Draft[]>([]);
  #looks = 0;

  constructor(
    private readonly server: PlannerServer,
    private readonly copies: Copies,
    private readonly later: Later,
  ) {}

  get canUndo(): boolean {
    return this.#past.length > 0;
  }

  get canRedo(): boolean {
    return this.#future.length > 0;
  }

  async start(): Promise<void> {
    await this.#try(async () => {
      this.book = await this.server.library();
      this.plans = await this.server.plans();
    });
  }

  async begin(from: NewPlan): Promise<void> {
    await this.#try(async () => this.#show(await this.server.newPlan(from)));
  }

  async open(id: string): Promise<void> {
    await this.#try(async () => {
      const doc = await this.server.plan(id);
      this.#show(doc);
      const copy = this.#copy(id);
      if (!copy || JSON.stringify(copy.draft) === JSON.stringify(doc.draft)) return;
      // A browser was closed before its last change was saved.
      this.draft = copy.draft;
      this.day = copy.day;
      if (copy.version === doc.version) this.#isChanged();
      else this.#isBehind(doc);
    });
  }

  /** Back to the list. What is not saved stays in its local copy, and is saved meanwhile. */
  async close(): Promise<void> {
    if (this.saving === "changed") await this.save();
    this.doc = null;
    this.draft = null;
    this.look = null;
    this.links = null;
    this.theirs = null;
    await this.start();
  }

  change(next: Draft): void {
    if (!this.draft || next === this.draft) return;
    this.#past = [...this.#past, this.draft].slice(-STEPS_BACK);
    this.#future = [];
    this.draft = next;
    this.#isChanged();
  }

  undo(): void {
    const before = this.#past.at(-1);
    if (!before || !this.draft) return;
    this.#past = this.#past.slice(0, -1);
    this.#future = [...this.#future, this.draft];
    this.draft = before;
    this.#isChanged();
  }

  redo(): void {
    const after = this.#future.at(-1);
    if (!after || !this.draft) return;
    this.#future = this.#future.slice(0, -1);
    this.#past = [...this.#past, this.draft];
    this.draft = after;
    this.#isChanged();
  }

  setDay(day: string | null): void {
    this.day = day;
    this.#isChanged();
  }

  async save(): Promise<void> {
    const { doc, draft, day } = this;
    if (!doc || !draft || this.saving === "saving" || this.saving === "behind") return;
    this.saving = "saving";
    try {
      const { saved, plan } = await this.server.save(doc.id, { after: doc.version, draft, day });
      if (this.doc?.id !== doc.id) return;
      if (!saved) return this.#isBehind(plan);
      this.doc = plan;
      const isNewest = this.draft === draft && this.day === day;
      this.saving = isNewest ? "saved" : "changed";
      if (isNewest) this.copies.remove(doc.id);
      else this.#isChanged();
    } catch (error) {
      if (this.doc?.id !== doc.id) return;
      this.saving = "not_reached";
      if (error instanceof Refused) this.#hear(error);
      this.later("save", AGAIN_MS, () => void this.save());
    }
  }

  /** Somebody else's plan in place of the one on this screen, which can be had back by undoing. */
  takeTheirs(): void {
    if (!this.theirs || !this.draft) return;
    this.#past = [...this.#past, this.draft];
    this.doc = this.theirs;
    this.draft = this.theirs.draft;
    this.day = this.theirs.day;
    this.theirs = null;
    this.saving = "saved";
    this.copies.remove(this.doc.id);
    this.#lookSoon();
  }

  /** The one on this screen as a plan of its own; theirs stays as it is. */
  async keepAsCopy(): Promise<void> {
    const { doc, draft, day } = this;
    if (!doc || !draft) return;
    await this.#try(async () => {
      const copy = await this.server.newPlan({ from: "copy", draft, day });
      this.copies.remove(doc.id);
      this.#show(copy);
    });
  }

  /** Begins a class of what is on the screen. */
  async beginClass(rehearsal: boolean): Promise<void> {
    await this.save();
    const { doc } = this;
    if (!doc || this.saving !== "saved") return;
    await this.#try(async () => {
      this.links = await this.server.beginClass(doc.id, { version: doc.version, rehearsal });
    });
  }

  async nextWeek(oneNotchOn: boolean): Promise<void> {
    await this.save();
    const { doc } = this;
    if (!doc || this.saving !== "saved") return;
    await this.begin({ from: "next_week", id: doc.id, version: doc.version, one_notch_on: oneNotchOn });
  }

  #show(doc: PlanDoc): void {
    this.doc = doc;
    this.draft = doc.draft;
    this.day = doc.day;
    this.saving = "saved";
    this.theirs = null;
    this.links = null;
    this.#past = [];
    this.#future = [];
    this.look = null;
    this.#lookSoon();
  }

  #isChanged(): void {
    const { doc, draft, day } = this;
    if (!doc || !draft) return;
    this.copies.set(doc.id, JSON.stringify({ version: doc.version, draft, day } satisfies Copy));
    this.#lookSoon();
    if (this.saving === "behind") return;
    if (this.saving !== "saving") this.saving = "changed";
    this.later("save", SAVE_MS, () => void this.save());
  }

  #isBehind(theirs: PlanDoc): void {
    this.saving = "behind";
    this.theirs = theirs;
    this.#lookSoon();
  }

  #lookSoon(): void {
    this.later("look", LOOK_MS, () => void this.#lookNow());
  }

  async #lookNow(): Promise<void> {
    if (!this.draft) return;
    const number = ++this.#looks;
    try {
      const look = await this.server.look(this.draft);
      // An answer that comes late says nothing of a newer draft.
      if (number === this.#looks) this.look = look;
    } catch (error) {
      if (error instanceof Refused) this.#hear(error);
      else this.later("look", AGAIN_MS, () => void this.#lookNow());
    }
  }

  #copy(id: string): Copy | null {
    try {
      const kept: unknown = JSON.parse(this.copies.get(id) ?? "null");
      const whole = typeof kept === "object" && kept !== null && "draft" in kept && "version" in kept;
      return whole ? (kept as Copy) : null;
    } catch {
      return null;
    }
  }

  async #try(run: () => Promise<void>): Promise<void> {
    this.problem = null;
    try {
      await run();
    } catch (error) {
      this.#hear(error);
    }
  }

  #hear(error: unknown): void {
    if (error instanceof Refused && error.status === 401) this.shut = true;
    this.problem = error instanceof Error ? error.message : String(error);
  }
}
