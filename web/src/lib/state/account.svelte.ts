// Whoever is signed in: their own account, and for a coordinator everybody's. It knows no DOM.

import { Refused } from "../http";
import { asSentence, staffText as t } from "../messages/staff";
import type { Account, AccountCard, Colleague, Me, NewSecond, PasskeyCard } from "../wire/types";

export interface AccountServer {
  me(): Promise<Me>;
  again(password: string): Promise<void>;
  signOut(): Promise<void>;
  signOutOthers(): Promise<void>;
  signOutOne(id: string): Promise<void>;
  changePassword(from: string, to: string): Promise<void>;
  newCodes(): Promise<string[]>;
  newSecond(): Promise<NewSecond>;
  turnOnSecond(secret: string, code: string): Promise<void>;
  turnOffSecond(password: string): Promise<void>;
  accounts(): Promise<AccountCard[]>;
  colleagues(): Promise<Colleague[]>;
  newAccount(account: Account): Promise<AccountCard>;
  changeAccount(id: string, after: number, account: Account): Promise<void>;
  endAccount(id: string): Promise<void>;
  accountLink(id: string): Promise<string>;
  passkeys(): Promise<PasskeyCard[]>;
  addPasskey(name: string): Promise<void>;
  removePasskey(id: string): Promise<void>;
  signInByPasskey(name: string): Promise<void>;
  askToLink(): Promise<string>;
  unlink(): Promise<void>;
}

/** A link that was just made, and for whom; it is shown once. */
export interface ShownLink {
  name: string;
  link: string;
}

export class AccountState {
  me = $state.raw<Me | null>(null);
  accounts = $state.raw<AccountCard[]>([]);
  colleagues = $state.raw<Colleague[]>([]);
  passkeys = $state.raw<PasskeyCard[]>([]);
  /** Recovery codes that were just made. */
  codes = $state.raw<string[]>([]);
  /** A second factor that is being set up. */
  second = $state.raw<NewSecond | null>(null);
  shownLink = $state.raw<ShownLink | null>(null);
  /** Why the last request failed, and what the last one did, in a sentence. */
  problem = $state<string | null>(null);
  done = $state<string | null>(null);
  /** What goes on once they have proved again who they are. */
  #waiting = $state.raw<(() => Promise<void>) | null>(null);
  isOut = $state(false);
  /** Whether they signed out themselves, here. */
  hasLeft = $state(false);
  #last: Promise<void> = Promise.resolve();

  /** `go` leaves for another site, from which they come back to this page. */
  constructor(
    private readonly server: AccountServer,
    private readonly go: (address: string) => void,
  ) {}

  /** Whether the password is asked for before something goes on. */
  get asksAgain(): boolean {
    return this.#waiting !== null;
  }

  get isCoordinator(): boolean {
    return this.me?.account.role === "coordinator";
  }

  start(): Promise<void> {
    return this.#do(() => this.#look());
  }

  prove(password: string): Promise<void> {
    return this.#prove(() => this.server.again(password));
  }

  proveByPasskey(): Promise<void> {
    return this.#prove(() => this.server.signInByPasskey(this.me?.account.sign_in ?? ""));
  }

  #prove(by: () => Promise<void>): Promise<void> {
    return this.#do(async () => {
      await by();
      const waiting = this.#waiting;
      this.#waiting = null;
      await waiting?.();
    });
  }

  notNow(): void {
    this.#waiting = null;
  }

  /** Signs out, after everything is saved: the browser forgets what was stored in it. */
  signOut(saveAll: () => Promise<void>): Promise<void> {
    return this.#do(async () => {
      await saveAll();
      await this.server.signOut();
      [this.isOut, this.hasLeft] = [true, true];
    });
  }

  signOutOthers(): Promise<void> {
    return this.#changing(() => this.server.signOutOthers());
  }

  signOutOne(id: string): Promise<void> {
    return this.#changing(() => this.server.signOutOne(id));
  }

  changePassword(from: string, to: string): Promise<void> {
    return this.#changing(async () => {
      await this.server.changePassword(from, to);
      this.done = t.changed;
    });
  }

  addPasskey(name: string): Promise<void> {
    return this.#changing(() => this.server.addPasskey(name));
  }

  removePasskey(id: string): Promise<void> {
    return this.#changing(() => this.server.removePasskey(id));
  }

  /** Goes to the organisation's own sign-in, after everything is saved, to link it. */
  linkIdentity(saveAll: () => Promise<void>): Promise<void> {
    return this.#changing(async () => {
      const address = await this.server.askToLink();
      await saveAll();
      this.go(address);
    });
  }

  unlinkIdentity(): Promise<void> {
    return this.#changing(() => this.server.unlink());
  }

  newCodes(): Promise<void> {
    return this.#changing(async () => void (this.codes = await this.server.newCodes()));
  }

  codesKept(): void {
    this.codes = [];
  }

  setUpSecond(): Promise<void> {
    return this.#changing(async () => void (this.second = await this.server.newSecond()));
  }

  turnOnSecond(code: string): Promise<void> {
    return this.#changing(async () => {
      await this.server.turnOnSecond(this.second?.secret ?? "", code);
      this.second = null;
    });
  }

  turnOffSecond(password: string): Promise<void> {
    return this.#changing(() => this.server.turnOffSecond(password));
  }

  invite(account: Account): Promise<void> {
    return this.#changing(async () => {
      const { id } = await this.server.newAccount(account);
      this.shownLink = { name: account.name, link: await this.server.accountLink(id) };
    });
  }

  newLink({ id, account }: AccountCard): Promise<void> {
    return this.#changing(async () => {
      this.shownLink = { name: account.name, link: await this.server.accountLink(id) };
    });
  }

  change(card: AccountCard, account: Account): Promise<void> {
    return this.#changing(async () => {
      try {
        await this.server.changeAccount(card.id, card.version, account);
      } catch (error) {
        if (!(error instanceof Refused) || error.code !== "behind") throw error;
        await this.#look();
        this.problem = t.behind;
      }
    });
  }

  end({ id }: AccountCard): Promise<void> {
    return this.#changing(() => this.server.endAccount(id));
  }

  /** Does something of another page that may be grave. */
  attempt(act: () => Promise<void>): Promise<void> {
    return this.#do(act);
  }

  /** Does something, and looks again at what has become of the accounts. */
  #changing(act: () => Promise<void>): Promise<void> {
    this.shownLink = null;
    return this.#do(async () => {
      await act();
      const { problem } = this;
      await this.#look();
      this.problem = problem;
    });
  }

  async #look(): Promise<void> {
    this.me = await this.server.me();
    if (this.me.has_password) this.passkeys = await this.server.passkeys();
    if (this.isCoordinator) this.accounts = await this.server.accounts();
    if (this.me.account.role !== "helper") this.colleagues = await this.server.colleagues();
  }

  /** Does one thing after the other. What is grave goes on after they have proved who they are. */
  async #do(act: () => Promise<void>): Promise<void> {
    this.#last = this.#last.then(async () => {
      this.problem = null;
      this.done = null;
      try {
        await act();
      } catch (error) {
        if (!(error instanceof Refused)) this.problem = t.failed;
        else if (error.code === "prove_again") this.#waiting = () => act().then(() => this.#look());
        else if (error.code === "not_signed_in") this.isOut = true;
        else this.problem = asSentence(error.message);
      }
    });
    await this.#last;
  }
}
