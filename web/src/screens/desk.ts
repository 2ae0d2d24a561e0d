import "../lib/css/base.css";
import { mount } from "svelte";
import * as http from "../lib/http";
import { liveSession } from "../lib/page";
import { ServerSeconds } from "../lib/state/seconds.svelte";
import { DeskState } from "../lib/state/desk.svelte";
import Desk from "./Desk.svelte";

const desk = new DeskState(() => session, http.sheet);
const session = liveSession("desk", (message) => desk.hear(message));
const seconds = new ServerSeconds();
setInterval(() => seconds.set(session.clock.now()), 500);
mount(Desk, {
  target: document.getElementById("screen")!,
  props: { session, desk, invite: http.invite, seconds },
});
