// The planner's plain requests.

import { once, record, request } from "./http";
import type { Begun, Cards, Kind, Kinds } from "./planner/kinds";
import type {
  BeginClass,
  ClassCard,
  ClassLinks,
  ComingClass,
  Content,
  GroupLook,
  GroupLookAt,
  LibraryBook,
  Look,
  LookAt,
  OpenedDesk,
  Remove,
  RoundLook,
  RoundLookAt,
  Save,
  Saved,
  StepRequest,
  Today,
  Unreadable,
  Versioned,
} from "./wire/types";
import { site } from "./site";

function list<T>(answer: unknown): T[] {
  if (!Array.isArray(answer)) throw new Error("the server's answer has another shape");
  return answer as T[];
}

const versioned = <T>(answer: unknown): Versioned<T> => record(answer, "content", "version") as Versioned<T>;
const saved = <T>(answer: unknown): Saved<T> => record(answer, "saved", "now") as Saved<T>;

export async function library(): Promise<LibraryBook> {
  return record(await request("/api/planner/library"), "drills", "clue_sets") as LibraryBook;
}

export async function cards<K extends Kind>(kind: K): Promise<Cards[K][]> {
  return list(await request(`/api/planner/${kind}`));
}

/** Makes a document. A request whose answer was lost is sent again as the same one, and makes nothing twice. */
export async function make<K extends Kind>(
  kind: K,
  from: Begun[K],
  where = "",
): Promise<Versioned<Kinds[K]>> {
  const ask = (id: string) => request(`/api/planner/${kind}?request=${id}`, from);
  return versioned(await once(`${kind} ${where} ${JSON.stringify(from)}`, ask));
}

export async function read<K extends Kind>(kind: K, id: string): Promise<Versioned<Kinds[K]>> {
  return versioned(await request(`/api/planner/${kind}/${id}`));
}

export async function save<K extends Kind>(
  kind: K,
  id: string,
  change: Save<Kinds[K]>,
): Promise<Saved<Kinds[K]>> {
  return saved(await request(`/api/planner/${kind}/${id}`, change, "PUT"));
}

export async function remove<K extends Kind>(
  kind: K,
  id: string,
  which: Remove,
): Promise<Versioned<Kinds[K]>> {
  return versioned(await request(`/api/planner/${kind}/${id}`, which, "DELETE"));
}

export async function lookAtGroup(at: GroupLookAt): Promise<GroupLook> {
  return record(await request("/api/planner/groups/look", at), "classes") as GroupLook;
}

/** The class of the day, and what is left to do. */
export async function today(): Promise<Today> {
  return record(await request("/api/planner/today"), "now", "left") as Today;
}

/** The classes of today and of the next days. */
export async function week(): Promise<ComingClass[]> {
  return list(await request("/api/planner/week"));
}

export async function lookAtRound(at: RoundLookAt): Promise<RoundLook> {
  return record(await request("/api/planner/rounds/look", at), "unfinished", "heard") as RoundLook;
}

export async function look(at: LookAt): Promise<Look> {
  return record(await request("/api/planner/look", at), "steps", "advice") as Look;
}

export async function preview(what: StepRequest): Promise<Content> {
  return record(await request("/api/planner/preview", what), "timeline", "title") as Content;
}

/** Begins a class from a plan, once: a request whose answer was lost is sent again with the same id. */
export async function beginClass(id: string, how: Omit<BeginClass, "request">): Promise<ClassLinks> {
  const { version, rehearsal } = how;
  const begin = (made: string) => request(`/api/planner/plans/${id}/class`, { ...how, request: made });
  return record(await once(`class ${id} ${version} ${rehearsal}`, begin), "desk") as ClassLinks;
}

/** The classes whose records cannot be read. */
export async function unreadable(): Promise<Unreadable[]> {
  return list(await request("/api/planner/unreadable"));
}

/** The classes that have not ended. */
export async function classes(): Promise<ClassCard[]> {
  return list(await request("/api/planner/classes"));
}

/** Opens the desk of a class in this browser, and returns its address. */
export async function openDesk(id: string): Promise<string> {
  const { stay } = record(await request(`/api/planner/classes/${id}/desk`, {}), "stay") as OpenedDesk;
  return site(`/desk/${stay}`);
}

/** New links for a class. */
export async function classLinks(id: string): Promise<ClassLinks> {
  return record(await request(`/api/planner/classes/${id}/links`, {}), "desk") as ClassLinks;
}

/** The address of a group's calendar file. */
export function calendarUrl(id: string): string {
  return site(`/api/planner/groups/${id}/class.ics`);
}

/** The address of the plan's file. */
export function fileUrl(id: string): string {
  return site(`/api/planner/plans/${id}/plan.toml`);
}
