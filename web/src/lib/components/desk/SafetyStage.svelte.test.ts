import { beforeEach, expect, test, vi } from "vitest";
import { render } from "vitest-browser-svelte";
import { page, userEvent } from "vitest/browser";
import "../../css/base.css";
import "../../css/desk.css";
import { deskText as t } from "../../messages/desk";
import type { Alert, AtDeskPerson } from "../../wire/types";
import SafetyStage from "./SafetyStage.svelte";

beforeEach(() => page.viewport(720, 380));

const props = {
  since: 1_000,
  nowMs: 66_000,
  title: "Steady strong ah",
  by: "Ines",
  top: null,
  person: null,
  leads: true,
};
/** A press that comes at once after the question is not an answer to it. */
const look = () => new Promise((done) => setTimeout(done, 750));

test("only a second, deliberate press resumes the class", async () => {
  const onresume = vi.fn();
  await render(SafetyStage, { ...props, onresume });
  await expect.element(page.getByRole("status")).toHaveTextContent("1:05");
  await page.getByRole("button", { name: t.resume }).click();
  await page.getByRole("button", { name: t.yesResume }).click();
  expect(onresume, "two presses at once are one slip").not.toHaveBeenCalled();
  await page.getByRole("button", { name: t.no }).click();
  await page.getByRole("button", { name: t.resume }).click();
  await look();
  await page.getByRole("button", { name: t.yesResume }).click();
  expect(onresume).toHaveBeenCalledOnce();
});

test("the keyboard resumes with a key that nobody presses by the way", async () => {
  const onresume = vi.fn();
  await render(SafetyStage, { ...props, onresume });
  await userEvent.keyboard("{Enter}{Escape} {PageDown}");
  await expect.element(page.getByRole("button", { name: t.resume })).toBeVisible();
  await userEvent.keyboard("{Shift>}{Enter}{/Shift}");
  await look();
  await userEvent.keyboard("{Shift>}{Enter}{/Shift}");
  expect(onresume).toHaveBeenCalledOnce();
});

test("a desk that does not lead cannot resume", async () => {
  await render(SafetyStage, { ...props, leads: false, onresume: vi.fn() });
  await expect.element(page.getByText(t.otherResumes)).toBeVisible();
  await expect.element(page.getByRole("button")).not.toBeInTheDocument();
});

test("it says whom to look at first, and whom to phone", async () => {
  const top = { kind: "report", name: "Pat", contact: "Jo, 555 0100" } as Alert;
  await render(SafetyStage, { ...props, top, onresume: vi.fn() });
  for (const words of [t.safetyStage.look("Pat"), t.safetyStage.phone("Jo, 555 0100")])
    await expect.element(page.getByText(words)).toBeVisible();
});

test("a number that is kept on the person's page is known, also when they only stopped", async () => {
  const top = { kind: "stopped", name: "Pat" } as Alert;
  const contacts = { phone: null, mail: null, place: null, partner: "Jo", partner_phone: "555 0101" };
  const person = { name: "Pat", check_in: null, contacts } as unknown as AtDeskPerson;
  await render(SafetyStage, { ...props, top, person, onresume: vi.fn() });
  await expect.element(page.getByText(t.safetyStage.phone("Jo, 555 0101"))).toBeVisible();
});
