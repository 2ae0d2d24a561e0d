import "../lib/css/base.css";
import "../lib/css/class.css";
import { mount } from "svelte";
import { stayAwake } from "../lib/awake";
import { applyChoices } from "../lib/choices";
import { language } from "../lib/messages";
import { emergencyNumber, keepLastTime, lastTime, liveSession, ownStay } from "../lib/page";
import { browserShelf, device, forgiving, NOTHING } from "../lib/shelf";
import { AHEAD_MS, BEHIND_MS, Sounds } from "../lib/sound/sound";
import { Voice } from "../lib/sound/voice";
import { ChoicesState } from "../lib/state/choices.svelte";
import { SeatState } from "../lib/state/seat.svelte";
import { emptyScreen } from "../lib/screen";
import { done } from "../lib/own-http";
import { site } from "../lib/site";
import { ownPage, SHARED } from "../lib/stay";
import type { OwnPlace } from "../lib/wire/types";
import Class from "./Class.svelte";

/** Only a cue that began this recently is felt as a vibration. */
const JUST_NOW_MS = 300;
const stay = ownStay();
const seat = new SeatState(
  () => session,
  () => performance.now(),
  forgiving(browserShelf(() => window.sessionStorage)),
);
const sounds = new Sounds((audible) => (choices.audible = audible));
const choices = new ChoicesState(
  device ?? NOTHING,
  navigator.languages,
  (now) => {
    applyChoices(document.documentElement, now);
    sounds.volume = now.volume / 3;
    if (!now.sounds) sounds.turnOff();
  },
  () => location.reload(),
);
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

/** Some browsers know their voices only a little later, and some have none in this language or at all. */
function lookForVoices(): void {
  const known = speechSynthesis.getVoices();
  choices.canSpeak = known.some((one) => one.lang.toLowerCase().startsWith(language));
}
if ("speechSynthesis" in window) {
  lookForVoices();
  speechSynthesis.addEventListener("voiceschanged", lookForVoices);
}
/** Says words at once, in place of what is being said; none fall silent. */
function say(words: string): void {
  speechSynthesis.cancel();
  const saying = new SpeechSynthesisUtterance(words);
  saying.lang = language;
  saying.rate = 0.95;
  speechSynthesis.speak(saying);
}
const voice = new Voice({ cancel: () => speechSynthesis.cancel(), speak: say });
let shaken = "";
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
  sounds.plan(choices.now.sounds || choices.now.voice ? cues : [], now);
  if (choices.canSpeak) voice.hear(choices.now.voice ? cues : [], now);
  const begun = cues.filter((cue) => cue.at <= now && now < cue.at + JUST_NOW_MS).at(-1);
  // A browser without vibration, or without a tap before it, does nothing.
  if (begun && begun.key !== shaken) {
    shaken = begun.key;
    if (choices.now.sounds || choices.now.edge) navigator.vibrate?.(60);
    choices.cuesBegun += 1;
  }
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

/** Sounds and voice that were chosen before need one tap anywhere; a touch that has only begun does not count. */
let unlocked = false;
function unlock(): void {
  if (choices.now.sounds && !choices.audible) void sounds.turnOn();
  if (choices.now.voice && choices.canSpeak && !unlocked) {
    unlocked = true;
    speechSynthesis.speak(new SpeechSynthesisUtterance(""));
  }
}
for (const tap of ["pointerup", "click", "keydown"]) document.addEventListener(tap, unlock);
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
