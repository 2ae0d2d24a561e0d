import "../lib/css/base.css";
import { mount } from "svelte";
import { applyChoices, recallChoices } from "../lib/choices";
import { liveSession, stayAwake } from "../lib/page";
import Wall from "./Wall.svelte";

applyChoices(document.documentElement, recallChoices(localStorage, null, navigator.languages));
const session = liveSession("wall");
stayAwake();
mount(Wall, { target: document.getElementById("screen")!, props: { session } });
