import { expect, test, vi } from "vitest";
import { render } from "vitest-browser-svelte";
import { page } from "vitest/browser";
import { text } from "../messages";
import type { SeatState } from "../state/seat.svelte";
import StopPanel from "./StopPanel.svelte";

const t = text.stop;
const QUIET = {
  report: null,
  mine: { name: "Ada", partner: null },
  asksWhose: false,
  stopIsOnItsWay: false,
  mayBeASlip: false,
};

function seat(more: object) {
  const acts = {
    getHelp: vi.fn(),
    beginReport: vi.fn(),
    stopBecause: vi.fn(),
    goOn: vi.fn(),
    undoStop: vi.fn(),
    sayWhose: vi.fn(),
    takeBack: vi.fn(),
  };
  const all = { ...QUIET, ...acts, ...more };
  return { acts, seat: all as unknown as SeatState };
}

test("help is one tap away, and the page says that the stop was taken", async () => {
  const { acts, seat: person } = seat({});
  await render(StopPanel, { seat: person, running: true });
  await expect.element(page.getByRole("heading", { name: t.title })).toHaveFocus();
  await page.getByRole("button", { name: t.help }).click();
  expect(acts.getHelp).toHaveBeenCalledOnce();
  await page.getByRole("button", { name: t.tired }).click();
  expect(acts.stopBecause.mock.calls).toEqual([["tired"]]);
});

test("a slip of the finger can be taken back, and later the person goes on", async () => {
  const slip = seat({ mayBeASlip: true });
  const screen = await render(StopPanel, { seat: slip.seat, running: true });
  await page.getByRole("button", { name: t.undo }).click();
  expect(slip.acts.undoStop).toHaveBeenCalledOnce();
  screen.unmount();
  const later = seat({});
  await render(StopPanel, { seat: later.seat, running: true });
  await page.getByRole("button", { name: t.goOn }).click();
  expect(later.acts.goOn).toHaveBeenCalledOnce();
});

test("of two people on one seat it is asked who stopped", async () => {
  const { acts, seat: person } = seat({
    asksWhose: true,
    mine: { name: "Ada", partner: "Jo" },
  });
  await render(StopPanel, { seat: person, running: true });
  await page.getByRole("button", { name: "Jo" }).click();
  expect(acts.sayWhose.mock.calls).toEqual([["partner"]]);
});

test("a note hides neither how far a report has come nor what to do if it gets worse", async () => {
  const message = { id: 1, text: "Is it your neck?", from: "helper" };
  const report = { id: "a", said: {}, progress: { is: "recorded", unseen: false } };
  const { seat: person } = seat({ mine: { name: "Ada", partner: null, message }, report });
  await render(StopPanel, { seat: person, running: true });
  await expect.element(page.getByText(message.text)).toBeVisible();
  await expect.element(page.getByText(t.worse, { exact: false })).toBeVisible();
  await expect.element(page.getByText(text.report.unseen, { exact: false })).toBeVisible();
});
