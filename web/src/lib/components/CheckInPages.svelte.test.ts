import { describe, expect, test, vi } from "vitest";
import { render } from "vitest-browser-svelte";
import { page } from "vitest/browser";
import "../css/base.css";
import "../css/class.css";
import { text } from "../messages";
import { CheckInState } from "../state/check-in.svelte";
import type { CheckIn } from "../wire/types";
import CheckInPages from "./CheckInPages.svelte";

const t = text.checkIn;
const NEVER = { place: "", contact: "", partner: "" };

/** The pages, at a device whose clock stands still until it is told. */
async function pages(lastTime = NEVER) {
  let now = 10_000;
  const onsend = vi.fn<(answers: CheckIn) => void>();
  const checkIn = new CheckInState(() => now, onsend);
  checkIn.offer(lastTime);
  const screen = await render(CheckInPages, { checkIn });
  const later = (ms = 700): void => void (now += ms);
  /** Presses a key, once the page before it is long enough gone. */
  const tap = async (name: string): Promise<void> => {
    later();
    await page.getByRole("button", { name, exact: true }).click();
  };
  const title = (words: string) => page.getByRole("heading", { name: words });
  return { checkIn, later, onsend, screen, tap, title };
}

describe("the check-in", () => {
  test("asks one thing on a page, and eight taps are the whole of it", async () => {
    const { onsend, tap, title } = await pages({
      place: "14 Mill Lane",
      contact: "Jo, 555 0100",
      partner: "",
    });
    const taps: [question: keyof typeof t.titles, key: string][] = [
      ["feeling", t.well],
      ["news", t.nothingNew],
      ["seated", t.feetOnFloor],
      ["mouth", t.isEmpty],
      ["water", t.mustNotDrink],
      ["place", t.keptIs.place],
      ["contact", t.keptIs.contact],
      ["company", t.alone],
    ];
    for (const [question, key] of taps) {
      await expect.element(title(t.titles[question])).toHaveFocus();
      expect(onsend).not.toHaveBeenCalled();
      await tap(key);
    }
    expect(onsend.mock.calls).toEqual([
      [
        {
          feeling: "well",
          news: false,
          seated: true,
          mouth_empty: true,
          water: false,
          must_not_drink: true,
          company: "alone",
          easier: false,
          place: "14 Mill Lane",
          contact: "Jo, 555 0100",
          partner: null,
        },
      ],
    ]);
  });

  test("a tremor that taps twice answers once", async () => {
    const { checkIn, later, title } = await pages();
    checkIn.answer({ feeling: "well" });
    later(200);
    checkIn.answer({ news: false });
    await expect.element(title(t.titles.news)).toBeVisible();
    expect(checkIn.told.news).toBeNull();
    later(500);
    checkIn.answer({ news: false });
    await expect.element(title(t.titles.seated)).toBeVisible();
  });

  test("there is a way back, and another answer counts", async () => {
    const { checkIn, later, tap, title } = await pages();
    await tap(t.well);
    expect(checkIn.isFirst).toBe(false);
    later();
    checkIn.back();
    await expect.element(title(t.titles.feeling)).toBeVisible();
    expect(checkIn.isFirst).toBe(true);
    await tap(t.notWell);
    expect(checkIn.told.feeling).toBe("not_well");
  });

  test("where somebody was last time is offered, and somewhere else can be written", async () => {
    const { checkIn, later, screen, tap, title } = await pages({ ...NEVER, place: "14 Mill Lane" });
    while (checkIn.question !== "place") {
      later();
      checkIn.answer();
    }
    await expect.element(title(t.titles.place)).toBeVisible();
    await expect.element(page.getByText("14 Mill Lane")).toBeVisible();
    await tap(t.keptIsNot.place);
    await expect.element(page.getByText("14 Mill Lane")).not.toBeInTheDocument();
    await expect.element(page.getByRole("button", { name: t.ratherNot })).toBeVisible();
    await page.getByLabelText(t.fields.place).fill("3 Quay Street");
    await tap(t.goOn);
    expect(checkIn.told.place).toBe("3 Quay Street");
    expect(screen.container.querySelectorAll("h1")).toHaveLength(1);
  });

  test("nothing is needed to go on where words are asked for", async () => {
    const { checkIn, later, tap, title } = await pages();
    while (checkIn.question !== "contact") {
      later();
      checkIn.answer();
    }
    await tap(t.ratherNot);
    await expect.element(title(t.titles.company)).toBeVisible();
  });
});
