import "../lib/css/base.css";
import "../lib/css/class.css";
import { mount } from "svelte";
import { stayAwake } from "../lib/awake";
import { emergencyNumber, keepLastTime, lastTime, liveSession, ownStay } from "../lib/page";
import { browserShelf, device, forgiving } from "../lib/shelf";
import { guided } from "../lib/guided";
import { say } from "../lib/sound/guide";
import { AHEAD_MS, BEHIND_MS } from "../lib/sound/sound";
import { SeatState } from "../lib/state/seat.svelte";
import { emptyScreen } from "../lib/screen";
import { done } from "../lib/own-http";
import { site } from "../lib/site";
import { ownPage, SHARED } from "../lib/stay";
import type { OwnPlace } from "../lib/wire/types";
import Class from "./Class.svelte";

const stay = ownStay();
const seat = new SeatState(
  () => session,
  () => performance.now(),
  forgiving(browserShelf(() => window.sessionStorage)),
);
const { sounds, choices, guide } = guided(device);
const session = liveSession(
  stay,
  "keeps",
  (message) => {
    seat.hear(message);
    if (seat.mine) choices.meet(seat.mine.name);
  },
  (opened) => {
    seat.number = opened.emergency_number;
    seat.own = opened.own;
    // Whoever found the way back by the entry came without it.
    if (opened.own?.shared && location.hash !== SHARED) {
      location.hash = SHARED;
      location.reload();
    }
  },
);
session.ownForm = (step) => seat.formOf(step);
// Kept from an earlier visit, for a page that opens without the network.
seat.number = emergencyNumber();
const screenSleeps = stayAwake();
setInterval(() => seat.look(), 500);
seat.look();

let stopped = false;

/** Whether this person is to be guided: not one who has stopped, reports discomfort or has not begun. */
function isLed(): boolean {
  const here = seat.mine?.checked_in === true && seat.panel === "none";
  return here && !seat.isResting && !seat.isJoining && !seat.asksMouth;
}

/**
 * Sounds, voice and a touch of vibration, each only in addition to what the screen shows. Called when anything it
 * reads has changed: the stage, what is drawn, what the person did or chose.
 */
function lead(): void {
  const led = isLed() || session.isSafetyPause;
  const cues = led ? session.cues(BEHIND_MS, AHEAD_MS) : [];
  const now = session.clock.isSet ? session.clock.now() : 0;
  guide.lead(cues, now);
  // People who hear nothing can at least feel that everybody stops.
  if (session.isSafetyPause !== stopped) {
    stopped = session.isSafetyPause;
    if (stopped) navigator.vibrate?.([200, 100, 200]);
  }
}

/** Nothing that fails beside the screen may stop the screen. */
function leadSafely(): void {
  try {
    lead();
  } catch (error) {
    console.error(error);
  }
}

document.addEventListener("contextmenu", (event) => event.preventDefault());

/** To the person's own page; from a device that several people use, with nothing left on it. */
async function leaveFor(place: OwnPlace): Promise<void> {
  if (!place.shared) return location.assign(ownPage(place));
  await done(place.link);
  device?.names().forEach((name) => device?.removeItem(name));
  location.replace(site("/"));
}

mount(Class, {
  target: emptyScreen(),
  props: {
    session,
    seat,
    sounds,
    choices,
    say,
    lead: leadSafely,
    screenSleeps,
    lastTime,
    keepLastTime,
    toOwnPage: leaveFor,
  },
});
