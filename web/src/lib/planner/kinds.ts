// The documents that are edited in the planner, by the name under which the server keeps them. It is pure.

import type {
  Group,
  GroupCard,
  NewPlan,
  NewRound,
  Person,
  PersonEntry,
  PlanCard,
  Planned,
  RoundCard,
  WrittenRound,
} from "../wire/types";

/** What a document of each kind holds. */
export interface Kinds {
  plans: Planned;
  groups: Group;
  people: Person;
  rounds: WrittenRound;
}

export type Kind = keyof Kinds;

/** What a new document of each kind is made of. */
export interface Begun {
  plans: NewPlan;
  groups: Group;
  people: Person;
  rounds: NewRound;
}

/** What a list says of each document. */
export interface Cards {
  plans: PlanCard;
  groups: GroupCard;
  people: PersonEntry;
  rounds: RoundCard;
}

/** Somebody of whom nothing is known but their name. */
export function newPerson(name: string): Person {
  const contacts = { phone: null, mail: null, place: null, partner: null, partner_phone: null };
  return { name, conditions: [], decisions: [], forms: [], contacts, language: null };
}

/** What makes a document like one that is here. */
export const copyOf: { [K in Kind]: (content: Kinds[K]) => Begun[K] } = {
  plans: (planned) => ({ from: "copy", planned }),
  groups: (group) => group,
  people: (person) => person,
  rounds: (round) => ({ from: "copy", round }),
};
