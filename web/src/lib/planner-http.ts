// The planner's plain requests.

import { once, record, request } from "./http";
import type {
  BeginClass,
  ClassCard,
  ClassLinks,
  Content,
  Group,
  GroupCard,
  LibraryBook,
  Look,
  LookAt,
  NewPlan,
  NewRound,
  PlanCard,
  Planned,
  Remove,
  RoundCard,
  RoundLook,
  RoundLookAt,
  Save,
  Saved,
  StepRequest,
  Unreadable,
  Versioned,
  WrittenRound,
} from "./wire/types";
import { site } from "./site";

function list<T>(answer: unknown): T[] {
  if (!Array.isArray(answer)) throw new Error("the server's answer has another shape");
  return answer as T[];
}

const versioned = <T>(answer: unknown): Versioned<T> => record(answer, "content", "version") as Versioned<T>;
const saved = <T>(answer: unknown): Saved<T> => record(answer, "saved", "now") as Saved<T>;

/** Makes a document. A request whose answer was lost is sent again as the same one, and makes nothing twice. */
async function made<T>(where: string, from: unknown): Promise<Versioned<T>> {
  const make = (id: string) => request(`${where}?request=${id}`, from);
  return versioned(await once(`${where} ${JSON.stringify(from)}`, make));
}

export async function useLink(token: string): Promise<void> {
  await once(`planner ${token}`, (id) => request("/api/planner/pass", { token, request: id }));
}

export async function library(): Promise<LibraryBook> {
  return record(await request("/api/planner/library"), "drills", "clue_sets") as LibraryBook;
}

export async function plans(): Promise<PlanCard[]> {
  return list(await request("/api/planner/plans"));
}

export async function newPlan(from: NewPlan): Promise<Versioned<Planned>> {
  return made("/api/planner/plans", from);
}

export async function plan(id: string): Promise<Versioned<Planned>> {
  return versioned(await request(`/api/planner/plans/${id}`));
}

export async function savePlan(id: string, change: Save<Planned>): Promise<Saved<Planned>> {
  return saved(await request(`/api/planner/plans/${id}`, change, "PUT"));
}

export async function removePlan(id: string, which: Remove): Promise<Versioned<Planned>> {
  return versioned(await request(`/api/planner/plans/${id}`, which, "DELETE"));
}

export async function groups(): Promise<GroupCard[]> {
  return list(await request("/api/planner/groups"));
}

export async function newGroup(group: Group): Promise<Versioned<Group>> {
  return made("/api/planner/groups", group);
}

export async function group(id: string): Promise<Versioned<Group>> {
  return versioned(await request(`/api/planner/groups/${id}`));
}

export async function saveGroup(id: string, change: Save<Group>): Promise<Saved<Group>> {
  return saved(await request(`/api/planner/groups/${id}`, change, "PUT"));
}

export async function removeGroup(id: string, which: Remove): Promise<Versioned<Group>> {
  return versioned(await request(`/api/planner/groups/${id}`, which, "DELETE"));
}

export async function rounds(): Promise<RoundCard[]> {
  return list(await request("/api/planner/rounds"));
}

export async function newRound(from: NewRound): Promise<Versioned<WrittenRound>> {
  return made("/api/planner/rounds", from);
}

export async function round(id: string): Promise<Versioned<WrittenRound>> {
  return versioned(await request(`/api/planner/rounds/${id}`));
}

export async function saveRound(id: string, change: Save<WrittenRound>): Promise<Saved<WrittenRound>> {
  return saved(await request(`/api/planner/rounds/${id}`, change, "PUT"));
}

export async function removeRound(id: string, which: Remove): Promise<Versioned<WrittenRound>> {
  return versioned(await request(`/api/planner/rounds/${id}`, which, "DELETE"));
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

/** New links for a class. */
export async function classLinks(id: string): Promise<ClassLinks> {
  return record(await request(`/api/planner/classes/${id}/links`, {}), "desk") as ClassLinks;
}

/** The address of the plan's file. */
export function fileUrl(id: string): string {
  return site(`/api/planner/plans/${id}/plan.toml`);
}
