import { expect, test, vi } from "vitest";
import { render } from "vitest-browser-svelte";
import { page } from "vitest/browser";
import "../css/base.css";
import "../css/class.css";
import { text } from "../messages";
import MouthPanel from "./MouthPanel.svelte";

const t = text.mouth;

test("the mouth is asked about, and each answer is passed on once", async () => {
  const onsay = vi.fn();
  await render(MouthPanel, { head: "Swallow", empty: null, onsay });
  await expect.element(page.getByRole("heading", { name: t.question })).toBeVisible();
  await page.getByRole("button", { name: t.notYet }).click();
  expect(onsay.mock.calls).toEqual([[false]]);
});
