import { expect, test } from "vitest";
import { frameOf, report, row } from "./examples";
import { peopleOf, type Doing } from "./people";

const DRILL: Doing = { phase: "running", kind: "drill", swallow: false, clue: false, safety: false };
const shapes = (people: ReturnType<typeof peopleOf>) =>
  Object.fromEntries(people.tiles.map((tile) => [tile.name, tile.shape]));

test("exceptions come worst first as the server orders them; names stand by the alphabet", () => {
  const rows = [
    row(4, "Pat", { status: "discomfort" }),
    row(2, "Yuki", { status: "away", screen: "away" }),
    row(9, "Anselm", { status: "stopped", reason: "tired" }),
    row(1, "Odile", { silent: true }),
    row(3, "Casimir", { status: "resting", rest: "not_for_them" }),
    // Whoever has answered this time is not silent any more.
    row(5, "Ada", { silent: true, status: "done" }),
  ];
  const people = peopleOf(frameOf(rows, { alerts: [report(4, "Pat")] }), DRILL);
  expect(people.exceptions.map(({ name, why, red }) => [name, why, red])).toEqual([
    ["Pat", "neck, moderate", true],
    ["Yuki", "screen lost", false],
    ["Anselm", "stopped, tired", false],
    ["Odile", "no answer to two drills", false],
  ]);
  expect(people.tiles.map((tile) => tile.name)).toEqual(["Ada", "Anselm", "Casimir", "Odile", "Pat", "Yuki"]);
  expect(shapes(people)).toMatchObject({
    Ada: "done",
    Casimir: "resting",
    Odile: "unsure",
    Pat: "discomfort",
  });
  expect(people).toMatchObject({ count: 2, counted: "working · 5 here", here: 5 });
});

test("in a check-in people are in, answering or not here, and what needs a look is said", () => {
  const rows = [
    row(1, "Ada"),
    row(2, "Ben", { checked_in: false }),
    row(3, "Cy", { checked_in: false, screen: "not_yet", status: "waiting" }),
    row(4, "Dot", { exceptions: ["alone", "not_seated", "mouth_not_empty"] }),
    row(5, "Eve", { checked_in: false, screen: "phone" }),
  ];
  const people = peopleOf(frameOf(rows), { ...DRILL, kind: "check_in" });
  expect(shapes(people)).toEqual({ Ada: "done", Ben: "waiting", Cy: "away", Dot: "care", Eve: "done" });
  expect(people.exceptions).toMatchObject([{ name: "Dot", why: "not seated yet, mouth not empty" }]);
  expect(people).toMatchObject({ count: 1, counted: "to look at · 3 in" });
});

test("in a drill only those who are to swallow with a full mouth need a look for it", () => {
  const rows = [row(1, "Ada", { exceptions: ["mouth_not_empty"] }), row(2, "Ben", { form: "mouth_first" })];
  expect(peopleOf(frameOf(rows), DRILL).exceptions).toEqual([]);
  expect(peopleOf(frameOf(rows), { ...DRILL, swallow: true }).exceptions).toMatchObject([{ name: "Ben" }]);
});

test("in a round each name says who has the clue", () => {
  const rows = [
    row(1, "Ada", { has_clue: true }),
    row(2, "Ben"),
    row(3, "Cy", { status: "away", screen: "away" }),
  ];
  const people = peopleOf(frameOf(rows), { ...DRILL, kind: "clues", clue: true });
  expect(shapes(people)).toEqual({ Ada: "done", Ben: "waiting", Cy: "away" });
  expect(people).toMatchObject({ count: 1, counted: "have it · 2 here" });
});

test("somebody lost in a hold and back again needs no look any more", () => {
  const lost = {
    kind: "lost" as const,
    seat: 1,
    name: "Ada",
    heard_at: 0,
    during: 1,
    during_ms: 0,
    taken_by: null,
    location: null,
    contact: null,
  };
  expect(peopleOf(frameOf([row(1, "Ada")], { alerts: [lost] }), DRILL).exceptions).toHaveLength(1);
  expect(peopleOf(frameOf([row(1, "Ada")]), DRILL).exceptions).toEqual([]);
});

test("two people of one name keep their places by their seats", () => {
  const one = peopleOf(frameOf([row(7, "Ann"), row(3, "Ann")]), DRILL).tiles.map((tile) => tile.seat);
  const other = peopleOf(frameOf([row(3, "Ann"), row(7, "Ann")]), DRILL).tiles.map((tile) => tile.seat);
  expect(one).toEqual([3, 7]);
  expect(other).toEqual(one);
});
