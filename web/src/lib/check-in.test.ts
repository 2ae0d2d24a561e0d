import { describe, expect, test } from "vitest";
import { answersOf, NOTHING_TOLD, numberOf, OF, questions, type Told } from "./check-in";

const told = (more: Partial<Told>): Told => ({ ...NOTHING_TOLD, ...more });

describe("the pages of the check-in", () => {
  test("who feels well and has no news is asked eight things, each once", () => {
    const all = questions(told({ feeling: "well", news: false }));
    expect(all.map(numberOf)).toEqual([1, 2, 3, 4, 5, 6, 7, 8]);
    expect(OF).toBe(8);
  });

  test("who does not feel well, or has news, may have it easier", () => {
    for (const more of [
      { feeling: "so_so" },
      { feeling: "not_well" },
      { feeling: "well", news: true },
    ] as const)
      expect(questions(told(more))).toContain("easier");
    expect(numberOf("easier")).toBe(numberOf("news"));
  });

  test("a second person is asked for a name, and then how they are", () => {
    const together = told({ company: "together" });
    expect(questions(together).slice(-2)).toEqual(["company", "partner"]);
    const named = questions({ ...together, partner: "Jo" });
    expect(named.slice(-3)).toEqual(["partner", "partner_feeling", "partner_mouth"]);
    expect(named.slice(-3).map(numberOf)).toEqual([8, 8, 8]);
  });

  test("a page bears the same number whatever was answered before it", () => {
    const numbers = (of: Told): number[] => questions(of).map(numberOf);
    for (const more of [{}, { news: true }, { company: "together", partner: "Jo" }] as Partial<Told>[]) {
      const all = numbers(told(more));
      expect(all).toEqual([...all].sort((a, b) => a - b));
      expect(all.every((n) => n >= 1 && n <= OF)).toBe(true);
    }
  });
});

describe("the answers", () => {
  test("what was left open is absent", () => {
    expect(answersOf(NOTHING_TOLD)).toEqual({
      feeling: null,
      news: null,
      seated: null,
      mouth_empty: null,
      water: null,
      must_not_drink: false,
      company: null,
      easier: false,
      place: null,
      contact: null,
      partner: null,
    });
  });

  test("who must not drink has no water", () => {
    expect(answersOf(told({ water: "must_not" }))).toMatchObject({ water: false, must_not_drink: true });
    expect(answersOf(told({ water: "yes" }))).toMatchObject({ water: true, must_not_drink: false });
    expect(answersOf(told({ water: "no" }))).toMatchObject({ water: false, must_not_drink: false });
  });

  test("two who do the class together are not alone, also without a name", () => {
    const both = {
      company: "together",
      partner: "  Jo ",
      partnerFeeling: "well",
      partnerMouth: true,
    } as const;
    expect(answersOf(told(both))).toMatchObject({
      company: "with",
      partner: { name: "Jo", feeling: "well", mouth_empty: true },
    });
    expect(answersOf(told({ ...both, partner: " " }))).toMatchObject({ company: "with", partner: null });
    // A name that was kept, of somebody who is not here today, is not sent.
    expect(answersOf(told({ ...both, company: "alone" }))).toMatchObject({ company: "alone", partner: null });
  });
});
