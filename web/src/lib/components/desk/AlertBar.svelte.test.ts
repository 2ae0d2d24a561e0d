import { beforeEach, describe, expect, test, vi } from "vitest";
import { render } from "vitest-browser-svelte";
import { page } from "vitest/browser";
import "../../css/base.css";
import "../../css/desk.css";
import { deskText as t } from "../../messages/desk";
import type { DeskState } from "../../state/desk.svelte";
import type { Alert, Asking } from "../../wire/types";
import AlertBar from "./AlertBar.svelte";

const REPORT = {
  kind: "report",
  id: "r1",
  seat: 3,
  name: "Ada",
  at: 90_000,
  said: {
    whose: "own",
    where: "chest",
    strength: null,
    urgent: "chest_pain",
    words: "left <b>side</b>",
  },
  strength: null,
  during: 7,
  during_ms: 2_000,
  state: "recorded",
  handled: [],
  taken_back: false,
  recorded: true,
  location: "14 Mill Lane",
  contact: "Jo, 555 0100",
} satisfies Alert;
const STOPPED = {
  kind: "stopped",
  seat: 4,
  name: "Ben",
  since: 95_000,
  reason: "tired",
} satisfies Alert;

function desk(alerts: Alert[], asking: Asking[] = []) {
  const acts = { tell: vi.fn(), attend: vi.fn(), toggle: vi.fn() };
  const frame = { alerts, asking, more_alerts: 0 };
  return { acts, desk: { ...acts, frame } as unknown as DeskState };
}
beforeEach(() => page.viewport(1440, 112));
const shown = (of: DeskState) => render(AlertBar, { desk: of, nameOf: () => "Ines" });

describe("what calls for somebody", () => {
  test("stands on top with who, what, where they are and whom to call", async () => {
    const { acts, desk: own } = desk([REPORT, STOPPED]);
    await shown(own);
    const bar = page.getByRole("alert");
    for (const words of ["Ada", t.signs.chest_pain, "14 Mill Lane", "Jo, 555 0100"])
      await expect.element(bar).toHaveTextContent(words);
    await page.getByRole("button", { name: t.take }).click();
    expect(acts.attend).toHaveBeenLastCalledWith("take", REPORT);
    await page.getByRole("button", { name: t.see }).click();
    expect(acts.attend).toHaveBeenLastCalledWith("see", REPORT);
    await page.getByRole("button", { name: t.waiting(1) }).click();
    expect(acts.toggle).toHaveBeenLastCalledWith({ is: "waiting" });
  });

  test("that is not on disk yet says so", async () => {
    await shown(desk([{ ...REPORT, recorded: false }]).desk);
    await expect.element(page.getByRole("alert")).toHaveTextContent(t.notRecorded);
  });

  test("that somebody has taken can be resolved, and says who has it", async () => {
    const handled = [{ to: "taken" as const, by: "helper" as const, name: "Mo", at: 98_000 }];
    const { acts, desk: own } = desk([{ ...REPORT, state: "taken", handled }]);
    await shown(own);
    await expect.element(page.getByRole("alert")).toHaveTextContent(t.hasIt("Mo"));
    await expect.element(page.getByRole("button", { name: t.take })).not.toBeInTheDocument();
    await page.getByRole("button", { name: t.close }).click();
    expect(acts.attend.mock.lastCall?.[0]).toBe("resolve");
  });

  test("at the door comes after every alert, and asks whether it is somebody expected", async () => {
    const who: Asking = {
      seat: 9,
      name: "Anne",
      at: 99_000,
      perhaps: { seat: 2, name: "Ann", lost: false },
    };
    const first = desk([STOPPED], [who]);
    const screen = await shown(first.desk);
    await expect.element(page.getByRole("alert")).toHaveTextContent("Ben");
    screen.unmount();
    const alone = desk([], [who]);
    await shown(alone.desk);
    await page.getByRole("button", { name: t.letInAs("Ann") }).click();
    expect(alone.acts.tell).toHaveBeenLastCalledWith({ do: "let_in", seat: 9, known_as: 2 });
    await page.getByRole("button", { name: t.turnAway }).click();
    expect(alone.acts.tell).toHaveBeenLastCalledWith({ do: "turn_away", seat: 9 });
  });
});
