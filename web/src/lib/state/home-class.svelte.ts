// A plan that is to be published as a home class: for whom, how often, until when, and what each of them would have of it. It
// knows no DOM.

import type { Attempt } from "./links.svelte";
import type {
  HomeClassAsk,
  HomeClassCard,
  HomeClassLook,
  Planned,
  PublishHomeClass,
  Versioned,
} from "../wire/types";

export interface HomeClassServer {
  plan(id: string): Promise<Versioned<Planned>>;
  look(plan: string, ask: HomeClassAsk): Promise<HomeClassLook>;
  publish(plan: string, what: Omit<PublishHomeClass, "request">): Promise<void>;
  published(group: string): Promise<HomeClassCard[]>;
  takeBack(id: string, version: number): Promise<void>;
}

export class HomeClassState {
  plan = $state.raw<Versioned<Planned> | null>(null);
  /** What it would be for everybody of the group. */
  look = $state.raw<HomeClassLook | null>(null);
  published = $state.raw<HomeClassCard[]>([]);
  /** For whom it is; empty for everybody of the group. */
  person = $state("");
  days = $state(3);
  until = $state("");
  intro = $state("");
  /** Whether it was published just now. */
  done = $state(false);
  /** How often the form was changed. */
  #edits = 0;

  constructor(
    private readonly id: string,
    private readonly server: HomeClassServer,
    private readonly attempt: Attempt,
  ) {}

  open(): Promise<void> {
    return this.attempt(async () => {
      this.plan = await this.server.plan(this.id);
      if (this.plan.content.group === null) return;
      // What was published can be taken back, whatever has become of the plan.
      await this.#list();
      await this.#look();
      this.until = this.look?.until ?? "";
    });
  }

  /** Those for whom it would be. */
  get people(): HomeClassLook["people"] {
    const all = this.look?.people ?? [];
    return this.person === "" ? all : all.filter(({ person }) => person === this.person);
  }

  /** Whether somebody has a drill of it. */
  get isForSomebody(): boolean {
    return this.people.some(({ drills }) => drills > 0);
  }

  /** What is in the form now is not published. */
  edited(): void {
    this.#edits += 1;
    this.done = false;
  }

  setDays(days: number): Promise<void> {
    this.days = days;
    return this.attempt(() => this.#look());
  }

  async #look(): Promise<void> {
    if (!this.plan) return;
    const { version } = this.plan;
    this.look = await this.server.look(this.id, { version, person: null, days_a_week: this.days });
  }

  async #list(): Promise<void> {
    const group = this.plan?.content.group;
    if (group) this.published = await this.server.published(group);
  }

  publish(): Promise<void> {
    return this.attempt(async () => {
      if (!this.plan || this.done) return;
      const edits = this.#edits;
      await this.server.publish(this.id, {
        version: this.plan.version,
        person: this.person || null,
        intro: this.intro.trim() || null,
        days_a_week: this.days,
        until: this.until,
      });
      this.done = edits === this.#edits;
      await this.#list();
    });
  }

  takeBack({ id, version }: HomeClassCard): Promise<void> {
    return this.attempt(async () => {
      await this.server.takeBack(id, version);
      this.done = false;
      await this.#list();
    });
  }
}
