// The words of the practice page, in the language of the page.

import type { Language } from "../choices";
import { language } from "./index";
import { practiceEn, type PracticeMessages } from "./practice-en";
import { practiceEs } from "./practice-es";

const CATALOGUES: Record<Language, PracticeMessages> = { en: practiceEn, es: practiceEs };

export const practiceText: PracticeMessages = CATALOGUES[language];
