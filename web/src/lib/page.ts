// Connects a screen to its page: the parts that only a browser has.

import * as http from "./http";
import { language } from "./messages";
import { Outbox } from "./outbox";
import { device, forgiving } from "./shelf";
import { LiveSession, type SessionParts } from "./state/session.svelte";
import { stayIn } from "./stay";
import type { LastTime } from "./check-in";
import type { CheckIn, DeskCommand, Opened, ServerMessage } from "./wire/types";
import { site } from "./site";

const NUMBER = "samebreath.emergency-number";

/** Where small things are kept; on a device that keeps nothing, they are gone with the page. */
const kept = forgiving(device);

const LAST_TIME = "samebreath.last-time";
/** What somebody said is forgotten once they have been away this long, since others may use the device. */
const REMEMBERED_MS = 60 * 24 * 3_600_000;

/**
 * What this device kept from the last check-in under this name. It is only offered, since others may use the
 * device too.
 */
export function lastTime(name: string): LastTime {
  const nothing: LastTime = { place: "", contact: "", partner: "" };
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
    return { place: text("place"), contact: text("contact"), partner: text("partner") };
  } catch {
    return nothing;
  }
}

export function keepLastTime(name: string, answers: CheckIn): void {
  const { place, contact, partner } = answers;
  const said = { at: Date.now(), place, contact, partner: partner?.name ?? "" };
  kept.setItem(`${LAST_TIME}.${name}`, JSON.stringify(said));
}

/** Forgets what this device has kept about a person. */
function forgetLastTime(name: string): void {
  kept.removeItem(`${LAST_TIME}.${name}`);
}

/** The configured emergency number, which is known even without the network. */
export function emergencyNumber(): string | null {
  return kept.getItem(NUMBER) || null;
}

/** The stay of this page. Without one, the page goes to the entry, which says what can be done. */
export function ownStay(): string {
  const stay = stayIn(location.pathname);
  if (stay === null) location.replace(site("/"));
  return stay ?? "";
}

/** Makes the live session of a page and keeps it running. A desk's commands are not kept beyond the page. */
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
    url: `${scheme}//${location.host}${site(`/ws/${stay}`)}?in=${language}`,
    outbox,
    open: (url, protocol) => new WebSocket(url, protocol),
    post: (parcel) => http.post(stay, parcel),
    fetchContent: (id, rev) => http.content(stay, id, rev, language),
    monotonic: () => performance.now(),
    wall: () => Date.now(),
    random: Math.random,
    newId: http.newId,
    visible: () => document.visibilityState === "visible",
    // The same address with a `#` in it would not load anew.
    onEnding: (ending) => (ending === "reload" ? location.reload() : location.replace(site("/"))),
    ...(onMessage ? { onMessage } : {}),
    ...(onUnsent ? { onUnsent } : {}),
  };
  const session = new LiveSession(parts);
  session.link.start();
  http.me(stay).then(
    (opened) => {
      session.title = opened.title;
      kept.setItem(NUMBER, opened.emergency_number ?? "");
      onOpened?.(opened);
      // The entry page says what is wrong with the seat.
      if (opened.place !== null && opened.place !== "in") location.replace(site("/"));
    },
    (error: unknown) => {
      if (error instanceof http.Refused && error.status === 401) location.replace(site("/"));
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
