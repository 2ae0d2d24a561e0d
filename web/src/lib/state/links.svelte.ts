// The lasting links of one person, or the calendars of whoever is signed in. It knows no DOM.

import type { LetterCard, MadeOwnLink, Mailed, Medium, OwnLinkCard } from "../wire/types";

export interface LinksServer {
  /** `of` is the path of whose links they are. */
  ownLinks(of: string): Promise<OwnLinkCard[]>;
  newOwnLink(of: string, medium: Medium): Promise<MadeOwnLink>;
  endOwnLink(of: string, id: string): Promise<void>;
  mailLink(of: string, id: string): Promise<Mailed>;
  letters(of: string): Promise<LetterCard[]>;
}

/** Does something that may be grave, and says what went wrong. */
export type Attempt = (act: () => Promise<void>) => Promise<void>;

/** A link that was just made is shown for so long. */
export const SHOWN_MS = 120_000;

export class LinksState {
  cards = $state.raw<OwnLinkCard[] | null>(null);
  /** A link that was just made; nobody can read it again. */
  made = $state.raw<MadeOwnLink | null>(null);

  /** What came of sending the link. */
  mailed = $state.raw<Mailed | null>(null);
  /** What was sent to the person by mail, the newest first. */
  letters = $state.raw<LetterCard[]>([]);

  constructor(
    private readonly of: string,
    private readonly server: LinksServer,
    private readonly attempt: Attempt,
    private readonly later: (run: () => void, afterMs: number) => void,
  ) {}

  look(): Promise<void> {
    return this.attempt(async () => {
      this.cards = await this.server.ownLinks(this.of);
      await this.#lookAtLetters();
    });
  }

  make(medium: Medium): Promise<void> {
    return this.attempt(async () => {
      const made = await this.server.newOwnLink(this.of, medium);
      this.made = made;
      this.mailed = null;
      this.later(() => this.made === made && this.close(), SHOWN_MS);
      this.cards = await this.server.ownLinks(this.of);
    });
  }

  end(id: string): Promise<void> {
    return this.attempt(async () => {
      await this.server.endOwnLink(this.of, id);
      if (this.made?.card.id === id) this.made = null;
      this.cards = await this.server.ownLinks(this.of);
    });
  }

  /** Sends a link by mail. The letter has a token of its own, so what was shown of the link no longer works. */
  mail(id: string): Promise<void> {
    return this.attempt(async () => {
      this.mailed = await this.server.mailLink(this.of, id);
      if (this.mailed.posted > 0) this.close();
      await this.#lookAtLetters();
    });
  }

  close(): void {
    this.made = null;
  }

  /** Calendars of staff are not mailed. */
  async #lookAtLetters(): Promise<void> {
    const [, person] = /^(planner\/people\/[^/]+)\/links$/.exec(this.of) ?? [];
    if (person) this.letters = await this.server.letters(person);
  }
}
