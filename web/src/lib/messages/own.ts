// The words of a person's own page, in the language of the page.

import type { Language } from "../choices";
import { language } from "./index";
import { ownEn, type OwnMessages } from "./own-en";
import { ownEs } from "./own-es";

const CATALOGUES: Record<Language, OwnMessages> = { en: ownEn, es: ownEs };

export const ownText: OwnMessages = CATALOGUES[language];
