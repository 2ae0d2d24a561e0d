import { expect, test } from "vitest";
import { Refused } from "../http";
import type {
  ClassNotes,
  NoteSheet,
  NoteWords,
  SavedNote,
  SaveNote,
  ShownNote,
  SignNote,
} from "../wire/types";
import { NotesState } from "./notes.svelte";

const NOBODY: NoteWords = { subjective: null, objective: null, assessment: null, plan: null };
const words = (assessment: string): NoteWords => ({ ...NOBODY, assessment });
const EMPTY: NoteSheet = {
  facts: [],
  seen: "facts",
  words: NOBODY,
  version: 0,
  signed: null,
  added: [],
  facts_differ: false,
};

/** The server's side of one note, Ada's, with colleagues who write in it too. */
class Server {
  sheet: NoteSheet = EMPTY;
  signed: NoteWords[] = [];
  saves: SaveNote[] = [];
  /** Whether answers are lost on their way. */
  isLost = false;
  #gate: Promise<void> = Promise.resolve();
  open: () => void = () => undefined;

  /** Keeps every answer back until `open`. */
  hold(): void {
    this.#gate = new Promise((open) => (this.open = open));
  }

  async notes(): Promise<ClassNotes> {
    const ada = { person: "ada", name: "Ada", attended: "screen", minutes: 50, sheet: this.sheet } as const;
    return {
      class: "c",
      title: "Hour",
      day: "2026-10-20",
      may_sign: true,
      people: [ada],
      guests: 0,
      of_class: EMPTY,
    };
  }

  async saveNote(_: string, person: string | null, { after, words }: SaveNote): Promise<SavedNote> {
    expect(person).toBe("ada");
    this.saves.push({ after, words });
    if (this.sheet.signed) throw new Refused(422, "body", "a note about this is signed already; add to it");
    const saved = after === this.sheet.version;
    if (saved) this.sheet = { ...this.sheet, version: after + 1, words };
    await this.#gate;
    if (this.isLost) throw new TypeError("no answer");
    return { saved, version: this.sheet.version, words: this.sheet.words };
  }

  async signNote(_: string, __: string | null, what: Omit<SignNote, "request">): Promise<ShownNote> {
    if (what.after !== this.sheet.version) throw new Refused(409, "behind", "somebody else saved this first");
    if (this.sheet.signed) throw new Refused(422, "body", "a note about this is signed already");
    this.signed.push(what.words);
    const content = { kind: "note", wording: 1, facts: [], words: what.words } as const;
    const shown = { id: "n", signed_at: 1, note: { content }, erased: false, sha256: "", late: false };
    this.sheet = { ...EMPTY, signed: shown as unknown as ShownNote };
    if (this.isLost) throw new TypeError("no answer");
    return this.sheet.signed!;
  }

  async addToNote(): Promise<ShownNote> {
    throw new Refused(403, "prove_again", "prove it");
  }
}

function page(server: Server, copies = new Map<string, string>()) {
  const kept = {
    get: (id: string) => copies.get(id) ?? null,
    set: (id: string, text: string) => void copies.set(id, text),
    remove: (id: string) => void copies.delete(id),
  };
  const refused: unknown[] = [];
  const attempt = (act: () => Promise<void>) => act().catch((error: unknown) => void refused.push(error));
  const state = new NotesState("c", server, attempt, () => undefined, kept);
  return { state, copies, refused };
}

test("what is typed while it is saved is saved after it, and is nobody else's", async () => {
  const server = new Server();
  const { state, copies } = page(server);
  await state.open();
  state.write("ada", "assessment", "Lou");
  server.hold();
  const first = state.save("ada");
  await Promise.resolve();
  state.write("ada", "assessment", "Louder");
  const second = state.save("ada");
  server.open();
  await Promise.all([first, second]);
  expect(server.sheet.words.assessment).toBe("Louder");
  expect(state.draft("ada")?.theirs).toBeNull();
  expect([state.isUnsaved, copies.size]).toEqual([false, 0]);
});

test("a save whose answer was lost is not taken for a colleague's, and a colleague's is not overwritten", async () => {
  const server = new Server();
  const { state } = page(server);
  await state.open();
  state.write("ada", "assessment", "Louder");
  server.isLost = true;
  await state.save("ada");
  expect([state.isUnsaved, state.draft("ada")?.failed]).toEqual([
    true,
    expect.stringContaining("cannot be reached"),
  ]);
  server.isLost = false;
  state.write("ada", "assessment", "Louder today");
  await state.save("ada");
  expect(server.sheet.words.assessment).toBe("Louder today");

  server.sheet = { ...server.sheet, version: 7, words: words("Softer") };
  state.write("ada", "assessment", "Louder again");
  await state.save("ada");
  expect(state.draft("ada")?.theirs).toEqual({ version: 7, words: words("Softer") });
  await state.sign("ada");
  expect([server.signed, server.sheet.words.assessment]).toEqual([[], "Softer"]);
  await state.settle("ada", "ours");
  await state.sign("ada");
  expect(server.signed).toEqual([words("Louder again")]);
});

test("a colleague's words that were never seen stop a signature", async () => {
  const server = new Server();
  const { state } = page(server);
  await state.open();
  server.sheet = { ...server.sheet, version: 1, words: words("Yuki’s words") };
  state.write("ada", "assessment", "Mine");
  await state.sign("ada");
  expect(server.signed).toEqual([]);
  expect(state.draft("ada")?.theirs?.words.assessment).toBe("Yuki’s words");
});

test("a signature whose answer was lost is found, and nothing is said to be missing from it", async () => {
  const server = new Server();
  const { state } = page(server);
  await state.open();
  state.write("ada", "assessment", "Louder ");
  await state.save("ada");
  server.isLost = true;
  await state.sign("ada");
  expect(state.sheet("ada")?.signed).not.toBeNull();
  expect(state.problem).toBeNull();
  expect(state.words("ada")).toEqual(NOBODY);
});

test("what was typed here and not signed by a colleague stays to be read", async () => {
  const server = new Server();
  const { state } = page(server);
  await state.open();
  state.write("ada", "assessment", "Mine");
  const other = page(server).state;
  await other.open();
  other.write("ada", "assessment", "Theirs");
  await other.sign("ada");
  await state.sign("ada");
  expect(server.signed).toEqual([words("Theirs")]);
  expect(state.words("ada").assessment).toBe("Mine");
  expect(state.sheet("ada")?.signed, "and the signed note is there to be added to").not.toBeNull();
});

test("a page that was lost finds again what was typed, and a damaged copy stops nothing", async () => {
  const server = new Server();
  const { state, copies } = page(server);
  await state.open();
  state.write("ada", "plan", "Shorter");
  const again = page(server, copies).state;
  await again.open();
  expect(again.words("ada").plan).toBe("Shorter");
  await again.save("ada");
  expect([server.sheet.words.plan, copies.size]).toEqual(["Shorter", 0]);
  copies.set("c.ada", "{");
  const third = page(server, copies).state;
  await third.open();
  expect(third.notes).not.toBeNull();
});

test("what needs a proof goes back to whoever asks for it, and the words stay", async () => {
  const server = new Server();
  const { state, refused, copies } = page(server);
  await state.open();
  state.writeAddition("n", { corrects: true, text: "Not louder." });
  await state.add("n");
  expect(refused.map((error) => (error as Refused).code)).toEqual(["prove_again"]);
  expect(state.addition("n")?.text).toBe("Not louder.");
  expect([state.isUnsaved, copies.size]).toEqual([true, 1]);
});

test("whoever looks at another note by the time that one is signed stays there", async () => {
  const { state } = page(new Server());
  await state.open();
  state.write("ada", "assessment", "Louder");
  const signing = state.sign("ada");
  state.chosen = null;
  await signing;
  expect([state.sheet("ada")?.signed !== null, state.chosen]).toEqual([true, null]);
});
