import { describe, expect, test, vi } from "vitest";
import { render } from "vitest-browser-svelte";
import { page, userEvent } from "vitest/browser";
import { text } from "../messages";
import ClueAnswer from "./ClueAnswer.svelte";

const t = text.seat;

describe("answering a clue", () => {
  test("takes a written word, trimmed, and nothing empty", async () => {
    const onanswer = vi.fn();
    await render(ClueAnswer, { said: null, over: false, onanswer });
    const field = page.getByLabelText(t.word);
    await field.fill("   ");
    await page.getByRole("button", { name: t.send }).click();
    expect(onanswer).not.toHaveBeenCalled();
    await field.fill("  spade ");
    await userEvent.keyboard("{Enter}");
    expect(onanswer.mock.calls).toEqual([["spade"]]);
    await expect.element(field).toHaveValue("");
    await expect.element(field).toHaveAttribute("maxlength", "60");
  });

  test("ends with a right word, and goes on after another one", async () => {
    const screen = await render(ClueAnswer, {
      said: { number: 1, word: "other" },
      over: false,
      onanswer: vi.fn(),
    });
    await expect.element(page.getByRole("status")).toHaveTextContent(t.otherWord);
    await expect.element(page.getByLabelText(t.word)).toBeVisible();
    await screen.rerender({ said: { number: 1, word: "right" } });
    await expect.element(page.getByRole("status")).toHaveTextContent(t.rightWord);
    await expect.element(page.getByLabelText(t.word)).not.toBeInTheDocument();
  });

  test("in a hunt for words, a listed one is said to be right, and none is said to be wrong", async () => {
    const said = { number: 1, word: "right" } as const;
    const screen = await render(ClueAnswer, { said, over: false, anyWord: true, onanswer: vi.fn() });
    await expect.element(page.getByRole("status")).toHaveTextContent(t.wordOfKind);
    await expect.element(page.getByLabelText(t.word)).toBeVisible();
    await screen.rerender({ said: { number: 1, word: "unlisted" } });
    await expect.element(page.getByRole("status")).toHaveTextContent(t.wordTaken);
    await expect.element(page.getByLabelText(t.word)).toBeVisible();
  });

  test("shows nothing to do once the answer is on the screen", async () => {
    await render(ClueAnswer, { said: null, over: true, onanswer: vi.fn() });
    await expect.element(page.getByRole("button")).not.toBeInTheDocument();
  });
});
