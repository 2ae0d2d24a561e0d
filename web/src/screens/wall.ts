import "../lib/css/base.css";
import { mount } from "svelte";
import { language } from "../lib/messages";
import { stayAwake } from "../lib/awake";
import { liveSession } from "../lib/page";
import { emptyScreen } from "../lib/screen";
import Wall from "./Wall.svelte";

document.documentElement.lang = language;
const session = liveSession("wall");
void stayAwake();
mount(Wall, { target: emptyScreen(), props: { session } });
