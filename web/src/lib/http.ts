// Plain requests to the server; what comes back is unknown until looked at.

import type { Answer, Parcel } from "./outbox";
import type {
  Content,
  HandoverCode,
  IncidentBook,
  InviteRequest,
  Invited,
  Joined,
  Opened,
  Person,
  SeatId,
  Sheet,
} from "./wire/types";

/** A request that was answered with a problem: its code and sentence. */
export class Refused extends Error {
  constructor(
    readonly status: number,
    readonly code: string,
    sentence: string,
  ) {
    super(sentence);
  }
}

/** A request without an answer for this long is given up, and may be made again. */
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
  const response = await fetch(path, init);
  const answer: unknown = await response.json().catch(() => null);
  if (response.ok) return answer;
  const problem = answer as { code?: unknown; text?: unknown } | null;
  throw new Refused(response.status, String(problem?.code ?? "unknown"), String(problem?.text ?? ""));
}

export function record(value: unknown, ...parts: string[]): object {
  if (typeof value === "object" && value !== null && parts.every((part) => part in value)) return value;
  throw new Error("the server's answer has another shape");
}

export type Door = "desk" | "seat" | "wall";

export async function me(door: Door): Promise<Opened> {
  return record(await request(`/api/me/${door}`), "role") as Opened;
}

export async function useLink(token: string): Promise<Opened> {
  return record(await request("/api/pass", { token }), "role") as Opened;
}

export async function join(code: string, name: string): Promise<Joined> {
  return record(await request("/api/join", { code, name }), "seat", "place", "stay") as Joined;
}

/** The content of a step, in a language where it is not the library's own. */
export async function content(door: Door, id: number, rev: number, language: string): Promise<Content> {
  const asked = language === "en" ? "" : `?in=${language}`;
  return record(await request(`/api/content/${door}/${id}/${rev}${asked}`), "timeline", "title") as Content;
}

export async function sheet(): Promise<Sheet> {
  return record(await request("/api/desk/sheet"), "steps", "title") as Sheet;
}

/** Makes a personal link for a new person, by name, or anew for a seat. */
export async function invite(whom: InviteRequest): Promise<string> {
  const invited = record(await request("/api/desk/invite", whom), "path") as Invited;
  return new URL(invited.path, location.href).href;
}

export async function handoverCode(): Promise<HandoverCode> {
  return record(await request("/api/desk/handover", {}), "code") as HandoverCode;
}

export async function person(seat: SeatId): Promise<Person> {
  return record(await request(`/api/desk/person/${seat}`), "seat", "reports") as Person;
}

export async function incidents(): Promise<IncidentBook> {
  return record(await request("/api/desk/incidents"), "incidents", "follow_ups") as IncidentBook;
}

/** Sends a parcel by plain request; the server's answer, or nothing when it gave none. */
export async function post(parcel: Parcel): Promise<Answer | null> {
  const { id } = parcel;
  try {
    await request("/api/commands", parcel);
    return { kind: "taken", id };
  } catch (error) {
    if (!(error instanceof Refused) || (error.status !== 409 && error.status !== 422)) return null;
    return { kind: "refused", id, code: error.code, text: error.message };
  }
}
