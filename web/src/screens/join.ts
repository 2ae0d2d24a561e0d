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
const { token, code } = fragment();

mount(Join, {
  target: emptyScreen(),
  props: {
    code,
    token,
    language,
    speak: (chosen) => choices.change({ language: chosen }),
    useLink: async (link: string) => {
      const opened = await http.useLink(link);
      enterStay(opened.stay);
      location.replace(PAGES[opened.role]);
    },
    join: async (typed: string, name: string) => {
      const joined = await http.join(typed, name);
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
