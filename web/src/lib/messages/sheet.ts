// The words of a home sheet, in the language of whoever reads it.

import type { Language } from "../choices";
import { sheetEn, type SheetMessages } from "./sheet-en";
import { sheetEs } from "./sheet-es";

const CATALOGUES: Record<Language, SheetMessages> = { en: sheetEn, es: sheetEs };

/** The words in a language; in English for one that there are none in. */
export const sheetText = (language: string | null): SheetMessages =>
  CATALOGUES[(language ?? "en").slice(0, 2) as Language] ?? sheetEn;
