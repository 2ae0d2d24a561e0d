import "../lib/css/base.css";
import { mount } from "svelte";
import { applyChoices } from "../lib/choices";
import { language } from "../lib/messages";
import { emergencyNumber, keepLastTime, lastTime, liveSession, stayAwake } from "../lib/page";
import { AHEAD_MS, Sounds } from "../lib/sound/sound";
import { Voice } from "../lib/sound/voice";
import { ChoicesState } from "../lib/state/choices.svelte";
import { SeatState } from "../lib/state/seat.svelte";
import { emptyScreen } from "../lib/screen";
import Class from "./Class.svelte";

const seat = new SeatState(
  () => session,
  () => performance.now(),
);
const sounds = new Sounds();
const choices = new ChoicesState(
  localStorage,
  navigator.languages,
  (now) => {
    applyChoices(document.documentElement, now);
    sounds.volume = now.volume / 3;
    if (!now.sounds) sounds.turnOff();
  },
  () => location.reload(),
);
const session = liveSession(
  "seat",
  (message) => {
    seat.hear(message);
    if (seat.mine) choices.meet(seat.mine.name);
  },
  (opened) => (seat.number = opened.emergency_number),
);
// Kept from before, for a page that comes up without the network.
seat.number = emergencyNumber();
stayAwake();
setInterval(() => seat.look(), 500);
seat.look();

const canSpeak = "speechSynthesis" in window;
const voice = new Voice({
  cancel: () => speechSynthesis.cancel(),
  speak: (words) => {
    const saying = new SpeechSynthesisUtterance(words);
    saying.lang = language;
    saying.rate = 0.95;
    speechSynthesis.speak(saying);
  },
});
let shaken = "";

/** Sounds, voice and a touch of vibration, each only beside what the screen shows. */
function lead(): void {
  const cues = seat.isResting || seat.isJoining ? [] : session.cues(AHEAD_MS);
  const now = session.clock.isSet ? session.clock.now() : 0;
  sounds.plan(cues, now);
  if (choices.now.voice && canSpeak) voice.hear(cues, now);
  const begun = cues.filter((cue) => cue.at <= now).at(-1);
  if (choices.now.sounds && begun && begun.key !== shaken) {
    shaken = begun.key;
    // A browser without it, or without a tap before it, does nothing.
    navigator.vibrate?.(60);
  }
}
setInterval(lead, 100);

// Sounds that were chosen before need one tap anywhere.
document.addEventListener("pointerdown", () => choices.now.sounds && sounds.turnOn());
document.addEventListener("keydown", () => choices.now.sounds && sounds.turnOn());
document.addEventListener("contextmenu", (event) => event.preventDefault());
mount(Class, {
  target: emptyScreen(),
  props: { session, seat, sounds, choices, canSpeak, lastTime, keepLastTime },
});
