// The local copies of what is not saved yet. It is pure.

import type { Kind, Kinds } from "./kinds";

interface Copies {
  get(id: string): string | null;
  remove(id: string): void;
}

/** The local copy of a document's unsaved changes; null where there is none. */
export function unsaved<T>(copies: Copies, id: string): T | null {
  try {
    return (JSON.parse(copies.get(id) ?? "null") as { content?: T } | null)?.content ?? null;
  } catch {
    return null;
  }
}

/** Drops a copy that an earlier version kept, in which people were parts of their group; nothing here can show it. */
export function dropOldCopy(copies: Copies, kind: Kind, id: string): void {
  if (kind !== "groups") return;
  if (unsaved<Partial<Kinds["groups"]>>(copies, id)?.others === undefined) copies.remove(id);
}
