// Plain requests to the server. An answer is unknown until its shape was checked.

import type { Answer, Parcel } from "./outbox";
import type {
  AfterClass,
  Clearing,
  Content,
  EntryAnswer,
  HandoverCode,
  InviteRequest,
  Invited,
  Joined,
  MySession,
  Opened,
  AtDeskPerson,
  SeatId,
  Sheet,
} from "./wire/types";
import { site } from "./site";

/** A request that the server answered with a problem: its code and sentence. */
export class Refused extends Error {
  constructor(
    readonly status: number,
    readonly code: string,
    sentence: string,
  ) {
    super(sentence);
  }
}

/** A request without an answer for this long is given up and may be made again. */
const GIVE_UP_MS = 8_000;

export async function request(
  path: string,
  body?: unknown,
  method: "POST" | "PUT" | "DELETE" = "POST",
): Promise<unknown> {
  const signal = AbortSignal.timeout(GIVE_UP_MS);
  const init: RequestInit =
    body === undefined
      ? { signal }
      : {
          method,
          headers: { "content-type": "application/json" },
          body: JSON.stringify(body),
          signal,
        };
  const response = await fetch(site(path), init);
  const answer: unknown = await response.json().catch(() => null);
  if (response.ok) return answer;
  const problem = answer as { code?: unknown; text?: unknown } | null;
  throw new Refused(response.status, String(problem?.code ?? "unknown"), String(problem?.text ?? ""));
}

export function record(value: unknown, ...parts: string[]): object {
  if (typeof value === "object" && value !== null && parts.every((part) => part in value)) return value;
  throw new Error("the server's answer has another shape");
}

/** Random like `crypto.randomUUID`, which browsers offer over plain http only on the machine itself. */
export function newId(): string {
  if (typeof crypto.randomUUID === "function") return crypto.randomUUID();
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  bytes[6] = (bytes[6]! & 0x0f) | 0x40;
  bytes[8] = (bytes[8]! & 0x3f) | 0x80;
  return dashed(Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join(""));
}

/** An id of 32 hexadecimal digits as it is usually written. */
const dashed = (hex: string): string => hex.replace(/^(.{8})(.{4})(.{4})(.{4})/, "$1-$2-$3-$4-");

/**
 * The id of a request that makes something. It stays the same for the same `what` until the request is answered.
 */
const asked = new Map<string, string>();

/**
 * Makes something once, however often it is asked for: a request whose answer was lost is sent again with the same
 * id.
 */
export async function once<T>(what: string, ask: (request: string) => Promise<T>): Promise<T> {
  const request = asked.get(what) ?? newId();
  asked.set(what, request);
  try {
    const answer = await ask(request);
    asked.delete(what);
    return answer;
  } catch (error) {
    // A refusal is an answer too.
    if (error instanceof Refused && error.status < 500) asked.delete(what);
    throw error;
  }
}

export async function me(stay: string): Promise<Opened> {
  return record(await request(`/api/me/${stay}`), "role", "stay") as Opened;
}

/** The running classes that this browser is in. */
export async function mine(): Promise<MySession[]> {
  const answer = await request("/api/me");
  return Array.isArray(answer) ? (answer as MySession[]) : [];
}

export async function useLink(token: string): Promise<Opened> {
  const use = (id: string) => request("/api/pass", { token, request: id });
  return record(await once(`link ${token}`, use), "role", "stay") as Opened;
}

/** Which class a code opens, and this browser's own seat in it. */
export async function entry(code: string): Promise<EntryAnswer> {
  return record(await request("/api/entry", { code }), "title", "seat") as EntryAnswer;
}

export async function join(code: string, name: string): Promise<Joined> {
  const take = (id: string) => request("/api/join", { code, name, request: id });
  return record(await once(`join ${code} ${name}`, take), "stay", "place") as Joined;
}

/** The content of a step, in a language where that is not the library's own. */
export async function content(stay: string, id: number, rev: number, language: string): Promise<Content> {
  const inLanguage = language === "en" ? "" : `?in=${language}`;
  return record(
    await request(`/api/content/${stay}/${id}/${rev}${inLanguage}`),
    "timeline",
    "title",
  ) as Content;
}

/** Sends a parcel by plain request. Returns the server's answer, or nothing when there was none. */
export async function post(stay: string, parcel: Parcel): Promise<Answer | null> {
  const { id } = parcel;
  try {
    await request(`/api/commands/${stay}`, parcel);
    return { kind: "taken", id };
  } catch (error) {
    if (!(error instanceof Refused) || (error.status !== 409 && error.status !== 422)) return null;
    return { kind: "refused", id, code: error.code, text: error.message };
  }
}

/** What a desk asks for by plain requests, in its own session. */
export class DeskHttp {
  constructor(private readonly stay: string) {}

  async sheet(): Promise<Sheet> {
    return record(await this.#get("sheet"), "steps", "title") as Sheet;
  }

  async person(seat: SeatId): Promise<AtDeskPerson> {
    return record(await this.#get(`person/${seat}`), "seat", "reports", "contacts") as AtDeskPerson;
  }

  async after(): Promise<AfterClass> {
    return record(await this.#get("after"), "record", "concerns", "follow_ups") as AfterClass;
  }

  async clearing(): Promise<Clearing[]> {
    const answer = await this.#get("clearing");
    return Array.isArray(answer) ? (answer as Clearing[]) : [];
  }

  /** Makes a personal link: by name for a new person, or a new link for a seat. */
  async invite(whom: string | SeatId): Promise<string> {
    const make = (id: string) => {
      const body: InviteRequest =
        typeof whom === "string" ? { name: { name: whom, request: id } } : { seat: whom };
      return request(this.#path("invite"), body);
    };
    const invited = record(await once(`invite ${this.stay} ${whom}`, make), "path") as Invited;
    return new URL(site(invited.path), location.href).href;
  }

  async handoverCode(): Promise<HandoverCode> {
    return record(await request(this.#path("handover"), {}), "code") as HandoverCode;
  }

  /** The address of the home sheets of this class; a helper hands out none. */
  get sheets(): string | null {
    return this.notes?.replace("#notes.", "#sheets.") ?? null;
  }

  /** The address of the notes of this class; a helper writes none. */
  get notes(): string | null {
    const [session = "", role] = this.stay.split(".");
    return role === "facilitator" ? site(`/planner#notes.${dashed(session)}`) : null;
  }

  /** The address of the incident timeline as a table. */
  get incidentTable(): string {
    return site(this.#path("incidents.csv"));
  }

  #get(what: string): Promise<unknown> {
    return request(this.#path(what));
  }

  #path(what: string): string {
    return `/api/desk/${this.stay}/${what}`;
  }
}
