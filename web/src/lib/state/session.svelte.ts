// What every live screen has: the newest stage, the content of its steps, the clock and the link. It knows no DOM;
// the parts are passed in.

import { ServerClock } from "../clock";
import { Refused } from "../http";
import { text } from "../messages";
import { Link, type Ending, type LinkState } from "../link";
import type { Answer, Outbox, Parcel } from "../outbox";
import type { Cue } from "../sound/cue";
import { cuesBetween } from "../sound/cues";
import { inForm, timelineIn } from "../own";
import { clockOf, countsUp, on, position, wholeSeconds, type Scene, type StepIn } from "../player";
import type {
  ClueFrame,
  Content,
  DeskCommand,
  Move,
  Pressed,
  SeatCommand,
  ServerMessage,
  Stage,
  StepForm,
  StepRef,
} from "../wire/types";

export interface SessionParts {
  url: string;
  outbox: Outbox;
  open: (url: string, protocol: string) => WebSocket;
  post: (parcel: Parcel) => Promise<Answer | null>;
  fetchContent: (id: number, rev: number) => Promise<Content>;
  monotonic: () => number;
  wall: () => number;
  random: () => number;
  newId: () => string;
  visible: () => boolean;
  onEnding: (ending: Ending) => void;
  onMessage?: (message: ServerMessage) => void;
  /** Called with a desk's command that could not be sent in time and will not be sent any more. */
  onUnsent?: (command: DeskCommand) => void;
}

const TRY_AGAIN_MS = 1_000;
/** How often a screen without a countdown is looked at; the browser runs a hidden one less often. */
const LOOK_AGAIN_MS = 500;

export class LiveSession {
  readonly clock: ServerClock;
  readonly link: Link;
  stage = $state.raw<Stage | null>(null);
  scene = $state.raw<Scene | null>(null);
  /** The clue as it is shown now; what was sent ahead waits for its instant. */
  clue = $state.raw<ClueFrame | null>(null);
  /** Whole seconds left of the clue's countdown; null where there is none. */
  clueSeconds = $state<number | null>(null);
  /** What the class is called, once the page knows it. */
  title = $state("");
  linkState = $state<LinkState>("connecting");
  notRecording = $state(false);
  onItsWay = $state.raw<readonly Parcel[]>([]);
  /** Whether something on its way would be lost with this page, because the device cannot keep it. */
  isUnkept = $state(false);
  /** How the person on this screen does a step; everybody else's screens show the class. */
  ownForm: (step: number) => StepForm | null = () => null;
  /** Goes up with each content that comes, so that whoever shows one looks again. */
  #fetched = $state(0);
  #contents = new Map<string, Content>();
  #inForms = new Map<string, Content>();
  #fetching = new Set<string>();
  #drawn = "";
  #turn: { key: string; at: number; pattern: "safety" | "change"; words: string } | null = null;
  #next: ReturnType<typeof setTimeout> | undefined;

  constructor(private readonly parts: SessionParts) {
    this.clock = new ServerClock(parts.monotonic, parts.wall);
    this.onItsWay = parts.outbox.parcels;
    this.link = new Link({
      url: parts.url,
      clock: this.clock,
      outbox: parts.outbox,
      open: parts.open,
      post: parts.post,
      monotonic: parts.monotonic,
      random: parts.random,
      visible: parts.visible,
      onMessage: (message) => this.#hear(message),
      onState: (state) => (this.linkState = state),
      onEnding: parts.onEnding,
    });
  }

  tellSeat(command: SeatCommand): string {
    return this.#send({ kind: "seat", id: this.parts.newId(), command });
  }

  /** Gives a desk's command together with what the desk shows now; it is dropped if it cannot be sent in time. */
  tellDesk(command: DeskCommand): string {
    const id = this.#send({ kind: "desk", id: this.parts.newId(), pressed: this.#pressed(), command });
    const livesMs = livesForMs(command);
    if (livesMs !== null) setTimeout(() => this.#giveUp(id, command), livesMs);
    return id;
  }

  #pressed(): Pressed {
    const step = this.stage?.moves.at(-1)?.step ?? null;
    const clue = this.stage?.clue ?? null;
    const at = this.clock.isSet ? Math.round(this.clock.now()) : null;
    return { step, clue: clue?.number ?? 0, hints: clue?.hints.length ?? 0, at };
  }

  #giveUp(id: string, command: DeskCommand): void {
    if (!this.parts.outbox.settle(id)) return;
    this.#lookAtOutbox();
    this.parts.onUnsent?.(command);
  }

  /** Another tab with this stay put something on its way, or settled it. */
  lookAgain(): void {
    const known = new Set(this.onItsWay.map((parcel) => parcel.id));
    this.parts.outbox.lookAgain();
    this.#lookAtOutbox();
    this.link.adopt(this.onItsWay.filter((parcel) => !known.has(parcel.id)));
  }

  #lookAtOutbox(): void {
    this.onItsWay = this.parts.outbox.parcels;
    this.isUnkept = this.parts.outbox.isUnkept;
  }

  newId(): string {
    return this.parts.newId();
  }

  /**
   * Draws the scene for this instant, if it has changed, and schedules itself for the instant of the next change.
   * It asks for no frames in between, so that an old tablet can rest.
   */
  tick(): void {
    clearTimeout(this.#next);
    // Drawing and scheduling use the same instant, so that nothing falls in between.
    const now = this.clock.now();
    let restMs = LOOK_AGAIN_MS;
    try {
      if (this.clock.hasJumped()) this.link.measure();
      this.#draw(now);
      restMs = this.#untilNextMs(now);
    } finally {
      const tookMs = this.clock.now() - now;
      this.#next = setTimeout(() => this.tick(), Math.max(0, Math.ceil(restMs - tookMs)));
    }
  }

  #draw(now: number): void {
    if (!this.clock.isSet) return;
    this.#tickClue(now);
    const scene = this.#sceneAt(now);
    const drawn = scene ? drawing(scene) : "";
    if (drawn === this.#drawn) return;
    this.#drawn = drawn;
    this.scene = scene;
  }

  /** Milliseconds until anything drawn in words can change by itself. */
  #untilNextMs(now: number): number {
    if (!this.stage || !this.clock.isSet) return LOOK_AGAIN_MS;
    const scene = this.#sceneAt(now);
    const counter = this.clue?.counter ?? null;
    const runs = scene && !scene.at.paused && scene.at.move.at <= now;
    const counted = [
      runs && "leftMs" in scene.on ? scene.on.leftMs : null,
      scene?.at.resumesInMs ?? null,
      counter && counter.from + counter.length_ms - now,
    ];
    const begins = [...this.stage.moves.map((move) => move.at - now), (this.stage.clue?.from ?? 0) - now];
    const seconds = counted.flatMap((ms) => (ms !== null && ms > 0 ? [ms % 1000] : []));
    // What is held is counted from its beginning, and its end need not be a whole second away.
    if (runs && scene.on.kind === "span" && countsUp(scene.on))
      seconds.push(1_000 - ((scene.at.offsetMs - scene.on.span.start_ms) % 1_000));
    return Math.min(LOOK_AGAIN_MS, ...seconds, ...begins.filter((ms) => ms > 0));
  }

  #tickClue(nowMs: number): void {
    const clue = this.stage?.clue ?? null;
    if (clue === null || clue.from <= nowMs) this.clue = clue;
    const counter = this.clue?.answer ? null : (this.clue?.counter ?? null);
    this.clueSeconds = counter && wholeSeconds(counter.from + counter.length_ms - nowMs);
  }

  /** The cues that began at most `behindMs` ago or will begin within `aheadMs`. */
  cues(behindMs: number, aheadMs: number): Cue[] {
    if (!this.stage || !this.clock.isSet || this.stage.phase !== "running") return [];
    const now = this.clock.now();
    if (this.#turn) {
      const { key, at, pattern, words } = this.#turn;
      if (this.isSafetyPause || now - at < behindMs) {
        const turn: Cue = { key, at, until: Infinity, sound: { kind: "cue", pattern }, words };
        if (this.isSafetyPause) return [turn];
        return [turn, ...this.#spanCues(now, behindMs, aheadMs)];
      }
    }
    return this.#spanCues(now, behindMs, aheadMs);
  }

  /** Whether everybody stands still for safety. */
  get isSafetyPause(): boolean {
    return this.stage?.safety_pause != null && this.stage.phase === "running";
  }

  #spanCues(now: number, behindMs: number, aheadMs: number): Cue[] {
    if (!this.stage) return [];
    return cuesBetween(this.stage.moves, (move) => this.#stepIn(move), now - behindMs, now + aheadMs);
  }

  /** The position in the present step's timeline, in milliseconds, for whatever moves smoothly. */
  offsetMs(): number {
    const at = this.stage && this.clock.isSet ? position(this.stage.moves, this.clock.now()) : null;
    return at?.offsetMs ?? 0;
  }

  #send(parcel: Parcel): string {
    this.link.send(parcel);
    this.#lookAtOutbox();
    return parcel.id;
  }

  #hear(message: ServerMessage): void {
    if (message.kind === "stage") this.#show(message.stage);
    // The server tells a new socket only when the ledger cannot be written, so a new socket assumes that it can.
    if (message.kind === "welcome") this.notRecording = false;
    if (message.kind === "not_recording") this.notRecording = message.now;
    this.#lookAtOutbox();
    this.parts.onMessage?.(message);
    // A private frame may bring another form.
    if (message.kind === "clock" || message.kind === "mine") this.tick();
  }

  #show(stage: Stage): void {
    this.#noticeTurn(this.stage, stage);
    this.stage = stage;
    for (const step of stage.steps) this.#fetch(step);
    this.#drawn = "";
    this.tick();
  }

  /** Sounds and says a safety pause, and its end, as soon as this page knows of them. */
  #noticeTurn(before: Stage | null, stage: Stage): void {
    const [was, is] = [before?.safety_pause ?? null, stage.safety_pause];
    if (was === is || stage.phase !== "running") return;
    const at = this.clock.isSet ? this.clock.now() : stage.seq;
    this.#turn =
      is === null
        ? { key: `resume.${stage.seq}`, at, pattern: "change", words: text.stage.goesOnIn }
        : { key: `safety.${is}`, at, pattern: "safety", words: text.stage.safetyPause };
  }

  /** The content of a step, once it is here. */
  contentOf(step: StepRef): Content | undefined {
    void this.#fetched;
    return this.#contents.get(`${step.id}.${step.rev}`);
  }

  #fetch(step: StepRef): void {
    const name = `${step.id}.${step.rev}`;
    if (this.#contents.has(name) || this.#fetching.has(name)) return;
    this.#fetching.add(name);
    this.parts.fetchContent(step.id, step.rev).then(
      (content) => {
        this.#fetching.delete(name);
        this.#contents.set(name, content);
        this.#fetched += 1;
        this.#drawn = "";
        this.tick();
      },
      (error: unknown) => {
        // A step that the class has left can no longer be fetched, and is no longer needed.
        const isGone = error instanceof Refused && error.status === 404;
        setTimeout(() => {
          this.#fetching.delete(name);
          const still = this.stage?.steps.some((s) => s.id === step.id && s.rev === step.rev);
          if (still && !isGone) this.#fetch(step);
        }, TRY_AGAIN_MS);
      },
    );
  }

  /** The step of a move as this person does it, with its timeline in this move; null until its content is here. */
  #stepIn(move: Move): StepIn | null {
    const name = `${move.step}.${move.rev}`;
    const whole = this.#contents.get(name);
    if (!whole) return null;
    const own = this.ownForm(move.step);
    const content = this.#inForms.get(`${name}.${own?.form}`) ?? inForm(whole, own);
    this.#inForms.set(`${name}.${own?.form}`, content);
    const way = `${content === whole ? "" : own?.form}.${own?.hold_ms ?? ""}`;
    return { content, way, timeline: timelineIn(content, whole, move, own?.hold_ms) };
  }

  #sceneAt(nowMs: number): Scene | null {
    const at = this.stage ? position(this.stage.moves, nowMs) : null;
    const step = at && this.#stepIn(at.move);
    if (!at || !step) return null;
    const { content, way, timeline } = step;
    const now = on(timeline, at.offsetMs);
    return {
      content,
      way,
      timeline,
      at,
      on: now,
      seconds: clockOf(now, at.offsetMs),
      resumesIn: at.resumesInMs === null ? null : wholeSeconds(at.resumesInMs),
    };
  }
}

/**
 * How long a desk's command waits for its answer before it is given up, in milliseconds. A command that looks
 * after a person waits as long as it takes; a safety pause waits for as long as it may still be meant.
 */
function livesForMs(command: DeskCommand): number | null {
  switch (command.do) {
    case "handle_report":
    case "see_stop":
    case "take_lost":
    case "close_lost":
    case "ask_rest":
    case "message":
    case "message_all":
    case "add_follow_up":
    case "close_follow_up":
    case "set_attendance":
    case "say_name":
      return null;
    case "pause_for_safety":
      return 60_000;
    default:
      return 5_000;
  }
}

/** What can be told apart on a screen in a scene, besides what moves smoothly. */
function drawing(scene: Scene): string {
  const { content, at, on: now } = scene;
  const place = now.kind === "span" ? now.index : now.kind;
  const move = `${at.move.at}.${at.paused}`;
  return `${content.id}.${content.rev}.${scene.way}|${move}|${place}|${scene.seconds}|${scene.resumesIn}`;
}
