// Where somebody is in the planner, as the part of the address behind `#`: a plan and a step of it, a group, a
// person, a round of the word game, or the list. A page that is loaded again, or goes back, is where it was. It is pure.

export type Place =
  | { is: "list" }
  | { is: "plan"; id: string; step: number | null }
  | { is: "group" | "person" | "round"; id: string };

const ID = "[0-9a-f-]{36}";

export function placeIn(hash: string): Place {
  const plan = new RegExp(`^#plan\\.(${ID})(?:\\.(\\d{1,3}))?$`).exec(hash);
  if (plan) return { is: "plan", id: plan[1]!, step: plan[2] === undefined ? null : Number(plan[2]) - 1 };
  const other = new RegExp(`^#(group|person|round)\\.(${ID})$`).exec(hash);
  return other ? { is: other[1] as "group" | "person" | "round", id: other[2]! } : { is: "list" };
}

export function hashOf(place: Place): string {
  switch (place.is) {
    case "list":
      return "";
    case "plan":
      return `#plan.${place.id}${place.step === null ? "" : `.${place.step + 1}`}`;
    case "group":
    case "person":
    case "round":
      return `#${place.is}.${place.id}`;
  }
}

/** Whether two places are the same page, whatever step is chosen on it. */
export function isSamePage(a: Place, b: Place): boolean {
  return a.is === b.is && (a.is === "list" || b.is === "list" || a.id === b.id);
}
