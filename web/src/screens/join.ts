import "../lib/css/base.css";
import { mount } from "svelte";
import { applyChoices } from "../lib/choices";
import * as http from "../lib/http";
import { language } from "../lib/messages";
import { enterStay } from "../lib/page";
import { ChoicesState } from "../lib/state/choices.svelte";
import type { RoleName } from "../lib/wire/types";
import { emptyScreen } from "../lib/screen";
import Join from "./Join.svelte";

const PAGES: Record<RoleName, string> = {
  facilitator: "/desk",
  helper: "/desk",
  seat: "/class",
  wall: "/wall",
};

/** `#p.` and a link's token, or `#c.` and a class code. The token leaves the address bar at once. */
function fragment(): { token: string | null; code: string } {
  const [, kind, value] = /^#([pc])\.([\w-]+)$/.exec(location.hash) ?? [];
  if (kind === "p") history.replaceState(null, "", location.pathname);
  return { token: kind === "p" ? (value ?? null) : null, code: kind === "c" ? (value ?? "") : "" };
}

const choices = new ChoicesState(
  localStorage,
  navigator.languages,
  (now) => applyChoices(document.documentElement, now),
  () => location.reload(),
);

/** What was typed before the page began anew in another language; it lives as long as this tab. */
const TYPED = "samebreath.typed";
interface Typed {
  code: string;
  name: string;
  token: string | null;
}

/** Also says whether the language was chosen here. */
function typedBefore(): Typed | null {
  try {
    const kept = sessionStorage.getItem(TYPED);
    sessionStorage.removeItem(TYPED);
    return kept ? (JSON.parse(kept) as Typed) : null;
  } catch {
    return null;
  }
}

const typed = typedBefore();
const { token, code } = typed ?? fragment();

mount(Join, {
  target: emptyScreen(),
  props: {
    code,
    token,
    name: typed?.name ?? "",
    language,
    speak: (chosen, now) => {
      sessionStorage.setItem(TYPED, JSON.stringify(now));
      choices.change({ language: chosen });
    },
    useLink: async (link: string) => {
      const opened = await http.useLink(link);
      enterStay(opened.stay);
      location.replace(PAGES[opened.role]);
    },
    join: async (withCode: string, name: string) => {
      const joined = await http.join(withCode, name);
      if (typed) choices.chose(name.trim(), { language });
      enterStay(joined.stay);
      if (joined.place === "in") location.assign(PAGES.seat);
      return joined.place;
    },
    place: async () => (await http.me("seat")).place,
    enter: () => location.assign(PAGES.seat),
    /** Without a link or code this browser may have a seat already. */
    returning: token === null && code === "",
  },
});
