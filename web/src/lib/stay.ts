// A page's place in one session, as its address names it: /class/STAY, /desk/STAY, /wall/STAY. Every socket,
// request and kept command of the page carries it.

import { site } from "./site";
import type { RoleName } from "./wire/types";

const PAGES: Record<RoleName, string> = {
  facilitator: "/desk",
  helper: "/desk",
  seat: "/class",
  wall: "/wall",
};

/** The address of a place. */
export function pageOf(role: RoleName, stay: string): string {
  return site(`${PAGES[role]}/${stay}`);
}

/** The place that an address names; null where it names none. */
export function stayIn(pathname: string): string | null {
  const stay = pathname.split("/").at(-1) ?? "";
  return /^[0-9a-f]{32}\.(facilitator|helper|wall|[0-9]{1,10})$/.test(stay) ? stay : null;
}
