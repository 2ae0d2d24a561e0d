import { expect, test, vi } from "vitest";
import { render } from "vitest-browser-svelte";
import { page } from "vitest/browser";
import { deskText as t } from "../messages/desk";
import type { DeskState } from "../state/desk.svelte";
import type { Row } from "../wire/types";
import RosterRow from "./RosterRow.svelte";

const ROW: Row = {
  seat: 3,
  name: "Ada",
  partner: null,
  status: "working",
  reason: null,
  rest: null,
  screen: "live",
  heard_at: 98_000,
  silent: false,
  form: "full",
  checked_in: true,
  exceptions: [],
  off_today: false,
  unread: 0,
};
const shown = (row: Partial<Row>, ontoggle = vi.fn()) =>
  render(RosterRow, {
    row: { ...ROW, ...row },
    nowMs: 100_000,
    desk: {} as DeskState,
    isOpen: false,
    ontoggle,
  });

test("a person is a name and a word, with a reason only where there is one", async () => {
  const ontoggle = vi.fn();
  await shown({}, ontoggle);
  const row = page.getByRole("button");
  await expect.element(row).toHaveTextContent(/Ada/);
  await expect.element(row).toHaveTextContent(t.status.working);
  await expect.element(row).toHaveTextContent(t.seconds(2));
  await expect.element(row).not.toHaveTextContent(t.notCheckedIn);
  await row.click();
  expect(ontoggle).toHaveBeenCalledOnce();
});

test("what stands out is said in words", async () => {
  await shown({
    status: "stopped",
    reason: "tired",
    checked_in: false,
    exceptions: ["not_well"],
    silent: true,
  });
  const row = page.getByRole("button");
  for (const words of [t.status.stopped, t.reason.tired, t.notCheckedIn, t.exception.not_well, t.silent])
    await expect.element(row).toHaveTextContent(words);
});

test("somebody on the telephone has no screen that could be late", async () => {
  await shown({ screen: "phone", heard_at: null, checked_in: false });
  const row = page.getByRole("button");
  await expect.element(row).toHaveTextContent(t.screen.phone);
  await expect.element(row).not.toHaveTextContent(t.never);
  await expect.element(row).not.toHaveTextContent(t.notCheckedIn);
});
