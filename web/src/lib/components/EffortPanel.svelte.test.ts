import { expect, test, vi } from "vitest";
import { render } from "vitest-browser-svelte";
import { page } from "vitest/browser";
import { text } from "../messages";
import EffortPanel from "./EffortPanel.svelte";

test("effort is a number from 0 to 10, and may be skipped", async () => {
  const [onsay, onskip] = [vi.fn(), vi.fn()];
  await render(EffortPanel, { onsay, onskip });
  for (const n of [0, 10]) await page.getByRole("button", { name: String(n), exact: true }).click();
  expect(onsay.mock.calls).toEqual([[0], [10]]);
  await page.getByRole("button", { name: text.effort.skip }).click();
  expect(onskip).toHaveBeenCalledOnce();
  expect(onsay).toHaveBeenCalledTimes(2);
});
