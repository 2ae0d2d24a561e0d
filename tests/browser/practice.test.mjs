// What people take home from the demo's last class: sheets that staff print, read back by pypdf, and a person's own, from which
// a clearance that is withdrawn takes a drill at the next contact (W-41, W-43).

import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { randomUUID } from "node:crypto";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test as nodeTest } from "node:test";
import { fileURLToPath } from "node:url";
import { accessible, reflows } from "./gallery.mjs";
import { asks, House } from "./people.mjs";

const test = (name, act) => nodeTest(name, { timeout: 90_000 }, act);
const here = (path) => fileURLToPath(new URL(path, import.meta.url));
const key = (name, of) => of.getByRole("button", { name, exact: true });
let house, page, origin, session, people, folder;

const ask = (...what) => asks(page, origin, ...what);

before(async () => {
  folder = mkdtempSync(join(tmpdir(), "samebreath-sheets-"));
  house = await House.open("demo");
  page = await house.linked(house.server.links.staff.trial);
  await page.getByRole("heading", { name: "Left to do" }).waitFor();
  origin = new URL(page.url()).origin;
  people = await ask("/api/planner/people");
  const group = (await ask("/api/planner/groups")).find(({ name }) => name.startsWith("Lantern"));
  session = (await ask(`/api/planner/groups/${group.id}/attendance`)).classes.at(-1).session;
});
after(async () => {
  rmSync(folder, { recursive: true, force: true });
  await house?.close();
});

/** What was printed, page by page. */
async function printed(name) {
  const path = join(folder, `${name}.pdf`);
  await page.pdf({ path, preferCSSPageSize: true });
  return JSON.parse(execFileSync(here("../.venv/bin/python"), [here("../reference/pages.py"), path], { encoding: "utf8", maxBuffer: 1 << 26 }));
}

test("the sheets of a class are on paper as large as they must be, with no drill cut in two (W-43)", async () => {
  const { people: of } = await ask(`/api/planner/classes/${session}/sheets`);
  const filled = of.filter(({ sheet }) => sheet.items.length > 0);
  assert.ok(filled.length > 5);
  await page.goto(`${origin}/planner#sheets.${session}`);
  await page.reload();
  await key(`Print ${filled.length} sheets`, page).waitFor();
  await accessible(page);
  await reflows(page);
  for (const [paper, width, height] of [["a4", 595, 842], ["letter", 612, 792]]) {
    await page.getByLabel("Paper").selectOption(paper);
    const pages = await printed(paper);
    for (const one of pages) {
      assert.deepEqual([Math.round(one.width), Math.round(one.height)], [width, height], paper);
      assert.ok(one.smallest >= 17.9, `${one.smallest} pt on page ${pages.indexOf(one) + 1} of ${pages.length} of ${paper}: ${one.text}`);
      // What the screen has around the sheets is not printed.
      assert.doesNotMatch(one.text, /Print \d+ sheets|For funders/);
    }
    const plain = (text) => text.replace(/\s+/g, " ");
    for (const { sheet } of filled) {
      const first = pages.findIndex(({ text }) => plain(text).includes(`${sheet.name}: practice at home`));
      const next = pages.findIndex(({ text }, at) => at > first && text.includes(": practice at home"));
      const own = pages.slice(first, next < 0 ? undefined : next).map(({ text }) => plain(text));
      assert.ok(first >= 0, sheet.name);
      for (const item of sheet.items) {
        // The name of a drill, its caution and its boxes are on one page.
        const on = own.filter((text) => text.includes(item.content.title));
        assert.equal(on.length, 1, `${item.content.title} of ${sheet.name}`);
        assert.ok(item.cautions.every((caution) => on[0].includes(caution)) && /Mon Tue Wed Thu Fri Sat Sun/.test(on[0]), on[0]);
      }
      assert.ok(own.some((text) => text.includes("Stop when") && text.includes("call your emergency number now")), sheet.name);
    }
  }
});

test("a person reads their own sheet, and what a clinician withdraws is gone at the next contact (W-41)", async () => {
  const maelys = people.find(({ name }) => name === "Maelys");
  const { path, card } = await ask(`/api/planner/people/${maelys.id}/links`, { medium: "tablet", request: randomUUID() });
  const own = await (await house.browser.newContext({ viewport: { width: 820, height: 1180 } })).newPage();
  await own.goto(origin + path);
  await key("Yes, I am Maelys", own).click();
  await key("Practice at home", own).click();
  await key("Read the sheet", own).click();
  await own.getByRole("heading", { name: "Maelys: practice at home" }).waitFor();
  const { people: of } = await ask(`/api/planner/classes/${session}/sheets`);
  const [item, other] = of.find(({ person }) => person === maelys.id).sheet.items;
  await own.getByRole("heading", { name: item.content.title }).waitFor();
  await accessible(own);
  await reflows(own);
  // A clinician leaves the drill out for her.
  const { version, content } = await ask(`/api/planner/people/${maelys.id}`);
  const without = { ...content, forms: [...content.forms, { of: { drill: item.drill }, way: "leave_out", note: null }] };
  await ask(`/api/planner/people/${maelys.id}`, { after: version, content: without }, "PUT");
  // It goes from the sheet that lies open, without a tap.
  await own.getByRole("heading", { name: item.content.title }).waitFor({ state: "detached", timeout: 60_000 });
  await own.getByRole("heading", { name: other.content.title }).waitFor();
  // Nobody else learns what it is.
  assert.equal((await fetch(`${origin}/api/own/${card.id}/sheets`)).status, 401);
  await own.context().close();
  // Staff see what is not on it.
  await page.reload();
  await page.getByText(`Not on this sheet: ${item.content.title}.`).waitFor();
});
