import "../lib/css/base.css";
import "../lib/css/class.css";
import { mount } from "svelte";
import { stayAwake } from "../lib/awake";
import * as http from "../lib/own-http";
import { deviceKeep, eitherKeep, leaveDevice, tabKeep } from "../lib/practice/keep";
import { reminderFile, type Reminder } from "../lib/practice/reminder";
import { timedId } from "../lib/practice/id";
import { send } from "../lib/practice/send";
import { OfflineCopy } from "../lib/practice/offline.svelte";
import { emptyScreen } from "../lib/screen";
import { browserShelf, device, forgiving } from "../lib/shelf";
import { site } from "../lib/site";
import { guided } from "../lib/guided";
import { say } from "../lib/sound/guide";
import { AHEAD_MS, BEHIND_MS } from "../lib/sound/sound";
import { PracticeState } from "../lib/state/practice.svelte";
import { ownPage, practicePage } from "../lib/stay";
import Practice from "./Practice.svelte";

/** How often an open page asks for the sheets and sends what waits. */
const LOOK_MS = 20_000;
/** A file that is being saved is kept for so long. */
const KEEP_MS = 60_000;

/** The link that the address names, and whether several people use this device. */
const [, named, isShared] = /^#([0-9a-f-]{36})?(\.shared)?$/.exec(location.hash) ?? [];
const shelf = isShared ? browserShelf(() => window.sessionStorage) : device;
const tabbed = tabKeep(forgiving(browserShelf(() => window.sessionStorage)));
const database = await deviceKeep();
const keep = isShared || database === null ? tabbed : eitherKeep(database, tabbed);
if (isShared && named && database !== null) await leaveDevice(database, tabbed, named);
const offline = new OfflineCopy();

const two = (n: number): string => String(n).padStart(2, "0");
function today(): { day: string; offset_minutes: number } {
  const now = new Date();
  const day = `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
  return { day, offset_minutes: -now.getTimezoneOffset() };
}

const state = new PracticeState(keep, {
  read: http.sheets,
  send: (kept, link) => send(kept, link, http.practised),
  monotonic: () => performance.now(),
  today,
  newId: () => timedId(Date.now(), crypto.getRandomValues(new Uint8Array(16))),
  met: (name) => choices.meet(name),
  async kept(own, link) {
    if (isShared) return;
    if (own.shared) return location.replace(practicePage({ link, shared: true }));
    await keep.keepSheets({ link, own });
    void offline.begin();
  },
});
const { sounds, choices, guide } = guided(shelf);

function lead(): void {
  try {
    guide.lead(state.cues(BEHIND_MS, AHEAD_MS), performance.now());
  } catch (error) {
    // Nothing that fails beside the screen may stop the screen.
    console.error(error);
  }
}

/** A file that the device's calendar opens. */
function remind(what: Pick<Reminder, "words" | "at" | "from" | "until">): void {
  const text = reminderFile({ ...what, id: `practice-${state.link}`, madeAt: Date.now() });
  const link = document.createElement("a");
  link.href = URL.createObjectURL(new Blob([text], { type: "text/calendar;charset=utf-8" }));
  link.download = "practice.ics";
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), KEEP_MS);
}

void state.begin(named ?? null);
const look = (): void => {
  if (document.visibilityState === "visible") void state.look();
};
setInterval(look, LOOK_MS);
window.addEventListener("online", look);
document.addEventListener("visibilitychange", look);
window.addEventListener("hashchange", () => location.reload());
document.addEventListener("contextmenu", (event) => event.preventDefault());

mount(Practice, {
  target: emptyScreen(),
  props: {
    state,
    choices,
    sounds,
    lead,
    say,
    hush: () => speechSynthesis.cancel(),
    screenSleeps: stayAwake(),
    today: () => today().day,
    nowHere: () => ({ day: today().day, time: new Date().toTimeString().slice(0, 5) }),
    update: offline,
    isDurable: keep.isDurable,
    mayForget: () => !offline.isPersisted,
    remind: isShared ? null : remind,
    print: () => window.print(),
    close: () => {
      const { link } = state;
      // Without the network there is no other page to go to, and what waits must not be left behind.
      if (state.own !== null && (!state.online || state.logs.waiting.length > 0)) return state.leave();
      location.assign(link === null ? site("/") : ownPage({ link, shared: isShared !== undefined }));
    },
  },
});
