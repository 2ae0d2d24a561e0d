// Commands on their way. They are kept in the browser's storage until the server has acknowledged them, so that no
// report is lost to a reload, a dead battery or a restart of the server. Each is stored under its own name, which
// includes its stay: two tabs do not overwrite each other, and nothing from one class is sent in another.

import type { ClientMessage, ServerMessage } from "./wire/types";
import type { Shelf } from "./shelf";

/** A command, with the id by which it counts once. */
export type Parcel = Exclude<ClientMessage, { kind: "clock_ask" }>;

/** The server's answer to a parcel. */
export type Answer = Extract<ServerMessage, { kind: "taken" | "refused" }>;

/** A parcel as it is stored, with its place in the order of tapping. */
interface Kept {
  at: number;
  parcel: Parcel;
}

const PLACE = "samebreath.outbox.";

export class Outbox {
  #kept: Kept[];
  #unkept = new Set<string>();
  #last = 0;

  /**
   * Takes up what `shelf` holds for `stay`, whichever tab put it there. Without a shelf, nothing outlives the
   * page.
   */
  constructor(
    private readonly shelf: Shelf | null,
    private readonly stay: string,
    private readonly wallMs: () => number,
  ) {
    this.#kept = this.#read();
  }

  /** What is on its way, oldest first. */
  get parcels(): readonly Parcel[] {
    return this.#kept.map(({ parcel }) => parcel);
  }

  /** Whether something on its way would be lost with this page. */
  get isUnkept(): boolean {
    return this.#unkept.size > 0;
  }

  /**
   * Keeps a parcel until `settle`. It goes to the device first, so that nothing is shown as kept that could still
   * be lost.
   */
  add(parcel: Parcel): void {
    // Keeps the order of two taps in one millisecond.
    this.#last = Math.max(this.wallMs(), this.#last + 1);
    const kept = { at: this.#last, parcel };
    if (!this.#keep(kept)) this.#unkept.add(parcel.id);
    this.#kept = [...this.#kept, kept];
  }

  /** The server has taken or refused it. Returns true when it was on its way. */
  settle(id: string): boolean {
    const rest = this.#kept.filter(({ parcel }) => parcel.id !== id);
    const found = rest.length < this.#kept.length;
    this.#kept = rest;
    this.#unkept.delete(id);
    try {
      this.shelf?.removeItem(this.#name(id));
    } catch {
      // At worst it is sent once more, and it counts once.
    }
    return found;
  }

  /** Another tab added something here, or settled it. */
  lookAgain(): void {
    const there = new Map(this.#read().map((kept) => [kept.parcel.id, kept]));
    const ours = this.#kept.filter(({ parcel }) => there.has(parcel.id) || this.#unkept.has(parcel.id));
    const known = new Set(ours.map(({ parcel }) => parcel.id));
    const fresh = [...there.values()].filter(({ parcel }) => !known.has(parcel.id));
    this.#kept = [...ours, ...fresh].toSorted((a, b) => a.at - b.at);
  }

  #keep(kept: Kept): boolean {
    try {
      if (!this.shelf) return false;
      this.shelf.setItem(this.#name(kept.parcel.id), JSON.stringify(kept));
      return true;
    } catch {
      return false;
    }
  }

  #name(id: string): string {
    return `${PLACE}${this.stay}.${id}`;
  }

  #read(): Kept[] {
    try {
      const names = (this.shelf?.names() ?? []).filter((name) => name.startsWith(this.#name("")));
      return names.flatMap((name) => keptUnder(this.shelf, name)).toSorted((a, b) => a.at - b.at);
    } catch {
      return [];
    }
  }
}

/** Whether a parcel is also sent by plain request while the socket is down, as stops and reports are. */
export function isForSafety(parcel: Parcel): boolean {
  return parcel.kind === "seat" && (parcel.command.do === "report" || parcel.command.do === "stop");
}

function isKept(value: unknown): value is Kept {
  if (typeof value !== "object" || value === null || !("at" in value) || !("parcel" in value)) return false;
  return typeof value.at === "number" && isParcel(value.parcel);
}

function isParcel(value: unknown): value is Parcel {
  if (typeof value !== "object" || value === null) return false;
  return "kind" in value && "id" in value && typeof value.id === "string" && "command" in value;
}

/** What is kept under a name; nothing where it cannot be read. */
function keptUnder(shelf: Shelf | null, name: string): Kept[] {
  try {
    const value: unknown = JSON.parse(shelf?.getItem(name) ?? "null");
    return isKept(value) ? [value] : [];
  } catch {
    return [];
  }
}

/** Whether a shelf holds a stop or a report on its way, of whatever class. */
export function isSending(shelf: Shelf): boolean {
  const names = shelf.names().filter((name) => name.startsWith(PLACE));
  return names.flatMap((name) => keptUnder(shelf, name)).some(({ parcel }) => isForSafety(parcel));
}
