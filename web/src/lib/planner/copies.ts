// The local copies of what is not saved yet. It is pure.

import { newPerson, type Kind, type Kinds } from "./kinds";

interface Copies {
  get(id: string): string | null;
  set(id: string, text: string): void;
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

/**
 * Mends a copy that an earlier version kept: a person had fewer fields. One in which people were parts of their group is
 * dropped; nothing here can show it.
 */
export function mendOldCopy(copies: Copies, kind: Kind, id: string): void {
  if (kind === "groups" && unsaved<Partial<Kinds["groups"]>>(copies, id)?.others === undefined)
    copies.remove(id);
  const person = kind === "people" ? unsaved<Partial<Kinds["people"]>>(copies, id) : null;
  if (person?.name === undefined || person.forms !== undefined) return;
  const copy = JSON.parse(copies.get(id) ?? "null") as object;
  copies.set(id, JSON.stringify({ ...copy, content: { ...newPerson(person.name), ...person } }));
}
