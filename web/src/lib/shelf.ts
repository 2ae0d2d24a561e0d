// The browser's storage, which may be full, forbidden, or throw when it is only touched. Whatever it does, the
// page goes on; what could not be kept lives as long as the page, and the page can say so.

/** A place that keeps texts by name. */
export interface Shelf {
  getItem(name: string): string | null;
  /** Throws when it cannot keep the text. */
  setItem(name: string, text: string): void;
  removeItem(name: string): void;
  /** The names of all that it keeps. */
  names(): string[];
}

/** Keeps nothing beyond the page. */
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

/** A storage of the browser; null where it may not be touched. */
export function browserShelf(storage: () => Storage): Shelf | null {
  try {
    const kept = storage();
    // Some browsers give a storage that throws at the first use.
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

/** What is kept on this device across visits, where that is allowed. */
export const device: Shelf | null =
  typeof window === "undefined" ? null : browserShelf(() => window.localStorage);

/** For a device that keeps nothing, where what is not kept must not look as if it were. */
export const NOTHING: Shelf = {
  getItem: () => null,
  setItem: () => undefined,
  removeItem: () => undefined,
  names: () => [],
};

/** A shelf that always answers: it forgets with the page what the device cannot keep. */
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
