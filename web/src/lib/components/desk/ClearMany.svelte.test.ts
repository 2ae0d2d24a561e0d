import { expect, test, vi } from "vitest";
import { render } from "vitest-browser-svelte";
import { page } from "vitest/browser";
import { deskText as t } from "../../messages/desk";
import type { DeskState } from "../../state/desk.svelte";
import type { Clearing } from "../../wire/types";
import ClearMany from "./ClearMany.svelte";

const PEOPLE: Clearing[] = [
  { seat: 1, name: "Ada", doubts: [] },
  { seat: 2, name: "Ben", doubts: ["aspiration", "not_checked_in"] },
  { seat: 3, name: "Cy", doubts: [] },
];

test("nobody about whom there is a doubt is ticked; each is turned on by name", async () => {
  const tell = vi.fn();
  const desk = {
    decides: true,
    tell,
    requests: { clearing: () => Promise.resolve(PEOPLE) },
  } as unknown as DeskState;
  const onclose = vi.fn();
  await render(ClearMany, { desk, onclose });
  await expect.element(page.getByRole("checkbox", { name: /Ada/ })).toBeChecked();
  await expect.element(page.getByRole("checkbox", { name: /Ben/ })).not.toBeChecked();
  await expect.element(page.getByText(t.doubts.aspiration)).toBeVisible();
  await page.getByRole("checkbox", { name: /Cy/ }).click();
  await page.getByRole("button", { name: t.clearThese(1) }).click();
  expect(tell.mock.calls).toEqual([[{ do: "clear_swallow", seats: [1] }]]);
  expect(onclose).toHaveBeenCalledOnce();
});

test("a refusal is said and turns nothing on", async () => {
  const tell = vi.fn();
  const requests = { clearing: () => Promise.reject(new Error("not yours")) };
  await render(ClearMany, { desk: { tell, requests } as unknown as DeskState, onclose: vi.fn() });
  await expect.element(page.getByRole("alert")).toHaveTextContent("not yours");
  expect(tell).not.toHaveBeenCalled();
});
