// The browser's storage, which may be full, forbidden, or throw as soon as it is touched. Whatever it does, the
// page goes on; what could not be stored lives as long as the page, and the page can say so.

import { SHARED } from "./stay";

/** A place that keeps texts by name. */
export interface Shelf {
  getItem(name: string): string | null;
  /** Throws when it cannot keep the text. */
  setItem(name: string, text: string): void;
  removeItem(name: string): void;
  /** The names of everything that it keeps. */
  names(): string[];
}

/** A shelf that keeps nothing beyond the page. */
export class MemoryShelf implements Shelf {
  #texts = new Map<string, string>();

  getItem(name: string): string | null {
    return this.#texts.get(name) ?? null;
  }

  setItem(name: string, text: string): void {
    this.#texts.set(name, text);
  }

  removeItem(name: string): void {
    this.#texts.delete(name);
  }

  names(): string[] {
    return [...this.#texts.keys()];
  }
}

/** A storage of the browser; null where it may not be used. */
export function browserShelf(storage: () => Storage): Shelf | null {
  try {
    const kept = storage();
    // Some browsers return a storage that throws at its first use.
    kept.getItem("samebreath");
    return {
      getItem: (name) => kept.getItem(name),
      setItem: (name, text) => kept.setItem(name, text),
      removeItem: (name) => kept.removeItem(name),
      names: () => Array.from({ length: kept.length }, (_, index) => kept.key(index) ?? ""),
    };
  } catch {
    return null;
  }
}

/** Whether several people use this device, by the address of the page. */
const isShared = typeof window !== "undefined" && window.location.hash === SHARED;

/** What is kept on this device between visits, where that is allowed; on one that several people use, only in this tab. */
export const device: Shelf | null =
  typeof window === "undefined"
    ? null
    : browserShelf(() => (isShared ? window.sessionStorage : window.localStorage));

/** For callers who need to know what was not kept: a device that keeps nothing must not look as if it did. */
export const NOTHING: Shelf = {
  getItem: () => null,
  setItem: () => undefined,
  removeItem: () => undefined,
  names: () => [],
};

/** A shelf that always answers: what the device cannot keep lives as long as the page. */
export function forgiving(shelf: Shelf | null): Shelf {
  const memory = new MemoryShelf();
  const attempt = <T>(act: (kept: Shelf) => T, otherwise: T): T => {
    try {
      return shelf ? act(shelf) : otherwise;
    } catch {
      return otherwise;
    }
  };
  return {
    getItem: (name) => memory.getItem(name) ?? attempt((kept) => kept.getItem(name), null),
    setItem(name, text) {
      const isKept = attempt((kept) => (kept.setItem(name, text), true), false);
      if (isKept) memory.removeItem(name);
      else memory.setItem(name, text);
    },
    removeItem(name) {
      memory.removeItem(name);
      attempt((kept) => kept.removeItem(name), undefined);
    },
    names: () => [...new Set([...memory.names(), ...attempt((kept) => kept.names(), [])])],
  };
}
