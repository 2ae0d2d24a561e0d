import { describe, expect, test } from "vitest";
import { Refused } from "../http";
import type { Saved, Versioned } from "../wire/types";
import { Editor, type Copies } from "./editor.svelte";
import { memory, Timers } from "./memory";

interface Note {
  text: string;
  day?: string | null;
}

const FIRST: Versioned<Note> = { id: "n", version: 1, updated_at: 0, content: { text: "a" } };

/** A server with one note; the test can hold back, lose or drop its answers. */
class Server {
  kept = FIRST;
  fails: "" | "not reached" | "answer lost" | "refused" | "gone" = "";
  hold: Promise<void> = Promise.resolve();
  saves: Note[] = [];

  async save(_: string, after: number, content: Note): Promise<Saved<Note>> {
    this.saves.push(content);
    if (this.fails === "not reached") throw new TypeError("failed to fetch");
    if (this.fails === "refused") throw new Refused(422, "body", "the text is empty");
    if (this.fails === "gone") throw new Refused(404, "not_found", "nothing is there");
    await this.hold;
    const saved = after === this.kept.version;
    // As the server writes it: keys in another order, and everything empty written as null.
    const written = { day: content.day ?? null, text: content.text };
    if (saved) this.kept = { ...this.kept, version: after + 1, content: written };
    if (this.fails === "answer lost") throw new TypeError("failed to fetch");
    return { saved, now: this.kept };
  }
}

function opened(server: Server, copies: Copies = memory(), kept = server.kept) {
  const timers = new Timers();
  let changes = 0;
  const editor = new Editor<Note>(kept, {
    save: (...what) => server.save(...what),
    copies,
    later: timers.later,
    changed: () => changes++,
    refused: () => undefined,
  });
  return { editor, timers, later: () => timers.run("save n"), changes: () => changes };
}

describe("saving", () => {
  test("what the server writes in its own way is taken over, and not sent again", async () => {
    const server = new Server();
    const { editor, later } = opened(server);
    const save = server.save.bind(server);
    server.save = (id, after, { text }) => save(id, after, { text: text.trim() });
    editor.change({ text: " b " });
    await later();
    expect([editor.saving, editor.content.text, server.saves.length]).toEqual(["saved", "b", 1]);
  });

  test("a change is kept in the browser until the server has it", async () => {
    const [server, copies] = [new Server(), memory()];
    const { editor, later } = opened(server, copies);
    editor.change({ text: "b" });
    expect(editor.saving).toBe("changed");
    expect(copies.kept.get("n")).toContain('"text":"b"');
    await later();
    expect([editor.saving, server.kept.content.text, editor.version]).toEqual(["saved", "b", 2]);
    expect(copies.kept.size).toBe(0);
  });

  test("every change, also an undone one, asks for a new look", () => {
    const { editor, changes } = opened(new Server());
    editor.change({ text: "b" });
    editor.change({ text: "b" });
    editor.undo();
    editor.redo();
    expect(changes()).toBe(3);
  });

  test("what is saved is not saved again", async () => {
    const server = new Server();
    const { editor } = opened(server);
    await editor.save();
    editor.change({ day: null, text: "a" });
    await editor.save();
    expect([server.saves, editor.canUndo]).toEqual([[], false]);
  });

  test("a change made while a save is under way is saved after it, by the same promise", async () => {
    const server = new Server();
    let release = (): void => undefined;
    server.hold = new Promise((resolve) => (release = resolve));
    const { editor } = opened(server);
    editor.change({ text: "b" });
    const saving = editor.save();
    editor.change({ text: "c" });
    expect([editor.saving, editor.save()]).toEqual(["saving", saving]);
    release();
    await saving;
    expect(server.saves.map((note) => note.text)).toEqual(["b", "c"]);
    expect([editor.saving, server.kept.content.text, editor.version]).toEqual(["saved", "c", 3]);
  });

  test("without the server it is tried again, and a page loaded anew has the change", async () => {
    const [server, copies] = [new Server(), memory()];
    const { editor, later } = opened(server, copies);
    server.fails = "not reached";
    editor.change({ text: "b", day: "2027-03-02" });
    await later();
    expect(editor.saving).toBe("not_reached");
    server.fails = "";
    const anew = opened(server, copies);
    expect(anew.editor.content).toEqual({ text: "b", day: "2027-03-02" });
    await anew.later();
    expect(server.kept.content).toEqual({ text: "b", day: "2027-03-02" });
    await later();
    expect([editor.saving, server.kept.version], "the first page sent the same").toEqual(["saved", 2]);
  });

  test("a save whose answer was lost is no second editor", async () => {
    const server = new Server();
    const { editor, later } = opened(server);
    server.fails = "answer lost";
    editor.change({ text: "b" });
    await later();
    expect(editor.saving).toBe("not_reached");
    server.fails = "";
    editor.change({ text: "c" });
    await later();
    expect([editor.saving, server.kept.content.text, server.kept.version]).toEqual(["saved", "c", 3]);
  });

  test("a save whose answer was lost is no second editor for a page loaded anew either", async () => {
    const [server, copies] = [new Server(), memory()];
    const { editor, later } = opened(server, copies);
    server.fails = "answer lost";
    editor.change({ text: "b" });
    await later();
    editor.change({ text: "c" });
    server.fails = "";
    const anew = opened(server, copies);
    expect(anew.editor.saving).toBe("changed");
    await anew.later();
    expect([server.kept.content.text, server.kept.version]).toEqual(["c", 3]);
  });

  test("what was typed while a save was refused is sent", async () => {
    const server = new Server();
    const { editor } = opened(server);
    server.fails = "refused";
    editor.change({ text: "" });
    const saving = editor.save();
    editor.change({ text: "c" });
    server.fails = "";
    await saving;
    expect([editor.saving, server.kept.content.text]).toEqual(["saved", "c"]);
  });

  test("what the server refuses says why, is not sent again by itself, and stays in the browser", async () => {
    const [server, copies] = [new Server(), memory()];
    const { editor, timers, later } = opened(server, copies);
    server.fails = "refused";
    editor.change({ text: "" });
    await later();
    expect([editor.saving, editor.refusal]).toEqual(["refused", "the text is empty"]);
    expect([timers.has("save n"), copies.kept.size]).toEqual([false, 1]);
    server.fails = "";
    editor.change({ text: "b" });
    expect(editor.refusal).toBe(null);
    await later();
    expect([editor.saving, server.kept.content.text]).toEqual(["saved", "b"]);
  });

  test("closing waits for what is not saved", async () => {
    const server = new Server();
    const { editor } = opened(server);
    editor.change({ text: "b" });
    await editor.close();
    expect(server.kept.content.text).toBe("b");
  });

  test("a copy that says what the server has is no change", () => {
    const copies = memory();
    copies.set("n", JSON.stringify({ version: 1, content: { day: null, text: "a" }, unanswered: [] }));
    const { editor } = opened(new Server(), copies);
    expect([editor.saving, copies.kept.size]).toEqual(["saved", 0]);
  });

  test("a copy that cannot be read is as good as none", () => {
    const copies = memory();
    copies.set("n", "{");
    expect(opened(new Server(), copies).editor.saving).toBe("saved");
  });
});

describe("two editors", () => {
  /** Somebody else saved "theirs"; this browser has "mine". */
  async function behind(copies = memory()) {
    const server = new Server();
    const here = opened(server, copies);
    server.kept = { ...FIRST, version: 2, content: { text: "theirs" } };
    here.editor.change({ text: "mine" });
    await here.later();
    return { server, ...here };
  }

  test("the second is told, and nothing is overwritten", async () => {
    const { server, editor, later } = await behind();
    expect([editor.saving, editor.theirs?.content.text]).toEqual(["behind", "theirs"]);
    editor.change({ text: "mine, longer" });
    await later();
    await editor.save();
    expect([server.kept.content.text, editor.content.text]).toEqual(["theirs", "mine, longer"]);
  });

  test("a page loaded anew still has mine beside theirs, however often", async () => {
    const copies = memory();
    const { server } = await behind(copies);
    for (const time of ["first", "second", "third"]) {
      const anew = opened(server, copies);
      await anew.later();
      await anew.editor.save();
      expect([anew.editor.saving, anew.editor.content.text], time).toEqual(["behind", "mine"]);
    }
    expect(server.kept.content.text).toBe("theirs");
  });

  test("a document that somebody removed is told, and what was typed stays", async () => {
    const [server, copies] = [new Server(), memory()];
    const { editor, later } = opened(server, copies);
    server.fails = "gone";
    editor.change({ text: "mine" });
    await later();
    editor.change({ text: "mine, longer" });
    await editor.save();
    expect([editor.saving, server.saves.length]).toEqual(["gone", 1]);
    expect(copies.kept.get("n")).toContain("mine, longer");
  });

  test("a tab does not remove the copy of another", async () => {
    const [server, copies] = [new Server(), memory()];
    const [one, two] = [opened(server, copies), opened(server, copies)];
    one.editor.change({ text: "one" });
    two.editor.change({ text: "two" });
    const kept = copies.kept.get("n");
    await one.editor.save();
    expect(copies.kept.get("n")).toBe(kept);
    await two.editor.save();
    expect(two.editor.saving).toBe("behind");
  });

  test("theirs can be taken, and mine brought back by undoing", async () => {
    const { server, editor, later } = await behind();
    editor.takeTheirs();
    expect([editor.content.text, editor.saving, editor.canRedo]).toEqual(["theirs", "saved", false]);
    editor.undo();
    await later();
    expect([editor.content.text, server.kept.content.text, server.kept.version]).toEqual(["mine", "mine", 3]);
  });

  test("what was given up leaves no copy, also of a save under way", async () => {
    const [server, copies] = [new Server(), memory()];
    let release = (): void => undefined;
    server.hold = new Promise((resolve) => (release = resolve));
    const { editor } = opened(server, copies);
    editor.change({ text: "b" });
    const saving = editor.save();
    editor.change({ text: "c" });
    editor.giveUp();
    release();
    await saving;
    expect([copies.kept.size, server.saves.length]).toEqual([0, 1]);
  });

  test("a newer version is shown where nothing was changed, and compared where something was", async () => {
    const theirs = { ...FIRST, version: 2, content: { text: "theirs" } };
    const unchanged = opened(new Server()).editor;
    await unchanged.meet(theirs);
    expect([unchanged.content.text, unchanged.saving]).toEqual(["theirs", "saved"]);
    const changed = opened(new Server()).editor;
    changed.change({ text: "mine" });
    await changed.meet(theirs);
    expect([changed.content.text, changed.saving]).toEqual(["mine", "behind"]);
  });
});

test("the changes of one field on end are undone together, until it is left", () => {
  const { editor } = opened(new Server());
  for (const text of ["4", "40"]) editor.change({ text }, "reps");
  editor.leaveField();
  editor.change({ text: "5" }, "reps");
  editor.undo();
  expect(editor.content.text).toBe("40");
  editor.undo();
  expect(editor.content.text).toBe("a");
});

test("undo and redo go through every change, and another way forgets the redo", () => {
  const { editor } = opened(new Server());
  editor.change({ text: "b" });
  editor.change({ text: "b", day: "2027-03-02" });
  editor.undo();
  expect(editor.content).toEqual({ text: "b" });
  editor.redo();
  expect(editor.content.day).toBe("2027-03-02");
  editor.undo();
  editor.undo();
  expect([editor.content.text, editor.canUndo]).toEqual(["a", false]);
  editor.change({ text: "another" });
  expect(editor.canRedo).toBe(false);
});
