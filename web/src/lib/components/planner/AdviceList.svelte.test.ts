import { expect, test, vi } from "vitest";
import { render } from "vitest-browser-svelte";
import { page } from "vitest/browser";
import { plannerText as t } from "../../messages/planner";
import type { Look } from "../../wire/types";
import AdviceList from "./AdviceList.svelte";

const LOOK = {
  error: null,
  clock_ms: 0,
  class_ms: 0,
  steps: [],
  advice: [],
  had: null,
} as unknown as Look;

test("each piece of advice has its reason and source, and leads to its step", async () => {
  const onchoose = vi.fn();
  const advice = [
    {
      kind: "x",
      step: 1,
      text: "More rest.",
      reason: "Voices tire.",
      source: "A handbook",
      trust: "common-practice",
    },
  ];
  const steps = [{ title: "Sit tall" }, { title: "Long hiss" }];
  await render(AdviceList, {
    look: { ...LOOK, advice, steps } as unknown as Look,
    onchoose,
  });
  for (const words of ["More rest.", "Voices tire.", "A handbook"])
    await expect.element(page.getByText(words)).toBeVisible();
  await page.getByRole("button", { name: "Long hiss" }).click();
  expect(onchoose.mock.calls).toEqual([[1]]);
});

test("a plan that cannot be led says why, and one without advice says so", async () => {
  const screen = await render(AdviceList, {
    look: { ...LOOK, error: { step: null, text: "no steps" } },
    onchoose: vi.fn(),
  });
  await expect.element(page.getByText("no steps")).toBeVisible();
  await screen.rerender({ look: LOOK });
  await expect.element(page.getByText(t.noAdvice)).toBeVisible();
});
