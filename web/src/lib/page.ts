// The meeting point of a screen and its page: the parts that only a browser has.

import * as http from "./http";
import type { Door } from "./http";
import { language } from "./messages";
import { Outbox } from "./outbox";
import { LiveSession, type SessionParts } from "./state/session.svelte";
import type { CheckIn, Company, Opened, ServerMessage } from "./wire/types";

/** Names the stay in one class, so that nothing tapped in another is sent here. */
const STAY = "samebreath.stay";
const NUMBER = "samebreath.emergency-number";

/** This browser is in a class: the same stay whichever way it came back. */
export function enterStay(stay: string | null): void {
  if (stay !== null) keep(STAY, stay);
}

/** Random like `crypto.randomUUID`, which plain http has only on this machine. */
function newId(): string {
  if (typeof crypto.randomUUID === "function") return crypto.randomUUID();
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  bytes[6] = (bytes[6]! & 0x0f) | 0x40;
  bytes[8] = (bytes[8]! & 0x3f) | 0x80;
  const hex = Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
  return hex.replace(/^(.{8})(.{4})(.{4})(.{4})/, "$1-$2-$3-$4-");
}

/** What a person of this device said last time, and can keep. How somebody felt is not kept. */
export interface LastTime {
  place: string;
  contact: string;
  partner: string;
  company: Company | null;
  water: boolean | null;
}

const LAST_TIME = "samebreath.last-time";

/** What was kept on this device from the last check-in in this name: others may use it too. */
export function lastTime(name: string): LastTime {
  const nothing: LastTime = { place: "", contact: "", partner: "", company: null, water: null };
  try {
    const kept: unknown = JSON.parse(recall(`${LAST_TIME}.${name}`) ?? "{}");
    if (typeof kept !== "object" || kept === null) return nothing;
    const text = (name: string) => {
      const value: unknown = Reflect.get(kept, name);
      return typeof value === "string" ? value : "";
    };
    const company: unknown = Reflect.get(kept, "company");
    const water: unknown = Reflect.get(kept, "water");
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
  keep(
    `${LAST_TIME}.${name}`,
    JSON.stringify({ place, contact, company, water, partner: partner?.name ?? "" }),
  );
}

/** The configured emergency number, also when the network is gone. */
export function emergencyNumber(): string | null {
  return recall(NUMBER);
}

/** Makes the live session of a screen and keeps it running. */
export function liveSession(
  door: Door,
  onMessage?: (message: ServerMessage) => void,
  onOpened?: (opened: Opened) => void,
): LiveSession {
  const scheme = location.protocol === "https:" ? "wss:" : "ws:";
  const parts: SessionParts = {
    door,
    url: `${scheme}//${location.host}/ws/${door}?in=${language}`,
    outbox: new Outbox(localStorage, `samebreath.outbox.${door}.${recall(STAY) ?? ""}`),
    open: (url, protocol) => new WebSocket(url, protocol),
    post: http.post,
    fetchContent: (at, id, rev) => http.content(at, id, rev, language),
    monotonic: () => performance.now(),
    wall: () => Date.now(),
    random: Math.random,
    newId,
    visible: () => document.visibilityState === "visible",
    onEnding: (ending) => location.replace(ending === "reload" ? location.href : "/"),
    ...(onMessage ? { onMessage } : {}),
  };
  const session = new LiveSession(parts);
  session.link.start();
  http.me(door).then(
    (opened) => {
      keep(NUMBER, opened.emergency_number ?? "");
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
  window.addEventListener("pagehide", (event) => {
    if (!event.persisted) session.link.end();
  });
  session.tick();
  return session;
}

function keep(name: string, value: string): void {
  try {
    localStorage.setItem(name, value);
  } catch {
    // Storage is full or forbidden; the page works without.
  }
}

function recall(name: string): string | null {
  try {
    return localStorage.getItem(name) || null;
  } catch {
    return null;
  }
}
