// What classes were (W-21): attendance, what people said of each drill, stops, reports and whole repetitions, as the server
// folds them, are those that an independent script (record.py) finds in the database. The ledgers are those of the demo's six
// weeks, which are played without any of the code that reads them.

import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { after, before, test } from "node:test";
import { fileURLToPath } from "node:url";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { Server } from "../server.mjs";

const here = (path) => fileURLToPath(new URL(path, import.meta.url));
let server, origin, cookie;

async function ask(path, body, as = cookie) {
  const headers = { "content-type": "application/json", origin, cookie: as };
  const answer = await fetch(origin + path, { method: body ? "POST" : "GET", headers, ...(body ? { body: JSON.stringify(body) } : {}) });
  assert.ok(answer.ok, `${path}: ${answer.status}`);
  return answer;
}

const cookieOf = (answer) => answer.headers.getSetCookie()[0].split(";")[0];

before(async () => {
  server = await new Server().start("demo");
  origin = `http://${server.links.listens_on}`;
  const token = new URL(server.links.staff.trial).hash.split(".").at(-1);
  cookie = cookieOf(await ask("/api/staff/open", { token, request: crypto.randomUUID() }, ""));
});
after(() => server.stop());

test("the records of all classes that were held are what another program finds in the database", async () => {
  const found = JSON.parse(execFileSync(here("../.venv/bin/python"), [here("record.py"), join(server.folder, "samebreath.db")], { encoding: "utf8", maxBuffer: 1 << 26 }));
  const groups = await (await ask("/api/planner/groups")).json();
  const counts = { classes: 0, people: 0, done: 0, stops: 0, reports: 0, part: 0 };
  for (const { id } of groups) {
    const table = await (await ask(`/api/planner/groups/${id}/attendance`)).json();
    for (const [index, { session, minutes, came }] of table.classes.entries()) {
      const opened = await ask(`/api/planner/classes/${session}/desk`, {});
      const { stay } = await opened.clone().json();
      const { record } = await (await ask(`/api/desk/${stay}/after`, undefined, cookieOf(opened))).json();
      const other = found[session];
      counts.classes++;
      assert.deepEqual([record.minutes, minutes], [other.minutes, other.minutes]);
      assert.equal(record.people.length, Object.keys(other.people).length);
      assert.deepEqual(record.reports.map((report) => report.id), other.reports);
      counts.reports += other.reports.length;
      for (const person of record.people) {
        const its = other.people[person.seat];
        const about = `${person.name} in ${session}`;
        assert.deepEqual([person.minutes, person.recorded_minutes], [its.minutes, its.recorded], about);
        const done = person.steps.filter((one) => one.answer === "done").map((one) => one.step).sort((a, b) => a - b);
        assert.deepEqual(done, its.done, about);
        assert.equal(person.stops.length, its.stops, about);
        counts.people++;
        counts.done += done.length;
        counts.stops += its.stops;
        if (its.minutes > 0 && its.minutes < other.minutes) counts.part++;
        const line = table.people.find((one) => one.person === person.person);
        if (line) assert.equal(line.cells[index].minutes, its.minutes, about);
      }
      assert.equal(record.people.filter((one) => one.minutes > 0).length, came);
      // The demo's classes do their plans whole.
      for (const step of record.steps.filter((one) => one.drill !== null)) {
        assert.deepEqual([step.planned.reps, step.done.reps], [other.reps[step.step], other.reps[step.step]], step.title);
      }
    }
  }
  // There was something to compare.
  assert.ok(counts.classes >= 9 && counts.done > 200 && counts.stops > 5 && counts.reports > 0 && counts.part > 2, JSON.stringify(counts));
});

test("the files of a group's classes are read by Python, have no formula, and say what the pages say (W-28, W-29)", async () => {
  const group = (await (await ask("/api/planner/groups")).json()).find(({ name }) => name.startsWith("Lantern"));
  const folder = mkdtempSync(join(tmpdir(), "files-"));
  const tables = ["classes", "attendance", "answers", "efforts", "reports"].map((name) => `${name}.csv`);
  for (const name of [...tables, "records.json", "records.schema.json"]) {
    const file = await ask(`/api/planner/groups/${group.id}/records/${name}`);
    writeFileSync(join(folder, name), await file.text());
  }
  const read = JSON.parse(execFileSync(here("../.venv/bin/python"), [here("tables.py"), folder], { encoding: "utf8", maxBuffer: 1 << 26 }));
  rmSync(folder, { recursive: true });
  const table = await (await ask(`/api/planner/groups/${group.id}/attendance`)).json();
  assert.deepEqual(read.classes.map((row) => [row.class, row.day, Number(row.came)]), table.classes.map((one) => [one.session, one.day, one.came]));
  for (const person of table.people) {
    const rows = read.attendance.filter((row) => row.person === person.person);
    assert.equal(rows.reduce((sum, row) => sum + Number(row.minutes), 0), person.minutes, person.name);
    assert.equal(rows.filter((row) => row.attended !== "no").length, person.came, person.name);
    const { progress } = await (await ask(`/api/planner/people/${person.person}/progress`)).json();
    const mine = (of) => read[of].filter((row) => row.person === person.person && read.classes.some((one) => one.class === row.class));
    const here = progress.classes.filter((one) => read.classes.some((row) => row.class === one.session));
    assert.deepEqual(mine("efforts").map((row) => Number(row.effort)), here.flatMap((one) => one.efforts));
    assert.equal(mine("answers").filter((row) => row.answer === "done" && row.form !== "rest").length, here.reduce((sum, one) => sum + one.done, 0));
    assert.equal(mine("reports").length, here.reduce((sum, one) => sum + one.reports.length, 0));
  }
  assert.ok(read.answers.length > 300 && read.efforts.length > 20 && read.reports.length > 0);
});

test("a person's own copy has all of theirs and nothing of others, and is read without this program (W-27, W-29)", async () => {
  const folder = mkdtempSync(join(tmpdir(), "copy-"));
  const people = await (await ask("/api/planner/people")).json();
  const maelys = people.find(({ name }) => name === "Maelys");
  const file = await ask(`/api/planner/people/${maelys.id}/copy.zip`);
  writeFileSync(join(folder, "copy.zip"), Buffer.from(await file.arrayBuffer()));
  const { content, page } = JSON.parse(execFileSync(here("../.venv/bin/python"), [here("own_copy.py"), join(folder, "copy.zip")], { encoding: "utf8", maxBuffer: 1 << 26 }));
  rmSync(folder, { recursive: true });
  const { progress, notes } = await (await ask(`/api/planner/people/${maelys.id}/progress`)).json();
  assert.deepEqual(content.classes.map((one) => [one.id, one.there_minutes]), progress.classes.map((one) => [one.session, one.there]));
  assert.deepEqual(content.notes.map((one) => one.sha256), notes.map((one) => one.sha256));
  assert.deepEqual([content.person.name, content.person.precautions], ["Maelys", ["neck"]]);
  for (const text of ["Maelys", "555 01", "neck", "Signed by Ines", "Decided by Ines", ...content.notes.map((one) => one.signed.content.words.assessment)])
    assert.ok(page.includes(text), text);
  const all = JSON.stringify(content) + page;
  for (const { name } of people.filter((one) => one !== maelys)) assert.ok(!all.includes(name), name);
  assert.ok(content.looked_at.some(({ act }) => act === "read: groups, attendance"), "who looked at the whole group is in it");
  // Whoever took the first copy is in the second.
  const second = await ask(`/api/planner/people/${maelys.id}/copy.zip`);
  const again = mkdtempSync(join(tmpdir(), "copy-"));
  writeFileSync(join(again, "copy.zip"), Buffer.from(await second.arrayBuffer()));
  const { content: later } = JSON.parse(execFileSync(here("../.venv/bin/python"), [here("own_copy.py"), join(again, "copy.zip")], { encoding: "utf8", maxBuffer: 1 << 26 }));
  rmSync(again, { recursive: true });
  assert.ok(later.looked_at.some(({ act }) => act === "read: people, copy.zip"), JSON.stringify(later.looked_at.slice(-3)));
});

test("what other programs may call is as its description says, which a validator of others accepts (W-48)", async () => {
  const description = await (await fetch(`${origin}/api/openapi.json`)).json();
  const folder = mkdtempSync(join(tmpdir(), "openapi-"));
  writeFileSync(join(folder, "openapi.json"), JSON.stringify(description));
  const validate = ["-m", "openapi_spec_validator", "--errors", "all", join(folder, "openapi.json")];
  assert.match(execFileSync(here("../.venv/bin/python"), validate, { encoding: "utf8" }), /OK/);
  rmSync(folder, { recursive: true });
  const [people, groups, plans] = await Promise.all(["people", "groups", "plans"].map(async (of) => (await ask(`/api/planner/${of}`)).json()));
  const ids = { people: people[0].id, groups: groups[0].id, plans: plans[0].id };
  const answers = (operation, status) => Object.keys(operation.responses[status].content ?? {});
  let called = 0;
  const forPrograms = ([, { get }]) => get?.tags.includes("For other programs");
  for (const [path, { get: operation }] of Object.entries(description.paths).filter(forPrograms)) {
    const file = operation.parameters.find(({ name }) => name === "file")?.schema.enum ?? [""];
    for (const name of file) {
      const of = path.split("/")[3];
      const filled = path.replace("{id}", ids[of]).replace("{file}", name);
      // A calendar needs a link of its own, which the tests of calendars have.
      if (path.includes("{token}")) continue;
      const answer = await ask(filled);
      const kind = answer.headers.get("content-type").split(";")[0];
      assert.ok(answers(operation, "200").includes(kind), `${filled}: ${kind}`);
      if (operation.security.length > 0) {
        const out = await fetch(origin + filled);
        assert.deepEqual([out.status, answers(operation, "401")], [401, ["application/json"]], filled);
        assert.deepEqual(Object.keys(await out.json()).sort(), description.components.schemas.Problem.required);
      }
      called++;
    }
  }
  assert.ok(called > 15, `${called}`);
});

// It comes last: what it makes up is in the database afterwards.
test("nothing that schemathesis makes up for any route is an error of the server (W-48)", () => {
  const asWho = ["-H", `cookie: ${cookie}`, "-H", `origin: ${origin}`];
  // What signs out would end the test, and a socket is no request.
  const routes = ["--exclude-path-regex", "sign-out|^/ws/"];
  const how = ["--checks", "not_a_server_error", "--phases", "coverage,fuzzing", "--max-examples", "4", "--seed", "1", "--no-color"];
  const said = execFileSync(here("../.venv/bin/st"), ["run", `${origin}/api/openapi.json`, "--url", origin, ...asWho, ...routes, ...how], { encoding: "utf8", maxBuffer: 1 << 26, cwd: server.folder });
  const [, made, passed] = said.match(/(\d+) generated, (\d+) passed/);
  assert.ok(Number(made) > 1000 && made === passed, said);
});
