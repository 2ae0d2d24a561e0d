// The planner's plain requests.

import { record, request } from "./http";
import type {
  BeginClass,
  ClassLinks,
  Content,
  Draft,
  LibraryBook,
  Look,
  NewPlan,
  PlanCard,
  PlanDoc,
  SavePlan,
  SavedPlan,
  StepRequest,
} from "./wire/types";

export async function useLink(token: string): Promise<void> {
  await request("/api/planner/pass", { token });
}

export async function library(): Promise<LibraryBook> {
  return record(await request("/api/planner/library"), "drills", "clue_sets") as LibraryBook;
}

export async function plans(): Promise<PlanCard[]> {
  const list = await request("/api/planner/plans");
  if (!Array.isArray(list)) throw new Error("the server's answer has another shape");
  return list as PlanCard[];
}

export async function newPlan(from: NewPlan): Promise<PlanDoc> {
  return record(await request("/api/planner/plans", from), "draft", "version") as PlanDoc;
}

export async function plan(id: string): Promise<PlanDoc> {
  return record(await request(`/api/planner/plans/${id}`), "draft", "version") as PlanDoc;
}

export async function save(id: string, change: SavePlan): Promise<SavedPlan> {
  return record(await request(`/api/planner/plans/${id}`, change, "PUT"), "saved", "plan") as SavedPlan;
}

export async function look(draft: Draft): Promise<Look> {
  return record(await request("/api/planner/look", draft), "steps", "advice") as Look;
}

export async function preview(what: StepRequest): Promise<Content> {
  return record(await request("/api/planner/preview", what), "timeline", "title") as Content;
}

export async function beginClass(id: string, how: BeginClass): Promise<ClassLinks> {
  return record(await request(`/api/planner/plans/${id}/class`, how), "desk") as ClassLinks;
}

/** Where the plan's file is. */
export function fileUrl(id: string): string {
  return `/api/planner/plans/${id}/plan.toml`;
}
