import "../lib/css/base.css";
import "../lib/css/class.css";
import { mount } from "svelte";
import { language } from "../lib/messages";
import { stayAwake } from "../lib/awake";
import { liveSession, ownStay } from "../lib/page";
import { emptyScreen } from "../lib/screen";
import Wall from "./Wall.svelte";

document.documentElement.lang = language;
const session = liveSession(ownStay(), "forgets");
void stayAwake();
mount(Wall, { target: emptyScreen(), props: { session } });
