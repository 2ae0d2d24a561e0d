import "../lib/css/base.css";
import "../lib/css/class.css";
import "../lib/css/desk.css";
import "../lib/css/planner.css";
import { mount } from "svelte";
import { Refused } from "../lib/http";
import { linksText } from "../lib/messages/links";
import { notesText } from "../lib/messages/notes";
import { NEXT } from "../lib/next";
import * as http from "../lib/planner-http";
import * as records from "../lib/records-http";
import { browserShelf, device, forgiving } from "../lib/shelf";
import { site } from "../lib/site";
import * as staff from "../lib/staff-http";
import { AccountState } from "../lib/state/account.svelte";
import { ErasureState } from "../lib/state/erasure.svelte";
import { HomeClassState } from "../lib/state/home-class.svelte";
import { LinksState } from "../lib/state/links.svelte";
import { NotesState } from "../lib/state/notes.svelte";
import { RetentionState } from "../lib/state/retention.svelte";
import type { Later } from "../lib/state/editor.svelte";
import { TodayState } from "../lib/state/today.svelte";
import { PlannerState } from "../lib/state/planner.svelte";
import { Preview } from "../lib/state/preview.svelte";
import { emptyScreen } from "../lib/screen";
import Planner from "./Planner.svelte";

const COPY = "samebreath.unsaved.";

const kept = forgiving(device);
const copies = {
  get: (id: string) => kept.getItem(COPY + id),
  set: (id: string, text: string) => kept.setItem(COPY + id, text),
  remove: (id: string) => kept.removeItem(COPY + id),
};

const timers = new Map<string, ReturnType<typeof setTimeout>>();
const later: Later = (name, afterMs, run) => {
  clearTimeout(timers.get(name));
  timers.set(
    name,
    setTimeout(() => void run(), afterMs),
  );
};

const planner = new PlannerState(http, copies, later);
const preview = new Preview(() => performance.now());
setInterval(() => preview.tick(), 50);

addEventListener("visibilitychange", () => {
  if (document.visibilityState === "hidden") keepAll();
});

/** The notes that were opened, by class. */
const notes = new Map<string, NotesState>();

/** A hidden page may not come back, so a field that is still being typed in is saved too. */
function keepAll(): void {
  document.activeElement?.dispatchEvent(new Event("change", { bubbles: true }));
  void planner.save();
  for (const one of notes.values()) void one.saveAll();
}
addEventListener("pagehide", keepAll);

const tab = forgiving(browserShelf(() => window.sessionStorage));
const account = new AccountState(staff, (address) => {
  tab.setItem(NEXT, location.hash);
  location.assign(address);
});
const today = new TodayState(http, (address) => location.assign(address));
/** A page at which somebody was within this is in use; others do not keep anybody signed in. */
const IN_USE_MS = 30 * 60_000;
let touched = performance.now();
for (const kind of ["pointerdown", "keydown"]) addEventListener(kind, () => (touched = performance.now()));
/** What is on, and what is left, may change while nobody touches the page. */
setInterval(() => {
  const isInUse = document.visibilityState === "visible" && performance.now() - touched < IN_USE_MS;
  if (isInUse) void today.lookAgain();
}, 60_000);
/** Somebody was erased: nothing of them stays in this browser. */
function gone(person: string): void {
  copies.remove(person);
  for (const name of kept.names()) if (name.includes(person)) kept.removeItem(name);
  location.assign(site("/planner"));
}

/** Tells everybody of a group by mail that a class is cancelled, once that is saved. */
async function tell(group: string, of: string): Promise<string> {
  let said = "";
  await planner.save();
  await account.attempt(async () => {
    const { posted, again, without } = await staff.mailCancelled(group, of);
    said = linksText.mailed(posted, again, without);
  });
  return said;
}

const AGAIN_MS = 3_000;

/** Hands out a file. */
function hand(content: Blob, name: string): void {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(content);
  link.download = name;
  link.click();
  // The browser may still be reading it.
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
}

/** Saves all that is typed, before whoever is here signs out and the browser forgets it. */
async function saveAll(): Promise<void> {
  const all = [...notes.values()];
  await Promise.all([planner.save(), ...all.map((one) => one.saveAll())]);
  if (all.some((one) => one.isUnsaved)) throw new Refused(409, "unsaved", notesText.leaving);
}

/** Lets somebody sign in, and come back to this place. */
function signIn(): void {
  tab.setItem(NEXT, location.hash);
  location.assign(site("/sign-in"));
}

async function begin(): Promise<void> {
  await account.start();
  // Without knowing who is here, nothing is shown.
  if (!account.me && !account.isOut) setTimeout(() => void begin(), AGAIN_MS);
  else if (account.isOut) signIn();
  else await planner.start(account.me?.account.role !== "helper");
}
void begin();

mount(Planner, {
  target: emptyScreen(),
  props: {
    planner,
    account,
    today,
    retention: new RetentionState(staff, (act) => account.attempt(act)),
    tell,
    signIn,
    preview,
    play: async (what) => preview.play(await http.preview(what)),
    fileUrl: http.fileUrl,
    calendarUrl: http.calendarUrl,
    attendance: records.attendance,
    weeks: records.weeks,
    saveFile: (group, file) =>
      void account.attempt(async () => hand(await records.recordsFile(group, file), file)),
    saveCopy: (person, name) =>
      void account.attempt(async () => hand(await records.ownCopy(person), `${name}.zip`)),
    saveFhir: (of, id, whose, names) =>
      void account.attempt(async () =>
        hand(await records.healthRecord(of, id, names), `${whose}${names ? ", with names" : ""}.fhir.json`),
      ),
    sheets: records.sheets,
    sums: records.sums,
    sumsUrl: records.sumsUrl,
    saveAll,
    erasureOf: (person) =>
      new ErasureState(
        person,
        staff,
        (act) => account.attempt(act),
        () => gone(person),
      ),
    notesOf: (session) => {
      const known = notes.get(session);
      if (known) {
        void known.open();
        return known;
      }
      // What one member of staff typed is not put into the hands of the next at the same browser.
      const of = (id: string) => `${account.me?.id}.${id}`;
      const own = {
        get: (id: string) => copies.get(of(id)),
        set: (id: string, text: string) => copies.set(of(id), text),
        remove: (id: string) => copies.remove(of(id)),
      };
      const state = new NotesState(session, records, (act) => account.attempt(act), later, own);
      notes.set(session, state);
      void state.open();
      return state;
    },
    homeClassOf: (plan) => new HomeClassState(plan, records.homeClasses, (act) => account.attempt(act)),
    homeClasses: records.homeClasses,
    linksOf: (of) =>
      new LinksState(
        of,
        staff,
        (act) => account.attempt(act),
        (run, afterMs) => setTimeout(run, afterMs),
      ),
    print: () => window.print(),
    // The Swedish locale writes days as ISO 8601 does, in local time.
    date: new Date().toLocaleDateString("sv"),
  },
});
