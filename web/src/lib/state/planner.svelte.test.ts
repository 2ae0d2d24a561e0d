import { expect, test, vi } from "vitest";
import { Refused } from "../http";
import { PlannerState } from "./planner.svelte";
import type { PlannerServer } from "../planner/server";
import { newPerson, type Kind } from "../planner/kinds";
import { memory, Timers } from "./memory";
import type {
  Draft,
  Group,
  GroupCard,
  NewPlan,
  Person,
  PersonEntry,
  Planned,
  Remove,
  RoundLookAt,
  Save,
  Versioned,
  WrittenRound,
} from "../wire/types";

const DRAFT: Draft = { title: "a", minutes: 60, start: null, steps: [], home: [] };
const GROUP: Group = {
  name: "a",
  weekday: 2,
  start: null,
  minutes: 60,
  weeks_apart: 8,
  notes: false,
  people: [],
  zone: null,
  first: null,
  last: null,
  others: [],
  entrusted: [],
};
const titled = (title: string): Planned => ({ draft: { ...DRAFT, title }, day: null, group: null });

/** A server with one plan. */
class Host {
  kept: Versioned<Planned> = { id: "p", version: 1, updated_at: 0, content: titled("a") };
  round: Versioned<WrittenRound> = {
    id: "r",
    version: 1,
    updated_at: 0,
    content: { theme: "a", game: "clue", language: "en", counter_ms: null, clues: [] },
  };
  looks: RoundLookAt[] = [];
  books = 0;
  began: NewPlan[] = [];
  classes = 0;
  hold: Promise<void> = Promise.resolve();
  /** What was asked for of people. */
  people: PersonEntry[] = [];
  readonly server = {
    library: () => {
      this.books++;
      return Promise.resolve({ drills: [], clue_sets: [], item_sets: [], templates: [], refused: [] });
    },
    cards: (kind: Kind) => {
      const { id, version, content } = this.round;
      const { theme, game } = content;
      const lists = {
        plans: [],
        groups: this.groups,
        people: this.people,
        rounds: [{ id, version, theme, game, clues: 0, finished: false }],
      };
      return Promise.resolve(lists[kind]);
    },
    make: async (kind: Kind, from: NewPlan | Group | Person) => {
      if (kind === "groups") return this.groupCalls("new", from as Group);
      if (kind === "people") {
        const { name, conditions } = from as Person;
        this.people = [
          ...this.people,
          { id: `person ${name}`, name, conditions, decisions: 0, health_hidden: false },
        ];
        return { id: `person ${name}`, version: 1, updated_at: 0, content: from };
      }
      const plan = from as NewPlan;
      this.began.push(plan);
      await this.hold;
      const content = plan.from === "copy" ? plan.planned : titled("new");
      return { ...this.kept, id: "new", version: 1, content };
    },
    read: (kind: Kind, id: string) => {
      if (kind === "people")
        return Promise.resolve({
          id,
          version: 1,
          updated_at: 0,
          content: newPerson(id),
        });
      if (kind === "groups") return this.groupCalls("read", GROUP);
      return Promise.resolve(kind === "rounds" ? this.round : this.kept);
    },
    save: (kind: Kind, _: string, { after, content }: Save<Planned & Group & WrittenRound>) => {
      if (kind === "groups")
        return this.groupCalls("save", content).then((now) => ({
          saved: true,
          now: { ...now, version: after + 1 },
        }));
      if (kind === "rounds") {
        this.round = { ...this.round, version: after + 1, content };
        return Promise.resolve({ saved: true, now: this.round });
      }
      const saved = after === this.kept.version;
      if (saved) this.kept = { ...this.kept, version: after + 1, content };
      return Promise.resolve({ saved, now: this.kept });
    },
    remove: (kind: Kind, _: string, { version }: Remove) =>
      kind === "groups" ? this.groupCalls("remove", GROUP, version) : Promise.resolve(this.kept),
    lookAtRound: (at: RoundLookAt) => {
      this.looks.push(at);
      return Promise.resolve({ unfinished: [], hints: [], heard: at.said.map(() => "right" as const) });
    },
    look: () => Promise.resolve({ error: null, clock_ms: 0, class_ms: 0, steps: [], advice: [], had: null }),
    classes: () => Promise.resolve([]),
    week: () => Promise.resolve([]),
    lookAtGroup: () => Promise.resolve({ classes: [] }),
    unreadable: () => Promise.resolve([]),
    classLinks: () => Promise.reject(new Error("not asked for here")),
    beginClass: async (_: string, { version }: { version: number }) => {
      if (version !== this.kept.version) throw new Refused(409, "behind", "somebody else saved this first");
      this.classes++;
      await this.hold;
      return { desk: "d", helper: "h", wall: "w", class: "c", code: "abc" };
    },
  } as unknown as PlannerServer;
  groups: GroupCard[] = [];
  calls: unknown[] = [];

  groupCalls(what: string, content: Group, version?: number): Promise<Versioned<Group>> {
    this.calls.push(version === undefined ? [what, content.name] : [what, version]);
    if (what === "save" && content.name === "c")
      return Promise.reject(new Refused(404, "not_found", "nothing is there"));
    return Promise.resolve({ id: `g${this.calls.length}`, version: 1, updated_at: 0, content });
  }
}

async function opened() {
  const host = new Host();
  const [timers, copies] = [new Timers(), memory()];
  const planner = new PlannerState(host.server, copies, timers.later);
  await planner.open("plans", "p");
  return { host, planner, timers, copies };
}

test("a class begins of what is on the screen, once, also by a double tap", async () => {
  const { host, planner } = await opened();
  planner.plan?.change(titled("b"));
  await Promise.all([planner.beginClass(false), planner.beginClass(false)]);
  expect([host.kept.content.draft.title, host.classes, planner.links?.code]).toEqual(["b", 1, "abc"]);
});

test("no class begins of another's plan: theirs is shown first", async () => {
  const { host, planner } = await opened();
  host.kept = { ...host.kept, version: 2, content: titled("theirs") };
  await planner.beginClass(false);
  expect([host.classes, planner.links, planner.plan?.content.draft.title]).toEqual([0, null, "theirs"]);
  host.kept = { ...host.kept, version: 3, content: titled("theirs again") };
  planner.plan?.change(titled("mine"));
  await planner.nextWeek(true);
  expect([host.began, planner.plan?.saving]).toEqual([[], "behind"]);
});

test("mine becomes a copy with what was typed meanwhile", async () => {
  const { host, planner, copies } = await opened();
  host.kept = { ...host.kept, version: 2, content: titled("theirs") };
  planner.plan?.change(titled("mine"));
  await planner.plan?.save();
  let release = (): void => undefined;
  host.hold = new Promise((resolve) => (release = resolve));
  const copying = planner.keepAsCopy();
  await vi.waitFor(() => expect(host.began.length).toBe(1));
  planner.plan?.change(titled("mine, longer"));
  release();
  await copying;
  expect([planner.plan?.id, planner.plan?.content.draft.title]).toEqual(["new", "mine, longer"]);
  expect([host.kept.content.draft.title, planner.isUnsaved("p"), copies.kept.size]).toEqual([
    "theirs",
    false,
    1,
  ]);
});

test("a plan that was removed can be brought back as it was", async () => {
  const { host, planner } = await opened();
  await planner.close();
  const card = { id: "p", version: 1, title: "a", day: null, group: null, updated_at: 0, steps: 0 };
  await planner.removePlan(card);
  expect(planner.removed).toEqual(titled("a"));
  await planner.bringBack();
  expect([host.began, planner.removed]).toEqual([[{ from: "copy", planned: titled("a") }], null]);
});

test("no class is offered while its group is not saved here", async () => {
  const { host, planner, copies } = await opened();
  host.kept = { ...host.kept, content: { ...titled("a"), group: "g" } };
  await planner.open("plans", "p");
  expect(planner.unsavedGroup).toBe(null);
  copies.set("g", "{}");
  await planner.open("plans", "p");
  expect(planner.unsavedGroup).toBe("g");
});

test("nor while one of its people is not saved here", async () => {
  const { host, planner, copies } = await opened();
  host.groups = [{ id: "g", name: "a", people: ["ann"], weekday: null, start: null }];
  host.kept = { ...host.kept, content: { ...titled("a"), group: "g" } };
  await planner.start(true);
  await planner.open("plans", "p");
  expect(planner.unsavedGroup).toBe(null);
  copies.set("ann", "{}");
  await planner.open("plans", "p");
  expect(planner.unsavedGroup).toBe("g");
});

test("a group is saved, removed, and kept as a new one when somebody else removed it", async () => {
  const { host, planner } = await opened();
  await planner.make("groups", GROUP);
  planner.group?.change({ ...GROUP, name: "b" });
  await planner.remove();
  expect(host.calls).toEqual([
    ["new", "a"],
    ["save", "b"],
    ["remove", 2],
  ]);
  expect(planner.group).toBe(null);
  await planner.make("groups", GROUP);
  planner.group?.change({ ...GROUP, name: "c" });
  await planner.save();
  expect(planner.group?.saving).toBe("gone");
  await planner.keepAsCopy();
  expect(host.calls.at(-1)).toEqual(["new", "c"]);
  expect([planner.group?.content.name, planner.group?.saving]).toEqual(["c", "saved"]);
});

test("a person is enrolled, opened from the group, and left for it again with the group saved", async () => {
  const { host, planner } = await opened();
  await planner.make("groups", GROUP);
  await planner.enrolNew("Ann");
  planner.enrol("ben");
  expect(planner.group?.content.people).toEqual(["person Ann", "ben"]);
  expect(planner.people.map(({ name }) => name)).toEqual(["Ann"]);
  await planner.open("people", "person Ann");
  expect([host.calls.at(-1), planner.group, planner.person?.id]).toEqual([["save", "a"], null, "person Ann"]);
  expect(planner.cameFromGroup).toBe(true);
  await planner.back();
  expect([planner.person, host.calls.at(-1), planner.cameFromGroup]).toEqual([null, ["read", "a"], false]);
  await planner.close();
  await planner.open("people", "person Ann");
  expect(planner.cameFromGroup).toBe(false);
});

test("a copy of a group as an earlier version kept it is left, and the group of now is shown", async () => {
  const { planner, copies } = await opened();
  const old = { name: "old", people: [{ name: "Ann", conditions: [], decisions: [] }] };
  copies.set("g1", JSON.stringify({ version: 1, content: old, unanswered: [] }));
  await planner.make("groups", GROUP);
  expect([planner.group?.content, planner.group?.saving]).toEqual([GROUP, "saved"]);
});

test("a copy of a person as an earlier version kept it is shown, with what came later", async () => {
  const { planner, copies } = await opened();
  const old = { name: "Ann of old", conditions: ["neck"], decisions: [] };
  copies.set("a", JSON.stringify({ version: 1, content: old, unanswered: [] }));
  await planner.open("people", "a");
  expect(planner.person?.content).toEqual({ ...newPerson("Ann of old"), conditions: ["neck"] });
});

test("a browser without the pass is shut", async () => {
  const { host, planner } = await opened();
  host.server.read = () => Promise.reject(new Refused(401, "no_pass", "this browser may not plan"));
  await planner.open("plans", "p");
  expect([planner.shut, planner.problem]).toEqual([true, "this browser may not plan"]);
});

test("a round is looked at as it is typed with the answers that are tried, and the library is read anew after it", async () => {
  const host = new Host();
  const timers = new Timers();
  const planner = new PlannerState(host.server, memory(), timers.later);
  await planner.start(true);
  await planner.open("rounds", "r");
  planner.round?.change({ ...host.round.content, theme: "b" });
  planner.tryAnswers(["buoy"]);
  await timers.run("look");
  expect([host.looks.at(-1)?.round.theme, host.looks.at(-1)?.said]).toEqual(["b", ["buoy"]]);
  expect(planner.roundLook?.heard).toEqual(["right"]);
  await planner.close();
  expect([host.books, host.round.content.theme, planner.round, planner.roundLook]).toEqual([
    2,
    "b",
    null,
    null,
  ]);
  await planner.start(true);
  expect(host.books).toBe(2);
  // Somebody else may write too.
  host.round = { ...host.round, version: host.round.version + 1 };
  await planner.start(true);
  expect(host.books).toBe(3);
});
