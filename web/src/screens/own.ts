import "../lib/css/base.css";
import "../lib/css/class.css";
import { mount } from "svelte";
import { applyChoices, LANGUAGES, type Language } from "../lib/choices";
import { language } from "../lib/messages";
import * as http from "../lib/own-http";
import { isSending } from "../lib/outbox";
import { browserShelf, device, forgiving, NOTHING } from "../lib/shelf";
import { site } from "../lib/site";
import { ChoicesState } from "../lib/state/choices.svelte";
import { LOOK_MS, OwnState } from "../lib/state/own.svelte";
import { ownPage, pageOf, practicePage, SHARED } from "../lib/stay";
import { emptyScreen } from "../lib/screen";
import Own from "./Own.svelte";

const tab = forgiving(browserShelf(() => window.sessionStorage));
/** The link's token, while the page loads anew in another language. */
const TOKEN = "samebreath.own";

/** The token after `#`, which is removed from the address bar at once; and the link that the address names. */
function opened(): { token: string | null; link: string | null } {
  const [, typed] = /^#([0-9A-Z]{32})$/.exec(location.hash) ?? [];
  if (typed) history.replaceState(null, "", location.pathname);
  const kept = tab.getItem(TOKEN);
  tab.removeItem(TOKEN);
  const [, link] = /\/own\/([0-9a-f-]{36})$/.exec(location.pathname) ?? [];
  return { token: typed ?? kept, link: link ?? null };
}

const { token, link } = opened();
const choices = new ChoicesState(
  device ?? NOTHING,
  navigator.languages,
  (now) => applyChoices(document.documentElement, now),
  () => location.reload(),
);
const state = new OwnState(token, link, {
  ...http,
  speaks: (name, noted) => {
    if (noted in LANGUAGES) choices.begin(name, { language: noted as Language });
  },
  enter: (stay, shared) => location.assign(pageOf("seat", stay) + (shared ? SHARED : "")),
  settle: (place) => location.replace(ownPage(place)),
  practise: (place) => location.assign(practicePage(place)),
  leave: () => location.replace(site("/")),
  isSending: () => device !== null && isSending(device),
  forget: () => device?.names().forEach((name) => device?.removeItem(name)),
});
void state.begin();
setInterval(() => {
  if (document.visibilityState === "visible" && state.step === "home") void state.lookAgain();
}, LOOK_MS);
window.addEventListener("pageshow", (event) => {
  if (event.persisted) location.reload();
});
window.addEventListener("hashchange", () => location.reload());

mount(Own, {
  target: emptyScreen(),
  props: {
    state,
    language,
    speak: (chosen) => {
      if (token !== null && state.step === "asks") tab.setItem(TOKEN, token);
      choices.change({ language: chosen });
    },
  },
});
