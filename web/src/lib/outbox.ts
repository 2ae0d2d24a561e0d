// Commands on their way: kept in the browser's storage until the server acknowledged them, so that neither a reload
// nor a dead battery nor a restart of the server loses a report. Each has a place of its own there, named by the
// stay that it belongs to: two tabs write beside each other, and nothing of one class is sent in another.

import type { ClientMessage, ServerMessage } from "./wire/types";
import type { Shelf } from "./shelf";

/** A command with the id by which it counts once. */
export type Parcel = Exclude<ClientMessage, { kind: "clock_ask" }>;

/** The server's answer to a parcel. */
export type Answer = Extract<ServerMessage, { kind: "taken" | "refused" }>;

/** A parcel as it is kept, with its place in the order of tapping. */
interface Kept {
  at: number;
  parcel: Parcel;
}

const PLACE = "samebreath.outbox.";

export class Outbox {
  #kept: Kept[];
  #unkept = new Set<string>();
  #last = 0;

  /** Goes on with what `shelf` holds of `stay`, whichever tab put it there. Without a shelf nothing outlives the page. */
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

  /** Keeps a parcel until `settle`: on the device first, so that nothing is shown that could still be lost unseen. */
  add(parcel: Parcel): void {
    // Two taps in one millisecond keep their order.
    this.#last = Math.max(this.wallMs(), this.#last + 1);
    const kept = { at: this.#last, parcel };
    if (!this.#keep(kept)) this.#unkept.add(parcel.id);
    this.#kept = [...this.#kept, kept];
  }

  /** The server has it, or refused it. True when it was on its way. */
  settle(id: string): boolean {
    const rest = this.#kept.filter(({ parcel }) => parcel.id !== id);
    const found = rest.length < this.#kept.length;
    this.#kept = rest;
    this.#unkept.delete(id);
    try {
      this.shelf?.removeItem(this.#name(id));
    } catch {
      // It is sent once more at worst, and counts once.
    }
    return found;
  }

  /** Another tab put something here, or settled it. */
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
      return names.flatMap((name) => this.#readOne(name)).toSorted((a, b) => a.at - b.at);
    } catch {
      return [];
    }
  }

  #readOne(name: string): Kept[] {
    try {
      const value: unknown = JSON.parse(this.shelf?.getItem(name) ?? "null");
      return isKept(value) ? [value] : [];
    } catch {
      return [];
    }
  }
}

/** Stops and reports go by plain request as well while the socket is down. */
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
