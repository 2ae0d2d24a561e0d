import { expect, test, vi } from "vitest";
import { render } from "vitest-browser-svelte";
import { page } from "vitest/browser";
import "../../css/base.css";
import "../../css/desk.css";
import Desk from "../../../screens/Desk.svelte";
import { CONTENT, frameOf, report, row, sceneAt, sheetStep, stageOf, talk } from "../../desk/examples";
import { deskText as t } from "../../messages/desk";
import type { DeskState, Drawer } from "../../state/desk.svelte";
import type { LiveSession } from "../../state/session.svelte";
import type { Scene } from "../../player";
import { overlaps } from "../overlaps";
import type { Alert, DeskFrame, Row, Sheet, SheetStep, Stage } from "../../wire/types";

const SIZES = {
  desk: [1440, 900],
  tablet: [1024, 768],
  "half a screen": [720, 900],
  "half of a small laptop": [683, 640],
  laptop: [1366, 640],
  phone: [390, 844],
} as const;

const NAMES = [
  "Ada",
  "Anselm",
  "Bertram",
  "Casimir",
  "Ifeoma",
  "Maelys",
  "Odile",
  "Pat",
  "Renzo",
  "Sunniva",
  "Tobias",
  "Yuki",
];
const people = (change: Record<string, Partial<Row>> = {}): Row[] =>
  NAMES.map((name, i) => row(i + 1, name, change[name]));
const STEPS: SheetStep[] = [
  talk(1, "Welcome", 5),
  {
    ...sheetStep(7, "Steady strong ah"),
    note: "Show one first. Floor 10, aim 20: nobody races.",
    cautions: [CONTENT.caution!],
  },
  { ...talk(3, "The allotment", 15), kind: "clues" },
  talk(4, "Two things for home, and goodbye", 8),
];
const SHEET: Sheet = {
  title: "Lantern Quay, Tuesdays",
  code: "KJ4T-9WXM",
  rehearsal: false,
  class_ms: 1_800_000,
  created_at: 0,
  steps: STEPS,
  usual: null,
};
const PAIN = report(8, "Pat", {
  strength: null,
  said: { whose: "own", where: null, strength: null, urgent: "chest_pain", words: null },
});
const LOST: Alert = {
  kind: "lost",
  seat: 12,
  name: "Yuki",
  heard_at: 0,
  during: 7,
  during_ms: 0,
  taken_by: null,
  location: null,
  contact: null,
};
const CLUE: DeskFrame["clue"] = {
  number: 4,
  of: 12,
  clue: "It makes you cry when you slice it.",
  hints: ["It starts with “on”", "“Onion or apple?”"],
  hints_shown: 1,
  answer: "onion",
  answer_in: [],
  answer_shown: false,
  because: null,
  said: 7,
  answered: 7,
};
const BARE = { timeline: { ready_ms: 0, spans: [], total_ms: 0 }, reps: 1 };

interface State {
  frame?: Partial<DeskFrame>;
  rows?: Row[];
  stage?: Partial<Stage>;
  scene?: Scene | null;
  present?: SheetStep | null;
  following?: SheetStep | null;
  drawer?: Drawer | null;
  notice?: string;
  forward?: DeskState["forward"];
}
const hurt = people({
  Pat: { status: "discomfort" },
  Yuki: { status: "away", screen: "away" },
  Anselm: { status: "stopped", reason: "tired" },
});
/** A class from before it opens to its end. */
const STATES: Record<string, State> = {
  closed: {
    stage: { phase: "closed", moves: [], number: 0 },
    rows: [],
    present: null,
    following: STEPS[0]!,
    scene: null,
    forward: "open",
  },
  waiting: {
    stage: { phase: "waiting", moves: [], number: 0 },
    present: null,
    following: STEPS[0]!,
    scene: null,
    forward: "start",
  },
  asks: {
    frame: {
      asking: [{ seat: 40, name: "Dorothea", at: 0, perhaps: { seat: 3, name: "Dot", lost: false } }],
    },
  },
  talk: { scene: sceneAt(0, { ...BARE, kind: "talk" }), present: STEPS[0]! },
  ready: { scene: sceneAt(-3_000) },
  breathe: { scene: sceneAt(1_000) },
  hold: { scene: sceneAt(15_000) },
  rest: { scene: sceneAt(30_000) },
  "a long cue": { scene: sceneAt(42_000) },
  over: { scene: sceneAt(45_000) },
  paused: { scene: sceneAt(15_000, {}, true) },
  alert: { rows: hurt, frame: { alerts: [PAIN, LOST] } },
  "alert taken": {
    rows: hurt,
    frame: {
      alerts: [
        {
          ...PAIN,
          state: "taken",
          handled: [{ to: "taken", by: "facilitator", name: "Ines", at: 0 }],
        } as Alert,
        LOST,
      ],
    },
  },
  "safety pause": {
    rows: hurt,
    frame: { alerts: [PAIN, LOST] },
    stage: { safety_pause: 1_000 },
    scene: sceneAt(15_000, {}, true),
  },
  "safety pause, long words": {
    rows: hurt,
    frame: {
      alerts: [
        { ...PAIN, name: "Bartholomew Q.", contact: "daughter Josephine, mornings only, 555 0100" } as Alert,
        LOST,
      ],
    },
    stage: { safety_pause: 1_000 },
    scene: sceneAt(15_000, {}, true),
  },
  refused: { notice: "Not done: the class has already gone on; press again if you mean it." },
  mouths: {
    scene: sceneAt(-5_000, { swallow: true }, true),
    frame: { mouths: { empty: 5, of: 11 } },
    forward: "begin",
  },
  round: {
    scene: sceneAt(0, { ...BARE, kind: "clues" }),
    present: STEPS[2]!,
    frame: { clue: CLUE },
    forward: "hint",
  },
  "the answer": {
    scene: sceneAt(0, { ...BARE, kind: "clues" }),
    present: STEPS[2]!,
    frame: { clue: { ...CLUE, answer_shown: true } },
  },
  more: { drawer: { is: "more" } },
  everyone: { drawer: { is: "people" } },
  person: { drawer: { is: "person", seat: 2 }, rows: hurt },
  "forty people": { rows: Array.from({ length: 40 }, (_, i) => row(i + 1, `${NAMES[i % 12]} ${i}`)) },
};

/** A desk in a state; a later state can replace it, as when news come in. */
function deskIn(state: State): { session: LiveSession; desk: DeskState } {
  const stage = stageOf(state.stage);
  const frame = frameOf(state.rows ?? people(), {
    pace: { class_ms: SHEET.class_ms, started_at: 0, step_at: 0, ended_at: null },
    ...state.frame,
  });
  const isSafetyPause = stage.safety_pause !== null;
  const scene = state.scene === undefined ? sceneAt(15_000) : state.scene;
  const session = { stage, scene, clue: null, clueSeconds: null, linkState: "open", notRecording: false };
  const desk = {
    frame,
    sheet: SHEET,
    role: "facilitator",
    notice: state.notice ?? "",
    emergency: "112",
    drawer: state.drawer ?? null,
    topPerson: null,
    unsent: [],
    waiting: [],
    person: null,
    after: null,
    top: frame.alerts[0] ?? null,
    leads: true,
    present: state.present === undefined ? STEPS[1]! : state.present,
    following: state.following === undefined ? STEPS[2]! : state.following,
    isSafetyPause,
    isPaused: scene?.at.paused ?? false,
    isUnclocked: false,
    forward: state.forward ?? "next",
    nameOf: () => "",
    requests: {},
    ...Object.fromEntries(
      ["tell", "act", "open", "toggle", "attend", "goForward", "togglePause"].map((name) => [name, vi.fn()]),
    ),
  };
  return { session, desk } as unknown as { session: LiveSession; desk: DeskState };
}

const show = (state: State) =>
  render(Desk, { ...deskIn(state), seconds: { now: 15_000 }, turnAlarmsOn: vi.fn() });

const box = (element: Element): string => {
  const { x, y, width, height } = element.getBoundingClientRect();
  return [x, y, width, height].map((n) => Math.round(n * 10) / 10).join(" ");
};
const boxOf = (selector: string): string => box(document.querySelector(selector)!);

/** What a hand or an eye has to find again without looking for it. */
const PLACES: Record<string, string> = {
  "the top": ".top",
  "the stage": ".stage",
  notes: ".notes",
  people: ".people",
  "the main key": "nav .next",
  pause: "nav .pause",
  "safety pause": "nav .safety",
  "the third key": "nav .second > :nth-child(3)",
  more: "nav .second > :nth-child(4)",
};

for (const [size, [width, height]] of Object.entries(SIZES)) {
  test(`from before the class to its end nothing moves: ${size}`, async () => {
    await page.viewport(width, height);
    const places = new Map<string, Set<string>>(Object.keys(PLACES).map((name) => [name, new Set()]));
    const names = new Map<string, Set<string>>();
    for (const [name, state] of Object.entries(STATES)) {
      const screen = await show(state);
      await expect.element(page.getByRole("navigation")).toBeVisible();
      for (const [place, selector] of Object.entries(PLACES)) places.get(place)!.add(boxOf(selector));
      if (name !== "forty people" && name !== "closed")
        for (const tile of document.querySelectorAll(".tiles li"))
          names.set(
            tile.textContent.split(",")[0]!,
            (names.get(tile.textContent.split(",")[0]!) ?? new Set()).add(box(tile)),
          );
      const root = document.documentElement;
      expect(root.scrollHeight, `${name}: the page does not scroll`).toBeLessThanOrEqual(height);
      expect(root.scrollWidth, `${name}: nor sideways`).toBeLessThanOrEqual(width);
      screen.unmount();
    }
    for (const [place, found] of places) expect([...found], place).toHaveLength(1);
    expect(names.size).toBe(12);
    for (const [name, found] of names) expect([...found], name).toHaveLength(1);
  });
}

test("a desk whose alarms are off says so while the class runs, and one press turns them on", async () => {
  await page.viewport(720, 900);
  const turnAlarmsOn = vi.fn();
  await render(Desk, { ...deskIn(STATES.hold!), seconds: { now: 15_000 }, turnAlarmsOn });
  await page.getByRole("button", { name: t.hour.alarmsOff }).click();
  expect(turnAlarmsOn).toHaveBeenCalledOnce();
  await expect.element(page.getByRole("button", { name: t.hour.alarmsOff })).not.toBeInTheDocument();
});

test("in a safety pause a desk that may not see health notes does not read as if there were none", async () => {
  await page.viewport(1440, 900);
  const own = deskIn(STATES["safety pause"]!);
  const contacts = {
    phone: "555 0100",
    mail: null,
    place: "Mill Lane 3",
    partner: null,
    partner_phone: null,
  };
  const person = {
    seat: 8,
    name: "Pat",
    check_in: null,
    messages: [],
    reports: [],
    follow_ups: [],
    contacts,
  };
  const props = { session: own.session, seconds: { now: 15_000 }, turnAlarmsOn: vi.fn() };
  const show = (health: unknown) =>
    render(Desk, {
      ...props,
      desk: { ...own.desk, topPerson: { ...person, health } } as unknown as DeskState,
    });
  const hidden = await show(null);
  await expect.element(page.getByText(t.noHealth)).toBeVisible();
  await expect.element(page.getByText(t.person.otherwise)).not.toBeInTheDocument();
  hidden.unmount();
  await show({ precautions: ["heart"] });
  await expect.element(page.getByText(t.conditions.heart)).toBeVisible();
  await expect.element(page.getByText(t.safetyStage.at("Mill Lane 3"))).toBeVisible();
});

/** What stands over something else, or out of its box, in the state that is shown. */
function collisions(): string[] {
  const wrong: string[] = [];
  const shown = (element: Element) =>
    element.checkVisibility({ visibilityProperty: true }) && element.getBoundingClientRect().width > 1;
  const parts = [
    ".stage header h2",
    ".stage .cue",
    ".stage .count",
    ".stage .unit",
    ".stage footer",
    ".stage .band",
    ".stage .cells",
    ".stage ol",
    ".stage .acts",
  ]
    .flatMap((selector) => [...document.querySelectorAll(selector)])
    .filter(shown);
  const stage = document.querySelector(".stage")!.getBoundingClientRect();
  for (const [i, part] of parts.entries()) {
    const a = part.getBoundingClientRect();
    if (a.top < stage.top - 1 || a.bottom > stage.bottom + 1 || a.right > stage.right + 1)
      wrong.push(`${part.className} leaves the stage`);
    for (const other of parts.slice(i + 1)) {
      if (part.contains(other) || other.contains(part)) continue;
      const b = other.getBoundingClientRect();
      const over = Math.min(a.right, b.right) - Math.max(a.left, b.left);
      const deep = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
      // Lines of large type reach a little beyond their letters.
      if (over > 2 && deep > 6) wrong.push(`${part.className} lies over ${other.className}`);
    }
  }
  for (const key of document.querySelectorAll("nav button, .top button")) {
    if (!shown(key)) continue;
    const { width, height } = key.getBoundingClientRect();
    if (Math.min(width, height) < 43.5) wrong.push(`${key.textContent.trim()} is ${width} x ${height}`);
    if (key.scrollWidth > key.clientWidth + 1) wrong.push(`${key.textContent.trim()} is cut off`);
  }
  return [...wrong, ...overlaps()];
}

for (const [size, [width, height]] of Object.entries(SIZES)) {
  test(`cue, count, band and keys have room of their own in every state: ${size}`, async () => {
    await page.viewport(width, height);
    for (const [name, state] of Object.entries(STATES)) {
      const screen = await show(state);
      await expect.element(page.getByRole("navigation")).toBeVisible();
      expect(collisions(), name).toEqual([]);
      screen.unmount();
    }
  });
}

/** Minutes of arc of a capital letter at two metres: 0.21 mm a pixel, capitals of 0.668 em (arithmetic). */
const arc = (px: number): number => (Math.atan((px * 0.668 * 0.21) / 2_000) * 180 * 60) / Math.PI;

test("cue, count and alert are as large as two metres ask for", async () => {
  const measured: Record<string, string> = {};
  for (const [size, [width, height]] of Object.entries(SIZES)) {
    await page.viewport(width, height);
    const screen = await show(STATES.alert!);
    await expect.element(page.getByRole("alert")).toBeVisible();
    const px = (selector: string) => parseFloat(getComputedStyle(document.querySelector(selector)!).fontSize);
    const found = { cue: px(".stage .cue"), count: px(".stage .count"), alert: px(".who .cue") };
    measured[size] = Object.entries(found)
      .map(([name, px]) => `${name} ${px} px ${arc(px).toFixed(0)}′`)
      .join(", ");
    if (size === "desk")
      for (const [name, px] of Object.entries(found))
        expect(arc(px), `${size}, ${name}`).toBeGreaterThanOrEqual(name === "alert" ? 13 : 20);
    if (size === "half a screen")
      for (const [name, px] of Object.entries(found))
        expect(arc(px), `${size}, ${name}`).toBeGreaterThanOrEqual(name === "alert" ? 10 : 13);
    screen.unmount();
  }
  console.log(
    Object.entries(measured)
      .map(([size, words]) => `${size}: ${words}`)
      .join("\n"),
  );
});
