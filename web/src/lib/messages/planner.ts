// The planner's texts in the language of this page.

import { plannerEn, type PlannerMessages } from "./planner-en";

export const plannerText: PlannerMessages = plannerEn;
