import { expect, test, vi } from "vitest";
import { render } from "vitest-browser-svelte";
import { page } from "vitest/browser";
import { deskText as t } from "../messages/desk";
import SafetyPause from "./SafetyPause.svelte";

test("only a second, deliberate press resumes the class", async () => {
  const onresume = vi.fn();
  await render(SafetyPause, {
    since: 1_000,
    nowMs: 66_000,
    leads: true,
    onresume,
  });
  await expect.element(page.getByRole("status")).toHaveTextContent("1:05");
  await page.getByRole("button", { name: t.resume }).click();
  expect(onresume).not.toHaveBeenCalled();
  await page.getByRole("button", { name: t.no }).click();
  await page.getByRole("button", { name: t.resume }).click();
  await page.getByRole("button", { name: t.yesResume }).click();
  expect(onresume).toHaveBeenCalledOnce();
});

test("a desk that does not lead cannot resume", async () => {
  await render(SafetyPause, {
    since: 0,
    nowMs: 0,
    leads: false,
    onresume: vi.fn(),
  });
  await expect.element(page.getByText(t.otherResumes)).toBeVisible();
  await expect.element(page.getByRole("button")).not.toBeInTheDocument();
});
