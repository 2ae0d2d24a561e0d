// A person's own page: whose link it is, what comes next, and the way into the class.

import { Refused } from "../http";
import type { Joined, OpenedOwn, OwnClass, OwnPage, OwnPlace } from "../wire/types";

/** How often the page asks while it waits. */
export const LOOK_MS = 5_000;

export interface OwnParts {
  look(token: string): Promise<{ name: string }>;
  open(token: string, shared: boolean): Promise<OpenedOwn>;
  page(link: string): Promise<OwnPage>;
  come(link: string): Promise<Joined>;
  sendWord(link: string, group: string, of: string, comes: boolean): Promise<void>;
  done(link: string): Promise<void>;
  /** Keeps the language that staff noted for somebody, if nothing was chosen under their name on this device. */
  speaks(name: string, language: string): void;
  /** Goes on to the class. */
  enter(stay: string, shared: boolean): void;
  /** Goes to the own page of a link that was just opened. */
  settle(place: OwnPlace): void;
  /** Goes to the page with what there is to do at home. */
  practise(place: OwnPlace): void;
  /** Goes to the entry, where people give the class's code. */
  leave(): void;
  /** Whether a stop or a report from this device is still on its way. */
  isSending(): boolean;
  /** Forgets what this page kept on the device. */
  forget(): void;
}

/** What the server says of a link that is not, or no longer, open on this device. */
const ENDED = new Set(["dead_link", "no_pass", "link_ended"]);

export type OwnStep = "looking" | "asks" | "home" | "ended";

export class OwnState {
  step = $state<OwnStep>("looking");
  name = $state("");
  page = $state.raw<OwnPage | null>(null);
  /** Whether several people use this device. */
  shared = $state(false);
  working = $state(false);
  /** The code of what went wrong last; empty when nothing did. */
  problem = $state("");
  /** Whether a class was already on when the page was opened: then a key leads in, and the page does not go by itself. */
  #wasOpen: boolean | null = null;

  constructor(
    private readonly token: string | null,
    private readonly link: string | null,
    private readonly parts: OwnParts,
  ) {}

  /** Finds out whose page it is. */
  async begin(): Promise<void> {
    if (this.token !== null) {
      const token = this.token;
      await this.#attempt(async () => {
        this.name = (await this.parts.look(token)).name;
        this.step = "asks";
      });
    } else if (this.link !== null) {
      await this.lookAgain();
    } else {
      this.step = "ended";
    }
  }

  /** It is them: into the class if one is on, otherwise to their page, which says what became of the class. */
  yes(): Promise<void> {
    return this.#attempt(async () => {
      const { place, language } = await this.parts.open(this.token ?? "", this.shared);
      if (language !== null) this.parts.speaks(this.name, language);
      if (!(await this.#enters(place).catch(() => false))) this.parts.settle(place);
    });
  }

  no(): void {
    this.parts.leave();
  }

  /**
   * Asks what is new. A class that opens while the page waits lets the person in by itself, unless they said that they
   * cannot come: then they may be elsewhere, and the desk must not take them for present.
   */
  async lookAgain(): Promise<void> {
    const link = this.link;
    if (link === null || this.working) return;
    await this.#attempt(async () => {
      const page = await this.parts.page(link);
      [this.page, this.name, this.shared, this.step] = [page, page.name, page.shared, "home"];
      this.#wasOpen ??= page.open;
      const comes = page.classes[0]?.comes ?? true;
      if (page.open && !this.#wasOpen && comes) await this.#enters({ link, shared: page.shared });
      if (!page.open) this.#wasOpen = false;
    }, false);
  }

  /** To what the person was given to do at home. */
  practise(): void {
    this.parts.practise({ link: this.link ?? "", shared: this.shared });
  }

  comeIn(): Promise<void> {
    return this.#attempt(async () => {
      await this.#enters({ link: this.link ?? "", shared: this.shared });
    });
  }

  sendWord(to: OwnClass, comes: boolean): Promise<void> {
    const link = this.link ?? "";
    return this.#attempt(async () => {
      await this.parts.sendWord(link, to.group, to.of, comes);
      this.page = await this.parts.page(link);
    });
  }

  /** Leaves nothing on a device that several people use. */
  done(): Promise<void> {
    return this.#attempt(async () => {
      // What is still on its way would be lost with the pass that sends it.
      if (this.parts.isSending()) throw new Refused(0, "sending", "");
      await this.parts.done(this.link ?? "");
      this.parts.forget();
      this.parts.leave();
    });
  }

  /** Whether a class took the person in. */
  async #enters({ link, shared }: OwnPlace): Promise<boolean> {
    try {
      const { stay } = await this.parts.come(link);
      this.parts.enter(stay, shared);
      return true;
    } catch (error) {
      if (error instanceof Refused && (error.code === "not_open" || error.code === "code_over")) return false;
      throw error;
    }
  }

  async #attempt(act: () => Promise<void>, says = true): Promise<void> {
    if (this.working) return;
    this.working = true;
    try {
      await act();
      this.problem = "";
    } catch (error) {
      const code = error instanceof Refused ? error.code : "failed";
      if (ENDED.has(code)) this.step = "ended";
      // What fails while nobody asked for anything is tried again by itself.
      else if (says || this.page === null) this.problem = code;
    }
    this.working = false;
  }
}
