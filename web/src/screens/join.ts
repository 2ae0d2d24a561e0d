import "../lib/css/base.css";
import { mount } from "svelte";
import { applyChoices } from "../lib/choices";
import * as http from "../lib/http";
import { language } from "../lib/messages";
import { browserShelf, device, forgiving, NOTHING } from "../lib/shelf";
import { ChoicesState } from "../lib/state/choices.svelte";
import { pageOf } from "../lib/stay";
import type { RoleName } from "../lib/wire/types";
import { emptyScreen } from "../lib/screen";
import Join from "./Join.svelte";

/** `#p.` and a link's token, or `#c.` and a class code. The token is removed from the address bar at once. */
function fragment(): { token: string | null; code: string } {
  const [, kind, value] = /^#([pc])\.([\w-]+)$/.exec(location.hash) ?? [];
  if (kind === "p") history.replaceState(null, "", location.pathname);
  return { token: kind === "p" ? (value ?? null) : null, code: kind === "c" ? (value ?? "") : "" };
}

const choices = new ChoicesState(
  device ?? NOTHING,
  navigator.languages,
  (now) => applyChoices(document.documentElement, now),
  () => location.reload(),
);

/** What was typed before the page loaded anew in another language; it is kept while this tab is open. */
const TYPED = "samebreath.typed";
interface Typed {
  code: string;
  name: string;
  token: string | null;
}

const tab = forgiving(browserShelf(() => window.sessionStorage));

/** The language of the page, and whether it was chosen here. */
function typedBefore(): Typed | null {
  try {
    const kept = tab.getItem(TYPED);
    tab.removeItem(TYPED);
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
      tab.setItem(TYPED, JSON.stringify(now));
      choices.change({ language: chosen });
    },
    useLink: async (link: string) => {
      const opened = await http.useLink(link);
      location.replace(pageOf(opened.role, opened.stay));
    },
    entry: http.entry,
    join: async (withCode: string, name: string) => {
      const joined = await http.join(withCode, name);
      if (typed) choices.chose(name.trim(), { language });
      if (joined.place === "in") location.assign(pageOf("seat", joined.stay));
      return joined;
    },
    place: async (stay: string) => (await http.me(stay)).place,
    mine: http.mine,
    enter: (role: RoleName, stay: string) => location.assign(pageOf(role, stay)),
    keepsNothing: device === null,
  },
});

// Another link to a class was opened in this tab.
window.addEventListener("hashchange", () => location.reload());
