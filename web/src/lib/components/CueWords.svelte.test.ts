import { beforeEach, expect, test } from "vitest";
import { render } from "vitest-browser-svelte";
import { page } from "vitest/browser";
import "../css/base.css";
import "../css/class.css";
import CueWords from "./CueWords.svelte";

beforeEach(() => page.viewport(390, 844));

async function shown(words: string, marked = true) {
  const screen = await render(CueWords, { words, marked });
  screen.container.style.cssText = "position: relative; width: 340px; --cue-room: 240px; --cue-most: 60px";
  await new Promise((drawn) => requestAnimationFrame(() => requestAnimationFrame(drawn)));
  const cue = screen.container.querySelector(".cue")!;
  return {
    text: cue.textContent.replace(/\s+/g, " ").trim(),
    stressed: [...cue.querySelectorAll("em")].map((word) => word.textContent).join(" "),
    lines: cue.querySelectorAll(":scope > span").length,
  };
}

test("the word to stress is underlined wherever the lines break, and no asterisk is seen", async () => {
  expect(await shown("I said *fifty*, not fifteen.")).toMatchObject({
    text: "I said fifty, not fifteen.",
    stressed: "fifty,",
  });
  expect(await shown("*I* want the red cup.")).toMatchObject({ text: "I want the red cup.", stressed: "I" });
  const long = await shown("The brown loaf, sliced, and *two of* the small rolls, please.");
  expect(long.lines).toBeGreaterThan(1);
  expect(long).toMatchObject({
    text: "The brown loaf, sliced, and two of the small rolls, please.",
    stressed: "two of",
  });
  for (const [words, marked] of [
    ["An*a*: stopped", false],
    ["Two * three is six.", true],
  ] as const)
    expect(await shown(words, marked), "written by somebody").toMatchObject({ text: words, stressed: "" });
  expect(await shown("Strong ah. Keep it full.")).toMatchObject({
    stressed: "",
    text: "Strong ah. Keep it full.",
  });
});
