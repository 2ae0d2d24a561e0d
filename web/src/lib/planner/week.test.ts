import { expect, test } from "vitest";
import { cancelledMessage, momentsOf, otherOf, placeOf, withOther } from "./week";
import type { Group, Occurrence } from "../wire/types";

const GROUP: Group = {
  name: "a",
  weekday: 2,
  start: "10:00",
  minutes: 60,
  zone: "America/New_York",
  first: null,
  last: null,
  others: [],
  entrusted: [],
  weeks_apart: 8,
  notes: false,
  people: [],
};

/** Tuesdays at ten in New York seen from Berlin: an hour earlier between the two changes of clocks. The instants are
 * those of server/core/tests/week.rs. */
test("a time is told by the reader's clocks, and by those of the class where they differ", () => {
  const class_ = (starts: string): Occurrence => ({
    of: "2026-10-27",
    day: "2026-10-27",
    starts: Date.parse(starts),
    ends: 0,
    cancelled: null,
    led_by: null,
  });
  const seen = (starts: string) => momentsOf(class_(starts), "America/New_York", "Europe/Berlin");
  expect(seen("2026-10-20T14:00Z")).toEqual({ here: "Tue 20 Oct, 16:00", there: "Tue 20 Oct, 10:00" });
  expect(seen("2026-10-27T14:00Z")).toEqual({ here: "Tue 27 Oct, 15:00", there: "Tue 27 Oct, 10:00" });
  expect(seen("2026-11-03T15:00Z")).toEqual({ here: "Tue 3 Nov, 16:00", there: "Tue 3 Nov, 10:00" });
  expect(momentsOf(class_("2026-10-27T14:00Z"), "Europe/Berlin", "Europe/Paris").there).toBe(null);
  expect(["America/New_York", "America/Argentina/Buenos_Aires", "UTC"].map(placeOf)).toEqual([
    "New York",
    "Buenos Aires",
    "UTC",
  ]);
});

test("what is different about a day is kept by that day, and gone when nothing is different any more", () => {
  const late = { ...otherOf(GROUP, "2027-01-12"), start: "11:00" };
  const one = withOther(GROUP, late);
  const two = withOther(one, { ...otherOf(one, "2027-01-05"), cancelled: "Away" });
  expect(two.others.map(({ of }) => of)).toEqual(["2027-01-05", "2027-01-12"]);
  expect(otherOf(two, "2027-01-12")).toEqual(late);
  expect(withOther(two, { ...late, start: null }).others.map(({ of }) => of)).toEqual(["2027-01-05"]);
  expect(GROUP.others).toEqual([]);
});

test("a message says which class is cancelled, why, and when the next one is", () => {
  const on = (day: string, cancelled: string | null): Occurrence => ({
    of: day,
    day,
    starts: Date.parse(`${day}T14:00Z`),
    ends: 0,
    cancelled,
    led_by: null,
  });
  const classes = [on("2026-10-13", "Away"), on("2026-10-20", "Away"), on("2026-10-27", null)];
  expect(cancelledMessage(GROUP, classes, classes[0]!, "Ines is away.")).toBe(
    "a: there is no class on Tuesday 13 October at 10:00. Ines is away. The next class is on Tuesday 27 October at 10:00.",
  );
  expect(cancelledMessage(GROUP, classes, classes[2]!, "Holidays.")).toBe(
    "a: there is no class on Tuesday 27 October at 10:00. Holidays.",
  );
});
