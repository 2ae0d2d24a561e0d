import "../lib/css/base.css";
import { mount } from "svelte";
import { emergencyNumber, liveSession, stayAwake } from "../lib/page";
import { SeatState } from "../lib/state/seat.svelte";
import { Tones } from "../lib/tone";
import Class from "./Class.svelte";

const seat = new SeatState(
  () => session,
  () => performance.now(),
);
const session = liveSession("seat", (message) => seat.hear(message));
stayAwake();
// A touch that slides onto a control counts there, so no control keeps a touch for itself.
document.addEventListener("pointerdown", (event) => {
  if (event.target instanceof Element && event.target.hasPointerCapture(event.pointerId)) {
    event.target.releasePointerCapture(event.pointerId);
  }
});
document.addEventListener("contextmenu", (event) => event.preventDefault());
mount(Class, {
  target: document.getElementById("screen")!,
  props: { session, seat, tones: new Tones(), number: emergencyNumber() },
});
