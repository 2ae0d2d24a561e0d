import "../lib/css/base.css";
import { mount } from "svelte";
import { applyChoices, recallChoices } from "../lib/choices";
import { liveSession, stayAwake } from "../lib/page";
import { emptyScreen } from "../lib/screen";
import Wall from "./Wall.svelte";

applyChoices(document.documentElement, recallChoices(localStorage, null, navigator.languages));
const session = liveSession("wall");
stayAwake();
mount(Wall, { target: emptyScreen(), props: { session } });
