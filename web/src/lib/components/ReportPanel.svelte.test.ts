import { expect, test, vi } from "vitest";
import { render } from "vitest-browser-svelte";
import { page } from "vitest/browser";
import "../css/base.css";
import "../css/class.css";
import { text } from "../messages";
import type { SeatState } from "../state/seat.svelte";
import ReportPanel from "./ReportPanel.svelte";

const t = text.report;

function seat() {
  const said = {
    sayMore: vi.fn(),
    endReport: vi.fn(),
    report: { said: { where: "neck" } },
  };
  return { said, seat: said as unknown as SeatState };
}

test("an urgent sign is said with one tap, and tells where as well", async () => {
  const { said, seat: person } = seat();
  await render(ReportPanel, { seat: person });
  await page.getByRole("button", { name: t.signs.choking }).click();
  expect(said.sayMore.mock.calls).toEqual([[{ urgent: "choking", where: "throat" }]]);
  expect(said.endReport).not.toHaveBeenCalled();
});

test("help has its own key before this page and is not asked for again", async () => {
  await render(ReportPanel, { seat: seat().seat });
  await expect.element(page.getByRole("button", { name: t.signs.help })).not.toBeInTheDocument();
});

test("where, then how strong, in words or as a number", async () => {
  const { said, seat: person } = seat();
  await render(ReportPanel, { seat: person });
  await page.getByRole("button", { name: t.noneOfThese }).click();
  await page.getByRole("button", { name: t.places.neck }).click();
  await page.getByRole("button", { name: t.asNumber }).click();
  await page.getByRole("button", { name: "7", exact: true }).click();
  expect(said.sayMore.mock.calls).toEqual([[{ where: "neck" }], [{ strength: { number: 7 } }]]);
  expect(said.endReport).toHaveBeenCalledOnce();
});

test("every page can be left, and there is a way back", async () => {
  const { said, seat: person } = seat();
  await render(ReportPanel, { seat: person });
  await page.getByRole("button", { name: t.noneOfThese }).click();
  await page.getByRole("button", { name: t.back }).click();
  await expect.element(page.getByRole("heading", { name: t.urgent })).toBeVisible();
  await page.getByRole("button", { name: t.enoughSaid }).click();
  expect(said.endReport).toHaveBeenCalledOnce();
  expect(said.sayMore).not.toHaveBeenCalled();
});
