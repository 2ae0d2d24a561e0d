// A page's place in one session, as its address names it: /class/STAY, /desk/STAY, /wall/STAY. Every socket,
// request and kept command of the page carries it.

import { site } from "./site";
import type { OwnPlace, RoleName } from "./wire/types";

const PAGES: Record<RoleName, string> = {
  facilitator: "/desk",
  helper: "/desk",
  seat: "/class",
  wall: "/wall",
};

/** What stands behind the address of a page on a device that several people use: it keeps nothing beyond its tab. */
export const SHARED = "#shared";

/** The address of a person's own page. */
export function ownPage({ link, shared }: OwnPlace): string {
  return site(`/own/${link}`) + (shared ? SHARED : "");
}

/** The address of what a person does at home. Behind `#` a service worker need not know it. */
export function practicePage({ link, shared }: OwnPlace): string {
  return `${site("/practice")}#${link}${shared ? ".shared" : ""}`;
}

/** The address of a place. */
export function pageOf(role: RoleName, stay: string): string {
  return site(`${PAGES[role]}/${stay}`);
}

/** The place that an address names; null where it names none. */
export function stayIn(pathname: string): string | null {
  const stay = pathname.split("/").at(-1) ?? "";
  return /^[0-9a-f]{32}\.(facilitator|helper|wall|[0-9]{1,10})$/.test(stay) ? stay : null;
}
