import "../lib/css/base.css";
import "../lib/css/desk.css";
import { mount } from "svelte";
import { DeskHttp } from "../lib/http";
import { deskText } from "../lib/messages/desk";
import { liveSession, ownStay } from "../lib/page";
import { ServerSeconds } from "../lib/state/seconds.svelte";
import { DeskState } from "../lib/state/desk.svelte";
import { Sounds } from "../lib/sound/sound";
import { emptyScreen } from "../lib/screen";
import Desk from "./Desk.svelte";

const sounds = new Sounds();
const stay = ownStay();
const desk = new DeskState(() => session, new DeskHttp(stay), {
  sound: (volume, urgent) => sounds.call(urgent ? "urgent" : "call", volume),
  notify: () => {
    // It names nobody, because the screen may be shared.
    if (document.hasFocus() || !("Notification" in window) || Notification.permission !== "granted") return;
    new Notification(deskText.notifyTitle, { body: deskText.notify });
  },
  title: (calls) => {
    document.title = `${calls > 0 ? deskText.attention(calls) : ""}${deskText.title}`;
  },
});
const session = liveSession(
  stay,
  "forgets",
  (message) => desk.hear(message),
  (opened) => ([desk.emergency, desk.decides] = [opened.emergency_number, opened.decides]),
  (command) => desk.wasNotSent(command),
);
const seconds = new ServerSeconds();
setInterval(() => {
  seconds.set(session.clock.now());
  desk.look();
}, 500);
mount(Desk, {
  target: emptyScreen(),
  props: {
    session,
    desk,
    seconds,
    turnAlarmsOn: () => {
      void sounds.turnOn().then(() => sounds.call("call", 0.25));
      if ("Notification" in window && Notification.permission === "default") {
        void Notification.requestPermission().catch(() => undefined);
      }
    },
  },
});
