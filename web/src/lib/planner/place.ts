// Where somebody is in the planner, as the part of the address behind `#`: a plan and a step of it, a group, a
// person, a round of the word game, the notes or home sheets of a class, a plan for home, the weeks of a person, the list, the accounts
// of staff, or what is kept how long. A page that is loaded again, or goes back, is where it was. It is pure.

/** The pages of one kind. */
export type Single = "list" | "account" | "staff" | "kept" | "sums";
/** The pages on which a document is edited. */
export type Edited =
  { is: "plan"; id: string; step: number | null } | { is: "group" | "person" | "round"; id: string };
/** The pages beside documents. */
export type Beside = { is: Single } | { is: "notes" | "weeks" | "sheets" | "home"; id: string };

export type Place = Edited | Beside;
/** What an address may ask for on the way to a place: a copy of a plan for the next class of its group. */
export interface Errand {
  is: "next";
  id: string;
  /** The day of that class. */
  day: string;
}

export const isEdited = (place: Place | Errand): place is Edited =>
  place.is === "plan" || place.is === "group" || place.is === "person" || place.is === "round";

const ID = "[0-9a-f-]{36}";

export function placeIn(hash: string): Place | Errand {
  const single = /^#(account|staff|kept|sums)$/.exec(hash);
  if (single) return { is: single[1] as Single };
  const plan = new RegExp(`^#plan\\.(${ID})(?:\\.(\\d{1,3}))?$`).exec(hash);
  if (plan) return { is: "plan", id: plan[1]!, step: plan[2] === undefined ? null : Number(plan[2]) - 1 };
  const next = new RegExp(`^#next\\.(${ID})\\.(\\d{4}-\\d\\d-\\d\\d)$`).exec(hash);
  if (next) return { is: "next", id: next[1]!, day: next[2]! };
  const other = new RegExp(`^#(group|person|round|notes|weeks|sheets|home)\\.(${ID})$`).exec(hash);
  return other
    ? { is: other[1] as "group" | "person" | "round" | "notes" | "weeks" | "sheets" | "home", id: other[2]! }
    : { is: "list" };
}

export function hashOf(place: Place): string {
  switch (place.is) {
    case "list":
      return "";
    case "account":
    case "staff":
    case "kept":
    case "sums":
      return `#${place.is}`;
    case "plan":
      return `#plan.${place.id}${place.step === null ? "" : `.${place.step + 1}`}`;
    case "group":
    case "person":
    case "round":
    case "notes":
    case "weeks":
    case "sheets":
    case "home":
      return `#${place.is}.${place.id}`;
  }
}

/** Whether two places are the same page, whatever step is chosen on it. */
export function isSamePage(a: Place, b: Place): boolean {
  const of = (place: Place): string => ("id" in place ? place.id : "");
  return a.is === b.is && of(a) === of(b);
}
