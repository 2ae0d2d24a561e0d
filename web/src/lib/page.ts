// The meeting point of a screen and its page: the parts that only a browser has.

import * as http from "./http";
import { language } from "./messages";
import { Outbox } from "./outbox";
import { device, forgiving } from "./shelf";
import { LiveSession, type SessionParts } from "./state/session.svelte";
import { stayIn } from "./stay";
import type { CheckIn, Company, DeskCommand, Opened, ServerMessage } from "./wire/types";

const NUMBER = "samebreath.emergency-number";

/** Where small things are kept; a device that keeps nothing forgets them with the page. */
const kept = forgiving(device);

/** What a person of this device said last time, and can keep. How somebody felt is not kept. */
export interface LastTime {
  place: string;
  contact: string;
  partner: string;
  company: Company | null;
  water: boolean | null;
}

const LAST_TIME = "samebreath.last-time";
/** What somebody said is forgotten when they were not here for so long: others may use this device. */
const REMEMBERED_MS = 60 * 24 * 3_600_000;

/** What was kept on this device from the last check-in in this name, to be offered: others may use it too. */
export function lastTime(name: string): LastTime {
  const nothing: LastTime = { place: "", contact: "", partner: "", company: null, water: null };
  try {
    const value: unknown = JSON.parse(kept.getItem(`${LAST_TIME}.${name}`) ?? "{}");
    if (typeof value !== "object" || value === null) return nothing;
    const at: unknown = Reflect.get(value, "at");
    if (typeof at !== "number" || Date.now() - at > REMEMBERED_MS) {
      forgetLastTime(name);
      return nothing;
    }
    const text = (name: string) => {
      const found: unknown = Reflect.get(value, name);
      return typeof found === "string" ? found : "";
    };
    const company: unknown = Reflect.get(value, "company");
    const water: unknown = Reflect.get(value, "water");
    return {
      place: text("place"),
      contact: text("contact"),
      partner: text("partner"),
      company: company === "alone" || company === "with" ? company : null,
      water: typeof water === "boolean" ? water : null,
    };
  } catch {
    return nothing;
  }
}

export function keepLastTime(name: string, answers: CheckIn): void {
  const { place, contact, company, water, partner } = answers;
  const said = { at: Date.now(), place, contact, company, water, partner: partner?.name ?? "" };
  kept.setItem(`${LAST_TIME}.${name}`, JSON.stringify(said));
}

/** Forgets what this device kept of a person. */
export function forgetLastTime(name: string): void {
  kept.removeItem(`${LAST_TIME}.${name}`);
}

/** The configured emergency number, also when the network is gone. */
export function emergencyNumber(): string | null {
  return kept.getItem(NUMBER) || null;
}

/** The place of this page in its session; without one the entry says what can be done. */
export function ownStay(): string {
  const stay = stayIn(location.pathname);
  if (stay === null) location.replace("/");
  return stay ?? "";
}

/** Makes the live session of a page and keeps it running. Of a desk's keys nothing is kept beyond the page. */
export function liveSession(
  stay: string,
  keeps: "keeps" | "forgets",
  onMessage?: (message: ServerMessage) => void,
  onOpened?: (opened: Opened) => void,
  onUnsent?: (command: DeskCommand) => void,
): LiveSession {
  const scheme = location.protocol === "https:" ? "wss:" : "ws:";
  const outbox = new Outbox(keeps === "keeps" ? device : null, stay, () => Date.now());
  const parts: SessionParts = {
    url: `${scheme}//${location.host}/ws/${stay}?in=${language}`,
    outbox,
    open: (url, protocol) => new WebSocket(url, protocol),
    post: (parcel) => http.post(stay, parcel),
    fetchContent: (id, rev) => http.content(stay, id, rev, language),
    monotonic: () => performance.now(),
    wall: () => Date.now(),
    random: Math.random,
    newId: http.newId,
    visible: () => document.visibilityState === "visible",
    onEnding: (ending) => location.replace(ending === "reload" ? location.href : "/"),
    ...(onMessage ? { onMessage } : {}),
    ...(onUnsent ? { onUnsent } : {}),
  };
  const session = new LiveSession(parts);
  session.link.start();
  http.me(stay).then(
    (opened) => {
      kept.setItem(NUMBER, opened.emergency_number ?? "");
      onOpened?.(opened);
      // The entry says what is the matter with the seat.
      if (opened.place !== null && opened.place !== "in") location.replace("/");
    },
    (error: unknown) => {
      if (error instanceof http.Refused && error.status === 401) location.replace("/");
    },
  );
  for (const [target, name] of [
    [window, "pageshow"],
    [window, "online"],
    [window, "focus"],
    [document, "resume"],
    [document, "visibilitychange"],
  ] as const) {
    target.addEventListener(name, () => {
      session.link.tellVisibility();
      session.tick();
      if (document.visibilityState === "visible") session.link.wake();
    });
  }
  window.addEventListener("offline", () => session.link.lose());
  window.addEventListener("storage", () => session.lookAgain());
  window.addEventListener("pagehide", (event) => {
    if (!event.persisted) session.link.end();
  });
  session.tick();
  return session;
}
