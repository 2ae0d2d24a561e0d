// The check-in before the start: which question is on which page, and what the answers come to. Nothing is answered
// in advance; what somebody said last time about where they are is only offered.

import type { CheckIn, Company, Feeling } from "./wire/types";

/** One page of the check-in. Those of a second person come last, and only if there is one. */
export type Question =
  | "feeling"
  | "news"
  | "easier"
  | "seated"
  | "mouth"
  | "water"
  | "place"
  | "contact"
  | "company"
  | "partner"
  | "partner_feeling"
  | "partner_mouth";

/** What has been answered so far; `null` until it is. */
export interface Told {
  feeling: Feeling | null;
  news: boolean | null;
  easier: boolean;
  seated: boolean | null;
  mouth: boolean | null;
  water: "yes" | "no" | "must_not" | null;
  place: string;
  contact: string;
  company: Company | "together" | null;
  partner: string;
  partnerFeeling: Feeling | null;
  partnerMouth: boolean | null;
}

/** What a person on this device said last time and may be kept. How somebody felt is not kept. */
export interface LastTime {
  place: string;
  contact: string;
  partner: string;
}

export const NOTHING_TOLD: Told = {
  feeling: null,
  news: null,
  easier: false,
  seated: null,
  mouth: null,
  water: null,
  place: "",
  contact: "",
  company: null,
  partner: "",
  partnerFeeling: null,
  partnerMouth: null,
};

/** What everybody is asked; the other pages belong to one of these. */
const ASKED = ["feeling", "news", "seated", "mouth", "water", "place", "contact", "company"] as const;
export const OF = ASKED.length;

/** The pages, in their order, as far as the answers show. */
export function questions(told: Told): Question[] {
  const feelsWell = told.feeling === "well" && told.news !== true;
  const hasName = told.partner.trim() !== "";
  const ofPartner: Question[] = hasName ? ["partner", "partner_feeling", "partner_mouth"] : ["partner"];
  return [
    "feeling",
    "news",
    ...(feelsWell ? [] : (["easier"] as const)),
    "seated",
    "mouth",
    "water",
    "place",
    "contact",
    "company",
    ...(told.company === "together" ? ofPartner : []),
  ];
}

/** The number that a page bears, from 1 to [`OF`]. */
export function numberOf(question: Question): number {
  const belongsTo = question === "easier" ? "news" : question.startsWith("partner") ? "company" : question;
  return ASKED.findIndex((asked) => asked === belongsTo) + 1;
}

/** The answers as they are sent. What was left open is absent, and the desk sees that. */
export function answersOf(told: Told): CheckIn {
  const together = told.company === "together";
  const name = together ? told.partner.trim() : "";
  return {
    feeling: told.feeling,
    news: told.news,
    seated: told.seated,
    mouth_empty: told.mouth,
    water: told.water === null ? null : told.water === "yes",
    must_not_drink: told.water === "must_not",
    company: told.company === "together" ? "with" : told.company,
    easier: told.easier && questions(told).includes("easier"),
    place: told.place.trim() || null,
    contact: told.contact.trim() || null,
    partner: name ? { name, feeling: told.partnerFeeling, mouth_empty: told.partnerMouth } : null,
  };
}
