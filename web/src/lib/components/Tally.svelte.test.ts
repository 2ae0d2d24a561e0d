import { expect, test } from "vitest";
import { render } from "vitest-browser-svelte";
import { page } from "vitest/browser";
import { text } from "../messages";
import type { Span } from "../wire/types";
import Tally from "./Tally.svelte";

const span = (rep: number, set = 1): Span => ({
  start_ms: 0,
  len_ms: 1,
  phase: "hold",
  cue: "x",
  set,
  rep,
  side: 0,
  marks: null,
  held_ms: 0,
});

test("past repetitions are full and the present one is half full; the words say the same", async () => {
  const { container } = await render(Tally, { span: span(3), reps: 5, sets: 1 });
  const marks = [...container.querySelectorAll("i")].map((mark) =>
    mark.className.replace(/\s*svelte-\w+/, "").trim(),
  );
  expect(marks).toEqual(["past", "past", "now", "", ""]);
  await expect.element(page.getByText(text.stage.step(3, 5), { exact: true })).toBeVisible();
});

test("sets are said, many repetitions are words alone, and one of one is nothing", async () => {
  const screen = await render(Tally, { span: span(2, 2), reps: 30, sets: 3 });
  await expect
    .element(page.getByText(`${text.stage.rep(2, 30)}, ${text.stage.set(2, 3)}`))
    .toBeInTheDocument();
  expect(screen.container.querySelectorAll("i")).toHaveLength(0);
  await screen.rerender({ span: span(1), reps: 1, sets: 1 });
  expect(screen.container.textContent.trim()).toBe("");
});
