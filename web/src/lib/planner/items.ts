// The items of a drill in a plan: how many there are, and which come next. It is pure.

import type { DoseChange, DrillCard, Item, ItemChoice, ItemSet } from "../wire/types";

/** How many items the repetitions of a drill take. */
export function manyItems({ drill }: DrillCard, change: DoseChange): number {
  const sets = change.sets ?? drill.dose.sets;
  const reps = change.reps ?? drill.dose.reps;
  return drill.items?.each === "set" ? sets : sets * reps * drill.sides.length;
}

/** The items that were chosen of a set, or all of them. */
export function itemsOf(set: ItemSet | undefined, choice: ItemChoice | undefined): Item[] {
  if (choice && choice.words.length > 0) return choice.words.map((say) => ({ say }));
  if (!set) return [];
  if (!choice || choice.only.length === 0) return set.items;
  return choice.only.flatMap((number) => set.items[number - 1] ?? []);
}

/** The same number of items of the set, from after the last one on; after the end it begins anew. */
export function nextItems(set: ItemSet, choice: ItemChoice | undefined, many: number): ItemChoice {
  const last = choice && choice.only.length > 0 ? (choice.only.at(-1) ?? 0) : many;
  const only = Array.from(
    { length: Math.min(many, set.items.length) },
    (_, n) => ((last + n) % set.items.length) + 1,
  );
  return { set: set.id, only, words: [] };
}
