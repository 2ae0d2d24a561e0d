// The desk's texts in the language of this page.

import { deskEn, type DeskMessages } from "./desk-en";

export const deskText: DeskMessages = deskEn;
