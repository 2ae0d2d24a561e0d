import { expect, test } from "vitest";
import type { DrillCard, ItemSet } from "../wire/types";
import { itemsOf, manyItems, nextItems } from "./items";

const SET = { id: "some", items: ["a", "b", "c", "d", "e"].map((say) => ({ say })) } as unknown as ItemSet;
const card = (each: "rep" | "set"): DrillCard =>
  ({
    drill: { dose: { sets: 2, reps: 3 }, sides: [{}], items: { set: "some", each } },
  }) as unknown as DrillCard;
const saidBy = (choice: Parameters<typeof itemsOf>[1]) => itemsOf(SET, choice).map((item) => item.say);

test("a drill takes an item for each repetition, or one for each set", () => {
  expect(manyItems(card("rep"), {} as never)).toBe(6);
  expect(manyItems(card("rep"), { reps: 5 } as never)).toBe(10);
  expect(manyItems(card("set"), {} as never)).toBe(2);
});

test("others are the next ones of the set, and after its end it begins anew", () => {
  expect(saidBy(undefined)).toEqual(["a", "b", "c", "d", "e"]);
  const second = nextItems(SET, undefined, 2);
  expect(saidBy(second)).toEqual(["c", "d"]);
  const third = nextItems(SET, second, 2);
  expect(saidBy(third)).toEqual(["e", "a"]);
  expect(saidBy(nextItems(SET, third, 2))).toEqual(["b", "c"]);
  expect(saidBy({ set: null, only: [], words: ["own"] })).toEqual(["own"]);
});
