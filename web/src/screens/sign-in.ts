import "../lib/css/base.css";
import "../lib/css/class.css";
import "../lib/css/desk.css";
import "../lib/css/planner.css";
import { mount } from "svelte";
import { linkIs, open } from "../lib/staff-http";
import * as http from "../lib/staff-http";
import { emptyScreen } from "../lib/screen";
import { browserShelf, forgiving } from "../lib/shelf";
import { site } from "../lib/site";
import { NEXT } from "../lib/next";
import type { FromProvider } from "../lib/wire/types";
import SignIn from "./SignIn.svelte";

/** `#a.` and the token of a link about an account, which is removed from the address bar at once. */
function token(): string | null {
  const [, found] = /^#a\.([\w-]+)$/.exec(location.hash) ?? [];
  if (found) history.replaceState(null, "", location.pathname);
  return found ?? null;
}

/** What the organisation's own sign-in sent somebody back with, which is removed from the address bar at once. */
function answer(): FromProvider | null {
  const found = new URLSearchParams(location.search);
  const state = found.get("state");
  if (state === null) return null;
  history.replaceState(null, "", location.pathname);
  return { state, code: found.get("code"), iss: found.get("iss"), error: found.get("error") };
}

const tab = forgiving(browserShelf(() => window.sessionStorage));

/** Goes to where somebody was when they had to sign in. */
function enter(): void {
  const next = tab.getItem(NEXT) ?? "";
  tab.removeItem(NEXT);
  location.replace(site(`/planner${next.startsWith("#") ? next : ""}`));
}

mount(SignIn, {
  target: emptyScreen(),
  props: {
    token: token(),
    answer: answer(),
    linkIs,
    open,
    http,
    enter,
    go: (address) => location.assign(address),
    print: () => window.print(),
  },
});
