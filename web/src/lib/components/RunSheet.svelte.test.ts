import { expect, test, vi } from "vitest";
import { render } from "vitest-browser-svelte";
import { page } from "vitest/browser";
import type { SheetStep } from "../wire/types";
import RunSheet from "./RunSheet.svelte";

const step = (id: number, title: string): SheetStep => ({
  id,
  rev: 0,
  kind: "drill",
  title,
  note: null,
  planned_ms: 90_000,
  dose: null,
  cautions: [],
  clearance: [],
  sources: [],
  evidence: null,
  harder: null,
});
const STEPS = [step(1, "Sit tall"), step(7, "Long hiss"), step(2, "A sip")];

test("the present step is marked and cannot be chosen; any other one can", async () => {
  const ongo = vi.fn();
  await render(RunSheet, { steps: STEPS, presentId: 7, canGo: true, ongo });
  const here = page.getByRole("listitem").nth(1);
  await expect.element(here).toHaveAttribute("aria-current", "step");
  await expect.element(page.getByRole("button", { name: "Long hiss" })).toBeDisabled();
  await page.getByRole("button", { name: "A sip" }).click();
  expect(ongo.mock.calls).toEqual([[2]]);
});

test("a desk that does not lead only reads it", async () => {
  await render(RunSheet, {
    steps: STEPS,
    presentId: null,
    canGo: false,
    ongo: vi.fn(),
  });
  for (const { title } of STEPS)
    await expect.element(page.getByRole("button", { name: title })).toBeDisabled();
});
