// A group's calendar file and a person's calendar, read and expanded by programs that know nothing of ours (icalendar with
// recurring-ical-events, and ical.js), give the classes that the server gives, for two years and in zones of every kind.

import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";
import { fileURLToPath } from "node:url";
import ICAL from "ical.js";
import { Server } from "../server.mjs";
import { firstAccount } from "../staff.mjs";

const here = (path) => fileURLToPath(new URL(path, import.meta.url));
const WEEKS = 104;
const NOTHING = { cancelled: null, day: null, start: null, minutes: null, led_by: null };
/** Something in every line that a calendar could take for its own. */
const NAME = "Tide; Pool, \\n \"Ärzte\" 🌊 and a name too long for one line of 75 octets";

let server, folder, origin, cookie;

before(async () => {
  server = await new Server().start();
  folder = mkdtempSync(join(tmpdir(), "samebreath-ics-"));
  origin = `http://${server.links.listens_on}`;
  const { name, value } = await firstAccount(server);
  cookie = `${name}=${value}`;
});
after(async () => {
  await server.stop();
  rmSync(folder, { recursive: true, force: true });
});

async function ask(path, method = "GET", body = undefined) {
  const headers = { "content-type": "application/json", origin, cookie };
  return fetch(`${origin}${path}`, { method, headers, ...(body === undefined ? {} : { body: JSON.stringify(body) }) });
}

async function json(path, method, body) {
  const answer = await ask(path, method, body);
  assert.equal(answer.status, 200, await answer.clone().text());
  return answer.json();
}

const group = (zone, start = "10:00") => ({
  name: NAME, weekday: 2, start, minutes: 60, zone, first: null, last: null, others: [], weeks_apart: 8, people: [],
});

/** The starts and ends in a file up to the instant `until`, by ical.js. */
function expanded(text, until) {
  const file = new ICAL.Component(ICAL.parse(text));
  ICAL.TimezoneService.reset();
  for (const zone of file.getAllSubcomponents("vtimezone")) ICAL.TimezoneService.register(zone);
  const events = file.getAllSubcomponents("vevent").map((part) => new ICAL.Event(part));
  const found = [];
  const add = (start, end) => found.push([start.toUnixTime() * 1000, end.toUnixTime() * 1000]);
  for (const event of events.filter((one) => !one.isRecurrenceException())) {
    if (!event.isRecurring()) {
      add(event.startDate, event.endDate);
      continue;
    }
    for (const other of events) if (other.isRecurrenceException() && other.uid === event.uid) event.relateException(other);
    const days = event.iterator();
    for (let day = days.next(); day && day.toUnixTime() * 1000 <= until; day = days.next()) {
      const { startDate, endDate } = event.getOccurrenceDetails(day);
      add(startDate, endDate);
    }
  }
  return found.sort(([one], [other]) => one - other);
}

/** What outsiders read in the calendar at `path`, beside the classes that the server gives for some groups. */
async function read(groups, path = `/api/planner/groups/${groups[0].id}/class.ics`) {
  const each = await Promise.all(groups.map(({ content }) => json("/api/planner/groups/look", "POST", { group: content, weeks: WEEKS })));
  const classes = each.flatMap((look) => look.classes);
  const answer = await ask(path);
  assert.equal(answer.headers.get("content-type"), "text/calendar; charset=utf-8");
  const text = Buffer.from(await answer.arrayBuffer());
  const file = join(folder, `${groups[0].id}.ics`);
  writeFileSync(file, text);
  const held = classes.filter(({ cancelled }) => cancelled === null).sort((one, other) => one.starts - other.starts);
  // An outsider asks by the day in UTC; one more day on either side has no class in it.
  const ends = [Math.min(...classes.map(({ starts }) => starts)), Math.max(...classes.map(({ starts }) => starts))];
  const days = ends.map((at, last) => new Date(at + (last ? 1 : -1) * 86_400_000).toISOString().slice(0, 10));
  const python = here("../.venv/bin/python");
  const seen = JSON.parse(execFileSync(python, [here("calendar_file.py"), file, ...days], { encoding: "utf8" }));
  const ours = held.map(({ starts, ends }) => [starts, ends]);
  const first = ours[0][0];
  const also = expanded(text.toString("utf8"), ends[1] + 1).filter(([start]) => start >= first && start <= ends[1]);
  assert.deepEqual(also, ours, "by ical.js");
  return { seen, ours, classes };
}

test("two years of classes come out alike over changes of clocks, in zones of every kind", async () => {
  const zones = [
    "America/New_York", "Europe/Berlin", "Europe/Dublin", "Australia/Sydney", "America/Phoenix", "Asia/Kolkata", "UTC",
    "Africa/Casablanca", "America/Santiago", "Asia/Jerusalem", "Australia/Lord_Howe", "Pacific/Kiritimati",
  ];
  const without = [];
  for (const zone of zones) {
    const kept = await json("/api/planner/groups", "POST", group(zone));
    const { seen, ours } = await read([kept]);
    assert.equal(ours.length, WEEKS, zone);
    assert.deepEqual(seen.found, ours, zone);
    assert.deepEqual([seen.errors, seen.loose, seen.whole], [[], 0, true], zone);
    assert.ok(seen.longest <= 75, `${zone}: a line of ${seen.longest} octets`);
    assert.deepEqual(seen.summaries, [NAME], `${zone}: the name adds nothing and loses nothing`);
    if (seen.zones.length === 0) {
      without.push(zone);
      assert.ok(seen.begins.every((at) => at.endsWith("Z")), zone);
      continue;
    }
    // Some calendars take only one rule for each time of the year, and need one that begins before the first class.
    assert.deepEqual(seen.zones.map(({ id }) => id), [zone]);
    assert.ok([1, 2].includes(seen.zones[0].parts.length), zone);
    assert.equal(new Set(seen.zones[0].parts).size, seen.zones[0].parts.length, zone);
    const first = new Date(ours[0][0]).toISOString();
    assert.ok(seen.zone_begins.every((at) => at < first), `${zone}: ${seen.zone_begins}`);
    assert.deepEqual(seen.uids, [kept.id]);
  }
  // Their changes follow the moon, the Sabbath or a decree: each class is written by its instant.
  assert.deepEqual(without, ["Africa/Casablanca", "America/Santiago", "Asia/Jerusalem"]);
});

test("a cancelled, a moved and a longer day come out alike, and a change keeps the id and counts one up", async () => {
  let kept = await json("/api/planner/groups", "POST", group("Europe/Berlin", "09:30"));
  const { classes } = await read([kept]);
  const [, cancelled, moved, longer] = classes.map(({ of }) => of);
  const later = new Date(Date.parse(moved) + 2 * 86_400_000).toISOString().slice(0, 10);
  const others = [
    { ...NOTHING, of: cancelled, cancelled: "Holidays" },
    { ...NOTHING, of: moved, day: later, start: "11:00" },
    { ...NOTHING, of: longer, minutes: 90 },
    { ...NOTHING, of: classes[5].of, led_by: "Mara" },
  ];
  const last = classes[40].of;
  const save = { after: 1, content: { ...kept.content, others, last } };
  kept = (await json(`/api/planner/groups/${kept.id}`, "PUT", save)).now;
  const { seen, ours } = await read([kept]);
  assert.deepEqual([ours.length, seen.found], [40, ours]);
  assert.deepEqual([seen.uids, seen.sequences], [[kept.id], [1]]);
  assert.equal(seen.events.length, 3, "one for every week, and one for each of the two days");
  assert.ok(seen.events.every((names) => ["DTSTAMP", "DTSTART", "UID"].every((name) => names.includes(name))));
});

test("a group without a time zone has no file, and says what it needs", async () => {
  const kept = await json("/api/planner/groups", "POST", group(null));
  const answer = await ask(`/api/planner/groups/${kept.id}/class.ics`);
  assert.deepEqual([answer.status, (await answer.json()).text], [422, "a calendar needs the group's day of the week, its time and its time zone"]);
});

test("a person's calendar has the classes of all their groups, each zone once, and hears of a change", async () => {
  const person = await json("/api/planner/people", "POST", { name: "Ada", conditions: [], decisions: [] });
  const theirs = { people: [person.id] };
  const groups = [];
  for (const [zone, start, weekday] of [["Europe/Berlin", "10:00", 2], ["Europe/Berlin", "15:30", 4], ["America/New_York", "09:00", 5]]) {
    groups.push(await json("/api/planner/groups", "POST", { ...group(zone, start), ...theirs, name: `${zone} ${start}`, weekday }));
  }
  await json("/api/planner/groups", "POST", group("Asia/Kolkata"));
  const made = await json(`/api/planner/people/${person.id}/links`, "POST", { medium: "calendar", request: crypto.randomUUID() });
  const { seen, ours, classes } = await read(groups, made.path);
  assert.deepEqual([ours.length, seen.found], [3 * WEEKS, ours]);
  assert.deepEqual(seen.zones.map(({ id }) => id).sort(), ["America/New_York", "Europe/Berlin"]);
  assert.deepEqual([seen.summaries, seen.uids.length, seen.errors, seen.loose], [["Class"], 3, [], 0]);
  const content = { ...groups[0].content, others: [{ ...NOTHING, of: classes[0].of, cancelled: "Holidays" }] };
  groups[0] = (await json(`/api/planner/groups/${groups[0].id}`, "PUT", { after: 1, content })).now;
  const again = await read(groups, made.path);
  assert.deepEqual([again.ours.length, again.seen.found], [3 * WEEKS - 1, again.ours]);
  assert.deepEqual([again.seen.uids, again.seen.sequences], [seen.uids, [0, 1]]);
});
