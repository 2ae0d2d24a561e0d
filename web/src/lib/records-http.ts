// What staff read and write of classes that are over, by plain request.

import { once, record, Refused, request } from "./http";
import { site } from "./site";
import type { HomeClassServer } from "./state/home-class.svelte";
import type {
  AttendanceTable,
  ClassNotes,
  ClassSheets,
  HomeClassCard,
  HomeClassLook,
  PersonId,
  PersonOverTime,
  PeriodSums,
  Planned,
  SavedNote,
  SaveNote,
  ShownNote,
  SignNote,
  Versioned,
} from "./wire/types";

/** Who came to the last classes of a group. */
export async function attendance(group: string): Promise<AttendanceTable> {
  const answer = await request(`/api/planner/groups/${group}/attendance`);
  return record(answer, "classes", "people") as AttendanceTable;
}

/** A person over their classes. */
export async function weeks(person: PersonId): Promise<PersonOverTime> {
  const answer = await request(`/api/planner/people/${person}/progress`);
  return record(answer, "progress", "notes") as PersonOverTime;
}

/** One of the files of what a group's classes were. */
export const recordsFile = (group: string, file: string): Promise<Blob> =>
  blob(`/api/planner/groups/${group}/records/${file}`);

/** A plan as people would have it at home. */
export const homeClasses: HomeClassServer = {
  plan: async (id) =>
    record(await request(`/api/planner/plans/${id}`), "version", "content") as Versioned<Planned>,
  look: async (plan, ask) =>
    record(await request(`/api/planner/plans/${plan}/home-class/look`, ask), "people") as HomeClassLook,
  async publish(plan, what) {
    const send = (id: string) => request(`/api/planner/plans/${plan}/home-class`, { ...what, request: id });
    await once(`home class ${plan} ${JSON.stringify(what)}`, send);
  },
  async published(group) {
    const answer = await request(`/api/planner/groups/${group}/home-classes`);
    return Array.isArray(answer) ? (answer as HomeClassCard[]) : [];
  },
  async takeBack(id, version) {
    await request(`/api/planner/home-classes/${id}`, { version }, "DELETE");
  },
};

/** What a health record system is told of a person, or of a group and its people. */
export const healthRecord = (of: "people" | "groups", id: string, names: boolean): Promise<Blob> =>
  blob(`/api/planner/${of}/${id}/fhir.json?names=${names}`);

/** All that is kept of a person, for them. */
export const ownCopy = (person: PersonId): Promise<Blob> => blob(`/api/planner/people/${person}/copy.zip`);

async function blob(path: string): Promise<Blob> {
  const answer = await fetch(site(path));
  if (answer.ok) return answer.blob();
  const problem = (await answer.json().catch(() => null)) as { code?: unknown; text?: unknown } | null;
  throw new Refused(answer.status, String(problem?.code ?? "unknown"), String(problem?.text ?? ""));
}

const period = (from: string, to: string, below: number): string =>
  new URLSearchParams({ from, to, below: String(below) }).toString();

/** The sums of a period. */
export async function sums(from: string, to: string, below: number): Promise<PeriodSums> {
  const answer = await request(`/api/sums?${period(from, to, below)}`);
  return record(answer, "from", "sums") as PeriodSums;
}

/** The address of the same as a table. */
export const sumsUrl = (from: string, to: string, below: number): string =>
  site(`/api/sums.csv?${period(from, to, below)}`);

/** The home sheets of a class. */
export async function sheets(session: string): Promise<ClassSheets> {
  return record(await request(`/api/planner/classes/${session}/sheets`), "people", "day") as ClassSheets;
}

/** The notes of a class. */
export async function notes(session: string): Promise<ClassNotes> {
  const answer = await request(`/api/planner/classes/${session}/notes`);
  return record(answer, "people", "of_class") as ClassNotes;
}

/** Where the note about a person, or about the class as a whole, is kept. */
const noteOf = (session: string, person: PersonId | null): string =>
  person === null ? `/api/planner/classes/${session}/note` : `/api/planner/people/${person}/notes/${session}`;

export async function saveNote(
  session: string,
  person: PersonId | null,
  change: SaveNote,
): Promise<SavedNote> {
  return record(await request(noteOf(session, person), change, "PUT"), "saved", "words") as SavedNote;
}

/** Signs a note, once. */
export async function signNote(
  session: string,
  person: PersonId | null,
  what: Omit<SignNote, "request">,
): Promise<ShownNote> {
  const sign = (id: string) => request(noteOf(session, person), { request: id, ...what });
  const name = `note ${session} ${person} ${what.seen} ${JSON.stringify(what.words)}`;
  return record(await once(name, sign), "id", "sha256") as ShownNote;
}

/** Adds to a signed note, once. */
export async function addToNote(note: string, corrects: boolean, text: string): Promise<ShownNote> {
  const add = (id: string) => request(`/api/planner/notes/${note}/added`, { request: id, corrects, text });
  return record(await once(`add ${note} ${corrects} ${text}`, add), "id", "sha256") as ShownNote;
}
