import { expect, test } from "vitest";
import { text } from "./messages";
import { reportWords } from "./report-words";

const t = text.report;

test("each state says what is true and no more", () => {
  const by = "facilitator" as const;
  const words = [
    reportWords({ is: "on_its_way", late: false }),
    reportWords({ is: "on_its_way", late: true }),
    reportWords({ is: "recorded", unseen: false }),
    reportWords({ is: "seen", by, name: "Ines" }),
    reportWords({ is: "coming", by, name: null }),
    reportWords({ is: "refused" }),
  ];
  expect(words.map(({ title }) => title)).toEqual([
    t.onItsWay,
    t.late,
    t.recorded,
    "Ines has seen it.",
    "Your facilitator is seeing to it.",
    t.refused,
  ]);
  expect(words.map(({ reached }) => reached)).toEqual([0, 0, 1, 2, 3, 0]);
});

test("whoever is not looked after is told what to do if it gets worse", () => {
  const told = (of: Parameters<typeof reportWords>[0]): boolean => reportWords(of).unattended;
  expect([told({ is: "recorded", unseen: true }), told({ is: "on_its_way", late: true })]).toEqual([
    true,
    true,
  ]);
  expect(told({ is: "refused" })).toBe(true);
  expect(told({ is: "seen", by: "helper", name: null })).toBe(false);
  expect(told({ is: "coming", by: "helper", name: null })).toBe(false);
  expect(reportWords({ is: "recorded", unseen: true }).then).toContain(t.rest);
});
