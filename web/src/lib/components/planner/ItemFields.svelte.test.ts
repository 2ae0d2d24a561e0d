import { expect, test, vi } from "vitest";
import { render } from "vitest-browser-svelte";
import { page } from "vitest/browser";
import { plannerText as t } from "../../messages/planner";
import type { DrillCard, LibraryBook } from "../../wire/types";
import { LONGEST } from "../../wire/types";
import ItemFields from "./ItemFields.svelte";

const book = {
  item_sets: [{ id: "some", name: "Some", kind: "phrase", items: [{ say: "One." }, { say: "Two." }] }],
} as unknown as LibraryBook;
const card = {
  drill: { dose: { sets: 1, reps: 1 }, sides: [{}], items: { set: "some", each: "rep" } },
} as unknown as DrillCard;

test("a line of one's own that is too long is not taken, stays on the screen, and says how long it may be", async () => {
  const onchange = vi.fn();
  await render(ItemFields, { book, card, change: {} as never, choice: undefined, onchange });
  await page.getByRole("combobox").selectOptions("own");
  const own = page.getByRole("textbox", { name: t.items.ownLabel });
  const long = "a".repeat(LONGEST.item + 1);
  await own.fill(`Good morning.\n${long}`);
  own.element().dispatchEvent(new Event("change", { bubbles: true }));
  await expect.element(page.getByRole("alert")).toHaveTextContent(t.items.tooLong(long, LONGEST.item));
  await expect.element(own).toHaveValue(`Good morning.\n${long}`);
  expect(onchange).not.toHaveBeenCalled();
  await own.fill("  Good   morning. \n\nTwo rolls.");
  own.element().dispatchEvent(new Event("change", { bubbles: true }));
  await expect.element(page.getByRole("alert")).not.toBeInTheDocument();
  expect(onchange.mock.calls).toEqual([[{ set: null, only: [], words: ["Good morning.", "Two rolls."] }]]);
});
