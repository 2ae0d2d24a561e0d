import { expect, test, vi } from "vitest";
import { render } from "vitest-browser-svelte";
import { page } from "vitest/browser";
import { deskText as t } from "../../messages/desk";
import type { DeskState } from "../../state/desk.svelte";
import { sheetStep } from "../../desk/examples";
import RunSheet from "./RunSheet.svelte";

const STEPS = [
  sheetStep(1, "Sit tall"),
  sheetStep(7, "Long hiss"),
  sheetStep(2, "Pucker"),
  { ...sheetStep(9, "A sip"), kind: "sip" as const, inserted: true },
];

function desk(more: Partial<DeskState> = {}) {
  const [tell, open] = [vi.fn(), vi.fn()];
  const state = {
    sheet: { steps: STEPS },
    present: STEPS[1],
    leads: true,
    isSafetyPause: false,
    tell,
    open,
    ...more,
  };
  return { tell, desk: state as unknown as DeskState };
}

test("a press on a step asks before the class goes there", async () => {
  const { tell, desk: own } = desk();
  await render(RunSheet, { desk: own, ended: false });
  await expect.element(page.getByRole("listitem").nth(1)).toHaveAttribute("aria-current", "step");
  await expect.element(page.getByRole("button", { name: "Long hiss" })).toBeDisabled();
  await page.getByRole("button", { name: "Pucker" }).click();
  expect(tell).not.toHaveBeenCalled();
  await page.getByRole("button", { name: t.goTo, exact: true }).click();
  expect(tell.mock.calls).toEqual([[{ do: "go_to", step: 2 }]]);
});

test("only what was put in during the class can be put elsewhere and taken out", async () => {
  const { tell, desk: own } = desk();
  await render(RunSheet, { desk: own, ended: false });
  await page.getByRole("button", { name: "Pucker" }).click();
  await expect.element(page.getByRole("button", { name: t.drawer.takeOut })).not.toBeInTheDocument();
  await page.getByRole("button", { name: "A sip" }).click();
  await expect.element(page.getByRole("button", { name: t.drawer.later })).toBeDisabled();
  await page.getByRole("button", { name: t.drawer.earlier }).click();
  expect(tell).toHaveBeenLastCalledWith({ do: "move_step", step: 9, after: 7 });
  await page.getByRole("button", { name: t.drawer.takeOut }).click();
  expect(tell).toHaveBeenLastCalledWith({ do: "take_out", step: 9 });
});

test("a desk that does not lead only reads it", async () => {
  await render(RunSheet, { desk: desk({ leads: false }).desk, ended: false });
  for (const { title } of STEPS)
    await expect.element(page.getByRole("button", { name: title })).toBeDisabled();
});
