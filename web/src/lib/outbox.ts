// Commands on their way: kept in the browser's storage until the server acknowledged them, so that
// neither a reload nor a dead battery nor a restart of the server loses a report.

import type { ClientMessage, ServerMessage } from "./wire/types";

/** A command with the id by which it counts once. */
export type Parcel = Exclude<ClientMessage, { kind: "clock_ask" }>;

/** The server's answer to a parcel. */
export type Answer = Extract<ServerMessage, { kind: "taken" | "refused" }>;

/** The part of the browser's storage that is used here. */
export type Shelf = Pick<Storage, "getItem" | "setItem">;

export class Outbox {
  #parcels: Parcel[];

  /** Goes on with what `shelf` holds under `name`. */
  constructor(
    private readonly shelf: Shelf,
    private readonly name: string,
  ) {
    this.#parcels = read(shelf, name);
  }

  /** What is on its way, oldest first. */
  get parcels(): readonly Parcel[] {
    return this.#parcels;
  }

  /** Keeps a parcel until `settle`. */
  add(parcel: Parcel): void {
    this.#parcels = [...this.#parcels, parcel];
    this.#write();
  }

  /** The server has it, or refused it. True when it was on its way. */
  settle(id: string): boolean {
    const rest = this.#parcels.filter((parcel) => parcel.id !== id);
    const found = rest.length < this.#parcels.length;
    this.#parcels = rest;
    if (found) this.#write();
    return found;
  }

  #write(): void {
    try {
      this.shelf.setItem(this.name, JSON.stringify(this.#parcels));
    } catch {
      // Storage full or forbidden: the parcels stay in memory, as long as the page lives.
    }
  }
}

/** Stops and reports go by plain request as well while the socket is down. */
export function isForSafety(parcel: Parcel): boolean {
  return parcel.kind === "seat" && (parcel.command.do === "report" || parcel.command.do === "stop");
}

function read(shelf: Shelf, name: string): Parcel[] {
  try {
    const value: unknown = JSON.parse(shelf.getItem(name) ?? "[]");
    return Array.isArray(value) ? value.filter(isParcel) : [];
  } catch {
    return [];
  }
}

function isParcel(value: unknown): value is Parcel {
  if (typeof value !== "object" || value === null) return false;
  return "kind" in value && "id" in value && typeof value.id === "string" && "command" in value;
}
