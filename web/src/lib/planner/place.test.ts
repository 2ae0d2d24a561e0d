import { expect, test } from "vitest";
import { hashOf, isSamePage, placeIn, type Place } from "./place";

const ID = "0b9b7d5e-6d0a-4b7e-9d1c-5a2f3e4d6c7b";

test("every place has an address, and every address is a place", () => {
  const places: Place[] = [
    { is: "list" },
    { is: "account" },
    { is: "staff" },
    { is: "kept" },
    { is: "sums" },
    { is: "plan", id: ID, step: null },
    { is: "plan", id: ID, step: 0 },
    { is: "plan", id: ID, step: 17 },
    { is: "group", id: ID },
    { is: "person", id: ID },
    { is: "round", id: ID },
    { is: "notes", id: ID },
    { is: "weeks", id: ID },
  ];
  for (const place of places) expect(placeIn(hashOf(place))).toEqual(place);
  for (const other of ["#p.token", "#plan.x", `#plan.${ID}.`, `#plan.${ID}.-1`, "#group.", "nonsense"])
    expect(placeIn(other), other).toEqual({ is: "list" });
});

test("another step is no other page", () => {
  expect(isSamePage({ is: "plan", id: ID, step: 1 }, { is: "plan", id: ID, step: null })).toBe(true);
  expect(isSamePage({ is: "plan", id: ID, step: 1 }, { is: "group", id: ID })).toBe(false);
  expect(isSamePage({ is: "list" }, { is: "list" })).toBe(true);
});
