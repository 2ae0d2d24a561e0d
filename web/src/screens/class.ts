import "../lib/css/base.css";
import { mount } from "svelte";
import { emergencyNumber, keepLastTime, lastTime, liveSession, stayAwake } from "../lib/page";
import { SeatState } from "../lib/state/seat.svelte";
import { Tones } from "../lib/tone";
import Class from "./Class.svelte";

const seat = new SeatState(
  () => session,
  () => performance.now(),
);
const session = liveSession(
  "seat",
  (message) => seat.hear(message),
  (opened) => (seat.number = opened.emergency_number),
);
// Kept from before, for a page that comes up without the network.
seat.number = emergencyNumber();
stayAwake();
setInterval(() => seat.look(), 500);
seat.look();
document.addEventListener("contextmenu", (event) => event.preventDefault());
mount(Class, {
  target: document.getElementById("screen")!,
  props: {
    session,
    seat,
    tones: new Tones(),
    lastTime,
    keepLastTime,
  },
});
