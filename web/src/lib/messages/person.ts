// What staff read on a person's page about reaching them and about their own forms, in English.

import type { Contacts } from "../wire/types";

export const personText = {
  reach: "How to reach them",
  reachNote:
    "Shown at the desk on their card while they are in class, and to whoever may enrol people. What they say when they check in comes first.",
  contacts: {
    phone: "Telephone",
    mail: "Mail",
    place: "Where they take part, as you would tell an ambulance",
    partner: "Care partner, or whoever else to call",
    partner_phone: "That person’s telephone",
  } satisfies Record<keyof Contacts, string>,
  language: "Language of their page",
  ofBrowser: "That of their browser",
  forms: "Their own forms",
  formsNote:
    "They hold in every class from now on, until a clinician lifts them; a desk can change them for the day.",
  noForms: "None: they do what the class does.",
  form: (n: number) => `Form ${n}`,
  family: "Drills",
  way: "How they do them",
  why: "Why (clinicians only)",
  add: "Add",
};
