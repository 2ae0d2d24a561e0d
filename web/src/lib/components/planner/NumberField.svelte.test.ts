import { expect, test, vi } from "vitest";
import { render } from "vitest-browser-svelte";
import { page } from "vitest/browser";
import { plannerText as t } from "../../messages/planner";
import NumberField from "./NumberField.svelte";

test("a number outside its bounds stays on the screen with what would be right, and is not taken", async () => {
  const onchange = vi.fn();
  const screen = await render(NumberField, {
    label: "Hold",
    value: 10,
    min: 0.5,
    max: 600,
    step: 0.5,
    usual: [5, 12],
    onchange,
  });
  const field = page.getByRole("spinbutton", { name: "Hold" });
  await expect.element(page.getByText(t.usual(5, 12))).toBeVisible();
  await field.fill("12.5");
  expect(onchange.mock.calls).toEqual([[12.5]]);
  for (const wrong of ["0", "601", "3.3", ""]) {
    await field.fill(wrong);
    await expect.element(page.getByRole("alert")).toHaveTextContent(t.bounds(0.5, 600, 0.5));
    await expect.element(page.getByRole("alert")).toHaveTextContent(t.keeps(10));
    await expect.element(field).toHaveAttribute("aria-invalid", "true");
  }
  expect(onchange).toHaveBeenCalledOnce();
  // An undo gives another value, and the mistake is gone.
  await screen.rerender({ value: 8 });
  await expect.element(page.getByRole("alert")).not.toBeInTheDocument();
});
