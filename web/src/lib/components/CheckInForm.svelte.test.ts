import { describe, expect, test, vi } from "vitest";
import { render } from "vitest-browser-svelte";
import { page } from "vitest/browser";
import { text } from "../messages";
import type { LastTime } from "../page";
import type { CheckIn } from "../wire/types";
import CheckInForm from "./CheckInForm.svelte";

const t = text.checkIn;
const NEVER: LastTime = {
  place: "",
  contact: "",
  company: null,
  water: null,
  partner: "",
};
const ready = () => page.getByRole("button", { name: t.send, exact: true });
const answer = (question: string, name: string) =>
  page.getByRole("group", { name: question }).getByRole("button", { name, exact: true }).click();

describe("the check-in", () => {
  test("can be sent without any answer; what was left out is absent", async () => {
    const onsend = vi.fn<(answers: CheckIn) => void>();
    await render(CheckInForm, { lastTime: NEVER, onforget: vi.fn(), onsend });
    await ready().click();
    expect(onsend.mock.calls).toEqual([
      [
        {
          feeling: null,
          news: null,
          seated: null,
          mouth_empty: null,
          water: null,
          company: null,
          easier: false,
          place: null,
          contact: null,
          partner: null,
        },
      ],
    ]);
  });

  test("sends what was tapped, the last tap of each question", async () => {
    const onsend = vi.fn<(answers: CheckIn) => void>();
    await render(CheckInForm, { lastTime: NEVER, onforget: vi.fn(), onsend });
    await answer(t.feeling, t.well);
    await answer(t.feeling, t.notWell);
    await answer(t.mouth, t.notYet);
    await page.getByLabelText(t.place).fill("  14 Mill Lane ");
    await ready().click();
    expect(onsend.mock.lastCall?.[0]).toMatchObject({
      feeling: "not_well",
      mouth_empty: false,
      place: "14 Mill Lane",
    });
  });

  test("fills in what rarely changes, never how somebody is, and can be told that it is somebody else", async () => {
    const [onforget, onsend] = [vi.fn(), vi.fn<(answers: CheckIn) => void>()];
    const lastTime: LastTime = {
      place: "14 Mill Lane",
      contact: "Jo",
      company: "alone",
      water: true,
      partner: "",
    };
    await render(CheckInForm, { lastTime, onforget, onsend });
    await ready().click();
    expect(onsend.mock.lastCall?.[0]).toMatchObject({
      place: "14 Mill Lane",
      company: "alone",
      feeling: null,
    });
    await page.getByRole("button", { name: t.forget }).click();
    await ready().click();
    expect(onforget).toHaveBeenCalledOnce();
    expect(onsend.mock.lastCall?.[0]).toMatchObject({
      place: null,
      contact: null,
      company: null,
      water: null,
    });
  });

  test("a second person has a name, or is not sent", async () => {
    const onsend = vi.fn<(answers: CheckIn) => void>();
    await render(CheckInForm, { lastTime: NEVER, onforget: vi.fn(), onsend });
    await answer(t.partner, t.yes);
    await ready().click();
    expect(onsend.mock.lastCall?.[0].partner).toBeNull();
    await page.getByLabelText(t.partnerName).fill("Greta");
    await answer(t.partnerFeeling, t.soSo);
    await ready().click();
    expect(onsend.mock.lastCall?.[0].partner).toEqual({
      name: "Greta",
      feeling: "so_so",
      mouth_empty: null,
    });
  });
});
