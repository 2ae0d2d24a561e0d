import { describe, expect, test } from "vitest";
import { newStep, withStep } from "../draft";
import { PlannerState, type Copies, type PlannerServer } from "./planner.svelte";
import type { Draft, PlanDoc, SavePlan, SavedPlan } from "../wire/types";

const DRAFT: Draft = { title: "a", minutes: 60, start: null, steps: [], home: [] };

/** A server with one plan, whose answer to a save can be held back or left out. */
class Host {
  doc: PlanDoc = { id: "p", version: 1, day: null, updated_at: 0, draft: DRAFT };
  reached = true;
  hold: Promise<void> = Promise.resolve();
  saves = 0;
  readonly server: PlannerServer = {
    library: () => Promise.reject(new Error("not asked for here")),
    plans: () => Promise.resolve([]),
    newPlan: (from) => {
      const draft = from.from === "copy" ? from.draft : DRAFT;
      return Promise.resolve({ ...this.doc, id: "copy", version: 1, draft });
    },
    plan: () => Promise.resolve(this.doc),
    save: (_, change) => this.#save(change),
    look: () => Promise.resolve({ error: null, clock_ms: 0, class_ms: 0, steps: [], advice: [] }),
    beginClass: () => Promise.reject(new Error("not asked for here")),
  };

  async #save({ after, draft, day }: SavePlan): Promise<SavedPlan> {
    if (!this.reached) throw new TypeError("failed to fetch");
    this.saves++;
    await this.hold;
    if (after !== this.doc.version) return { saved: false, plan: this.doc };
    this.doc = { ...this.doc, version: after + 1, draft, day };
    return { saved: true, plan: this.doc };
  }
}

/** Timers that run when the test says so. */
class Timers {
  #waiting = new Map<string, () => void>();
  readonly later = (name: string, _: number, run: () => void): void => void this.#waiting.set(name, run);

  async run(name: string): Promise<void> {
    const run = this.#waiting.get(name);
    this.#waiting.delete(name);
    run?.();
    await settled();
  }
}

const settled = (): Promise<void> => new Promise((resolve) => setTimeout(resolve));

function memory(): Copies & { kept: Map<string, string> } {
  const kept = new Map<string, string>();
  return {
    kept,
    get: (id) => kept.get(id) ?? null,
    set: (id, text) => void kept.set(id, text),
    remove: (id) => void kept.delete(id),
  };
}

async function opened(host: Host, copies: Copies = memory()) {
  const timers = new Timers();
  const planner = new PlannerState(host.server, copies, timers.later);
  await planner.open("p");
  return { planner, timers };
}

const titled = (title: string): Draft => ({ ...DRAFT, title });

describe("saving a plan", () => {
  test("a change is kept in the browser until the server has it", async () => {
    const host = new Host();
    const copies = memory();
    const { planner, timers } = await opened(host, copies);
    planner.change(titled("b"));
    expect(planner.saving).toBe("changed");
    expect(copies.kept.get("p")).toContain('"title":"b"');
    await timers.run("save");
    expect([planner.saving, host.doc.draft.title, host.doc.version]).toEqual(["saved", "b", 2]);
    expect(copies.kept.size).toBe(0);
  });

  test("a change made while a save is under way is saved after it", async () => {
    const host = new Host();
    let release = (): void => undefined;
    host.hold = new Promise((resolve) => (release = resolve));
    const { planner, timers } = await opened(host);
    planner.change(titled("b"));
    await timers.run("save");
    planner.change(titled("c"));
    await timers.run("save");
    expect(host.saves).toBe(1);
    release();
    await settled();
    expect(planner.saving).toBe("changed");
    await timers.run("save");
    expect([planner.saving, host.doc.draft.title, host.doc.version]).toEqual(["saved", "c", 3]);
  });

  test("without the server it is tried again, and a page loaded anew has the change", async () => {
    const host = new Host();
    const copies = memory();
    const { planner, timers } = await opened(host, copies);
    host.reached = false;
    planner.change(titled("b"));
    await timers.run("save");
    expect(planner.saving).toBe("not_reached");
    host.reached = true;
    const anew = await opened(host, copies);
    expect(anew.planner.draft?.title).toBe("b");
    await anew.timers.run("save");
    expect(host.doc.draft.title).toBe("b");
    await timers.run("save");
    expect(planner.saving).toBe("behind");
  });

  test("a second editor is told, and nothing is overwritten", async () => {
    const host = new Host();
    const { planner, timers } = await opened(host);
    host.doc = { ...host.doc, version: 2, draft: titled("theirs") };
    planner.change(titled("mine"));
    await timers.run("save");
    expect([planner.saving, planner.theirs?.draft.title]).toEqual(["behind", "theirs"]);
    planner.change(titled("mine, longer"));
    await timers.run("save");
    expect([host.doc.draft.title, planner.draft?.title]).toEqual(["theirs", "mine, longer"]);
    await planner.keepAsCopy();
    expect([planner.doc?.id, planner.draft?.title, planner.saving]).toEqual([
      "copy",
      "mine, longer",
      "saved",
    ]);
  });

  test("theirs can be taken, and mine brought back by undoing", async () => {
    const host = new Host();
    const { planner, timers } = await opened(host);
    host.doc = { ...host.doc, version: 2, draft: titled("theirs") };
    planner.change(titled("mine"));
    await timers.run("save");
    planner.takeTheirs();
    expect([planner.draft?.title, planner.saving]).toEqual(["theirs", "saved"]);
    planner.undo();
    await timers.run("save");
    expect([planner.draft?.title, host.doc.draft.title, host.doc.version]).toEqual(["mine", "mine", 3]);
  });

  test("undo and redo go through every change", async () => {
    const { planner } = await opened(new Host());
    const step = newStep({ kind: "effort" });
    planner.change(withStep(planner.draft!, -1, step));
    planner.change(withStep(planner.draft!, 0, step));
    planner.undo();
    expect(planner.draft?.steps.length).toBe(1);
    planner.redo();
    expect(planner.draft?.steps.length).toBe(2);
    planner.undo();
    planner.undo();
    expect([planner.draft?.steps.length, planner.canUndo]).toEqual([0, false]);
    planner.change(titled("another way"));
    expect(planner.canRedo).toBe(false);
  });
});
