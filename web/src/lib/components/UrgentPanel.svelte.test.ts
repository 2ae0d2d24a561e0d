import { expect, test, vi } from "vitest";
import { render } from "vitest-browser-svelte";
import { page } from "vitest/browser";
import { text } from "../messages";
import UrgentPanel from "./UrgentPanel.svelte";

const t = text.urgent;

test("the emergency number can be called, and help can be told where to come", async () => {
  const onbetter = vi.fn();
  const address = "14 Mill Lane";
  await render(UrgentPanel, {
    number: "112",
    address,
    progress: { is: "on_its_way", late: false },
    onbetter,
  });
  await expect.element(page.getByRole("alert")).toHaveTextContent(t.stop);
  await expect.element(page.getByRole("link", { name: t.call("112") })).toHaveAttribute("href", "tel:112");
  await expect.element(page.getByText(address)).toBeVisible();
  await page.getByRole("button", { name: t.better }).click();
  expect(onbetter).toHaveBeenCalledOnce();
});

test("without a number and a place it still says to call", async () => {
  await render(UrgentPanel, {
    number: null,
    address: "",
    progress: null,
    onbetter: vi.fn(),
  });
  await expect.element(page.getByText(t.callUnknown)).toBeVisible();
  await expect.element(page.getByRole("link")).not.toBeInTheDocument();
  await expect.element(page.getByText(t.where)).toBeVisible();
});
