import "../lib/css/base.css";
import { mount } from "svelte";
import { liveSession, stayAwake } from "../lib/page";
import Wall from "./Wall.svelte";

const session = liveSession("wall");
stayAwake();
mount(Wall, { target: document.getElementById("screen")!, props: { session } });
