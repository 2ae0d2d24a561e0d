// The copy of the practice page that opens without the network: it is made by a service worker, on a device of one's own only.

import { site } from "../site";

export class OfflineCopy {
  /** Whether a new version of the page waits to be taken. */
  waits = $state(false);
  /** Whether the browser has promised to keep what the page stores. */
  isPersisted = false;
  #begun = false;
  #waiting: ServiceWorker | null = null;

  /** Makes the copy, or looks for a new version of it. */
  async begin(): Promise<void> {
    if (this.#begun || !("serviceWorker" in navigator)) return;
    this.#begun = true;
    try {
      // The address is a trusted one (a browser without trusted types takes it as it is).
      const url = trusted(site("/sw.js"));
      const options: RegistrationOptions = { scope: site("/practice"), updateViaCache: "none" };
      const copy = await navigator.serviceWorker.register(url as string, options);
      this.#found(copy.waiting);
      copy.addEventListener("updatefound", () => {
        const coming = copy.installing;
        coming?.addEventListener("statechange", () => this.#found(copy.waiting));
      });
      // Some browsers ask the person, who may take their time.
      void navigator.storage?.persist?.().then((kept) => (this.isPersisted = kept));
      setInterval(() => void copy.update().catch(() => undefined), HOUR_MS);
    } catch (error) {
      // Without a copy the page works as long as there is a network.
      this.#begun = false;
      console.error(error);
    }
  }

  /** The first version waits for nobody. */
  #found(waiting: ServiceWorker | null): void {
    this.#waiting = waiting;
    this.waits = waiting !== null && navigator.serviceWorker.controller !== null;
  }

  /** Takes the new version: the page loads anew with it. */
  take = (): void => {
    navigator.serviceWorker.addEventListener("controllerchange", () => location.reload(), { once: true });
    this.#waiting?.postMessage("take");
  };
}

const HOUR_MS = 3_600_000;

interface Policies {
  createPolicy(
    name: string,
    rules: { createScriptURL(url: string): string },
  ): { createScriptURL(url: string): unknown };
}

/** Exactly one address may become a worker. */
function trusted(url: string): unknown {
  const { trustedTypes } = window as unknown as { trustedTypes?: Policies };
  if (!trustedTypes) return url;
  const only = (asked: string): string => {
    if (asked !== site("/sw.js")) throw new Error("no other worker");
    return asked;
  };
  return trustedTypes.createPolicy("samebreath-worker", { createScriptURL: only }).createScriptURL(url);
}
