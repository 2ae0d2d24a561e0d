import { afterEach, beforeEach, expect, test, vi } from "vitest";
import { Outbox } from "../outbox";
import { Refused } from "../http";
import type { Content, ServerMessage, Stage } from "../wire/types";
import { LiveSession } from "./session.svelte";

const EPOCH_MS = 1_000_000;
const CONTENT = {
  id: 7,
  rev: 0,
  kind: "talk",
  title: "Welcome",
  sides: [],
  forms: [],
  timeline: { ready_ms: 0, total_ms: null, spans: [] },
} as unknown as Content;

/** A screen whose socket the test plays; the server's clock is the device's plus `EPOCH_MS`. */
class Screen {
  /** How long each look at the clock takes. */
  readMs = 0;
  safetyPause: number | null = null;
  unsent: string[] = [];
  fetched = 0;
  content: () => Promise<Content> = () => Promise.resolve(CONTENT);
  #readsMs = 0;
  socket = { send: () => undefined, close: () => undefined } as unknown as WebSocket;
  session = new LiveSession({
    url: "ws://here",
    outbox: new Outbox(null, "a.1", () => performance.now()),
    open: () => this.socket,
    post: () => Promise.resolve(null),
    fetchContent: () => {
      this.fetched++;
      return this.content();
    },
    monotonic: () => performance.now() + (this.#readsMs += this.readMs),
    wall: () => EPOCH_MS + performance.now(),
    random: () => 0.5,
    newId: () => "id",
    visible: () => true,
    onEnding: () => undefined,
    onUnsent: (command) => this.unsent.push(command.do),
  });

  hear(message: ServerMessage): void {
    this.socket.onmessage?.({ data: JSON.stringify(message) } as MessageEvent);
  }

  async begin(): Promise<void> {
    this.session.link.start();
    this.socket.onopen?.({} as Event);
    const now = performance.now();
    const clock_id = "00000000-0000-0000-0000-000000000001";
    this.hear({
      kind: "clock",
      sent_ms: now,
      received_ms: EPOCH_MS + now,
      answered_ms: EPOCH_MS + now,
      clock_id,
    });
    await vi.advanceTimersByTimeAsync(0);
  }

  /** The newest stage: moves of step 7, each `aheadMs` from now. */
  show(clue: Stage["clue"], ...aheads: { aheadMs: number; running: boolean }[]): void {
    const now = EPOCH_MS + performance.now();
    const moves = aheads.map(({ aheadMs, running }) => ({
      at: now + aheadMs,
      step: 7,
      rev: 0,
      offset_ms: 0,
      running,
      stretch: [],
    }));
    const stage = { seq: 1, phase: "running", moves, steps: [{ id: 7, rev: 0 }], number: 1, of: 1, clue };
    this.hear({
      kind: "stage",
      stage: { ...stage, effort: null, lead_lost: false, safety_pause: this.safetyPause } as unknown as Stage,
    });
  }
}

beforeEach(() => vi.useFakeTimers());
afterEach(() => vi.useRealTimers());

test("says whether the server's clock is known", async () => {
  const screen = new Screen();
  screen.session.tick();
  expect(screen.session.clock.isSet).toBe(false);
  await screen.begin();
  expect(screen.session.clock.isSet).toBe(true);
});

test("what comes between two looks is shown at its instant", async () => {
  const screen = new Screen();
  await screen.begin();
  screen.show(null, { aheadMs: -1_000, running: false });
  await vi.advanceTimersByTimeAsync(0);
  expect(screen.session.scene?.at.paused).toBe(true);
  await vi.advanceTimersByTimeAsync(10);
  screen.show(null, { aheadMs: -1_000, running: false }, { aheadMs: 250, running: true });
  await vi.advanceTimersByTimeAsync(245);
  expect(screen.session.scene?.at.paused).toBe(true);
  await vi.advanceTimersByTimeAsync(7);
  expect(screen.session.scene?.at.paused).toBe(false);
});

test("a clue is shown at its instant, not when it comes", async () => {
  const screen = new Screen();
  await screen.begin();
  const from = EPOCH_MS + performance.now() + 300;
  const clue = { number: 1, of: 2, clue: "It bangs.", hints: [], answer: null, because: null };
  screen.show({ ...clue, game: "clue", from, counter: null }, { aheadMs: -1_000, running: true });
  await vi.advanceTimersByTimeAsync(290);
  expect(screen.session.clue).toBeNull();
  await vi.advanceTimersByTimeAsync(12);
  expect(screen.session.clue?.clue).toBe("It bangs.");
});

test("a screen that stands still is looked at a few times a second, and no more", async () => {
  const screen = new Screen();
  await screen.begin();
  screen.show(null, { aheadMs: 1_500, running: true });
  const looks = vi.spyOn(screen.session.clock, "hasJumped");
  await vi.advanceTimersByTimeAsync(1_400);
  expect(looks.mock.calls.length).toBeLessThanOrEqual(4);
});

test("what comes while the page looks and draws is not missed", async () => {
  for (let aheadMs = 0.1; aheadMs < 4; aheadMs += 0.1) {
    const screen = new Screen();
    await screen.begin();
    screen.show(null, { aheadMs: -1_000, running: false });
    await vi.advanceTimersByTimeAsync(0);
    screen.readMs = 0.3;
    screen.show(null, { aheadMs: -1_000, running: false }, { aheadMs, running: true });
    await vi.advanceTimersByTimeAsync(20);
    expect(screen.session.scene?.at.paused, `${aheadMs} ms ahead`).toBe(false);
  }
});

// Once, a key pressed in one class, or minutes earlier, took effect in the next class.
test("a desk's key names where it was pressed, and dies unsent after five seconds", async () => {
  const screen = new Screen();
  await screen.begin();
  screen.show(null, { aheadMs: -1_000, running: true });
  const sent: string[] = [];
  screen.socket.send = (text: string) => void sent.push(text);
  screen.session.tellDesk({ do: "next" });
  const { pressed } = JSON.parse(sent.at(-1)!) as { pressed: { step: number; at: number } };
  expect([pressed.step, pressed.at]).toEqual([7, EPOCH_MS + performance.now()]);
  await vi.advanceTimersByTimeAsync(4_999);
  expect(screen.unsent).toEqual([]);
  await vi.advanceTimersByTimeAsync(1);
  expect([screen.unsent, screen.session.onItsWay]).toEqual([["next"], []]);
});

test("what sees to a person waits as long as it takes, a safety pause a minute", async () => {
  const screen = new Screen();
  await screen.begin();
  screen.session.tellDesk({ do: "take_lost", seat: 1 });
  // A text that was written must not be lost with the network.
  screen.session.tellDesk({ do: "message_all", text: "We begin late." });
  screen.session.tellDesk({ do: "pause_for_safety" });
  await vi.advanceTimersByTimeAsync(59_000);
  expect(screen.unsent).toEqual([]);
  await vi.advanceTimersByTimeAsync(2_000);
  expect(screen.unsent).toEqual(["pause_for_safety"]);
});

// Once, a safety pause made no sound.
test("a safety pause is sounded and said at once, and so is its end", async () => {
  const screen = new Screen();
  await screen.begin();
  screen.show(null, { aheadMs: -1_000, running: true });
  await vi.advanceTimersByTimeAsync(0);
  expect(screen.session.cues(5_000, 0)).toEqual([]);
  screen.safetyPause = EPOCH_MS + performance.now() - 900;
  screen.show(null, { aheadMs: -900, running: false });
  const [stop, ...others] = screen.session.cues(5_000, 90_000);
  expect([stop?.sound, others]).toEqual([{ kind: "cue", pattern: "safety" }, []]);
  expect(stop?.words).toMatch(/^Stop\. Back to the middle/);
  expect(stop?.at, "as soon as the page knows, however slow the network").toBe(EPOCH_MS + performance.now());
  screen.safetyPause = null;
  screen.show(null, { aheadMs: 4_000, running: true });
  expect(screen.session.cues(5_000, 0)[0]?.words).toBe("The class goes on in a moment.");
});

test("a step that cannot be had any more is asked for once", async () => {
  const screen = new Screen();
  screen.content = () => Promise.reject(new Refused(404, "not_found", "there is nothing here"));
  await screen.begin();
  screen.show(null, { aheadMs: -1_000, running: true });
  await vi.advanceTimersByTimeAsync(30_000);
  expect(screen.fetched).toBe(1);
});
