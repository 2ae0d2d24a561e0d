// What the page with sums for funders says, in English.

export const sumsText = {
  title: "For funders",
  note: "Counts of people, classes and minutes over a period. Small counts are hidden, and whatever would give them away. Do not hand out periods that overlap but for a few days: two tables together may tell what neither does.",
  from: "From",
  to: "To",
  below: "Hide counts below",
  five: "5",
  eleven: "11, where the funder asks for it",
  show: "Show",
  file: "As a file",
  print: "Print",
  failed: "The sums could not be read. Try again.",
  period: (from: string, to: string) => `${from} to ${to}`,
  columns: ["Classes held", "Cancelled", "People", "New", "Returning", "Attendances", "Hours"],
  total: "All groups that you may see",
  table: "Sums of the period",
  hidden: "hidden",
  withoutLine: (n: number) =>
    n === 1
      ? "One group has no line of its own, because that would show few people."
      : `${n} groups have no lines of their own, because those would show few people.`,
  rounded:
    "Counts are rounded to five, and minutes to hours: together with last year’s, exact ones would tell of whoever joined or left.",
};
