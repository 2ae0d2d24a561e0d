// A link by mail: only where the server can send to the person, and what came of letters in the mail server's words.

import { expect, test, vi } from "vitest";
import { page } from "vitest/browser";
import { render } from "vitest-browser-svelte";
import { LinksState } from "../../state/links.svelte";
import type { LetterCard, Medium } from "../../wire/types";
import Links from "./Links.svelte";

function shown(mail: string | null, letters: LetterCard[] = []) {
  const card = { id: "l", medium: "mail" as Medium, created_at: 0, used_at: null, devices: 0 };
  const server = {
    ownLinks: () => Promise.resolve([]),
    newOwnLink: () => Promise.resolve({ card, path: "/own#TOKEN" }),
    endOwnLink: () => Promise.resolve(),
    mailLink: vi.fn(() => Promise.resolve({ posted: 1, again: 0, without: [] })),
    letters: () => Promise.resolve(letters),
  };
  const state = new LinksState(
    "planner/people/p/links",
    server,
    (act) => act(),
    () => undefined,
  );
  const props = { name: "Ada", media: ["mail"] as const, classes: [], print: () => undefined };
  return { server, state, screen: render(Links, { state, mail, speaks: "es", ...props }) };
}

test("a link is sent to the person's address, and what was shown of it goes: the letter has a token of its own", async () => {
  const { server, state } = shown("ada@example.org");
  await page.getByRole("button", { name: "Make it" }).click();
  await expect.element(page.getByText("/own#TOKEN", { exact: false }).first()).toBeVisible();
  await page.getByRole("button", { name: "Send it to ada@example.org" }).click();
  await expect.poll(() => state.made).toBeNull();
  expect(server.mailLink).toHaveBeenCalledWith("planner/people/p/links", "l");
});

test("without a mail server or an address, no key offers it", async () => {
  shown(null);
  await page.getByRole("button", { name: "Make it" }).click();
  await expect.element(page.getByRole("button", { name: "Copy a message" })).toBeVisible();
  expect(page.getByRole("button", { name: /^Send it/ }).elements()).toHaveLength(0);
});

test("a letter that was not delivered says why", async () => {
  const letter: LetterCard = {
    purpose: { purpose: "link", link: "l" },
    asked_at: 0,
    state: "failed",
    error: "550 no such mailbox here",
  };
  shown(null, [letter]);
  await expect
    .element(page.getByText("not delivered, 550 no such mailbox here", { exact: false }))
    .toBeVisible();
});
