// The one connection of a page: opens it, keeps it alive, returns after a loss with a random wait, asks for the
// clock, and sends what the outbox holds. An old socket is cut off before a new one is made.

import type { Answer, Outbox, Parcel } from "./outbox";
import { isForSafety } from "./outbox";
import type { ServerClock } from "./clock";
import { decode } from "./wire/decode";
import { AFTER_CLOSE, HEARTBEAT_MS, SUBPROTOCOL, type ServerMessage } from "./wire/types";

export type LinkState = "connecting" | "open" | "waiting" | "ended";

/** What the page does when the server has closed the socket for good. */
export type Ending = "reload" | "join_again";

export interface LinkParts {
  url: string;
  clock: ServerClock;
  outbox: Outbox;
  open: (url: string, protocol: string) => WebSocket;
  /** Sends a parcel by plain request. Returns the server's answer, or nothing when there was none. */
  post: (parcel: Parcel) => Promise<Answer | null>;
  monotonic: () => number;
  random: () => number;
  visible: () => boolean;
  onMessage: (message: ServerMessage) => void;
  onState: (state: LinkState) => void;
  onEnding: (ending: Ending) => void;
}

/** How many exchanges start a connection, and how far apart they are. */
const BURST = 12;
const BURST_APART_MS = 60;
/** The last of them come later, when a queue on the way that slowed the others has had time to empty. */
const SPREAD = 4;
const SPREAD_APART_MS = 1_500;
const CONNECT_WITHIN_MS = 5_000;
/**
 * A socket that leaves a question unanswered for this long is dead, whatever it says. With the heartbeat that
 * takes 8 s at most.
 */
const PROBE_WITHIN_MS = 3_000;
/** A hidden page asks less often. */
const HIDDEN_BEAT_MS = 10_000;
/**
 * When a command has waited this long for its answer, the socket is tested, whatever it says about itself, and a
 * stop or report is also sent by plain request.
 */
const POST_AFTER_MS = 3_000;
const LATER_MS = 30_000;

/** How long to wait before try `attempt` (from 0): random, short at first, at most 20 s. */
export function waitMs(attempt: number, random: number): number {
  const most = Math.min(20_000, Math.max(1_500, 500 * 2 ** (attempt - 10)));
  return random * most;
}

export class Link {
  #socket: WebSocket | null = null;
  #state: LinkState = "waiting";
  #attempt = 0;
  #heardAtMs = 0;
  #timers = new Set<ReturnType<typeof setTimeout>>();
  #isPosting = false;
  /** What was sent on the present socket. */
  #sent = new Set<string>();

  constructor(private readonly parts: LinkParts) {}

  get state(): LinkState {
    return this.#state;
  }

  /** Opens the connection; called once. */
  start(): void {
    this.#connect();
    for (const parcel of this.parts.outbox.parcels) this.#postLater(parcel);
  }

  /** Ends the connection for good. */
  end(): void {
    this.#drop();
    this.#become("ended");
  }

  /** Keeps a command in the outbox, and sends it as soon as possible. */
  send(parcel: Parcel): void {
    this.parts.outbox.add(parcel);
    this.#put(parcel);
    this.#postLater(parcel);
  }

  /** Another tab put these in the outbox; if that tab is gone, they are sent from here. */
  adopt(parcels: readonly Parcel[]): void {
    for (const parcel of parcels) this.#postLater(parcel);
  }

  #put(parcel: Parcel): void {
    if (this.#state !== "open") return;
    this.#sent.add(parcel.id);
    this.#socket?.send(JSON.stringify(parcel));
  }

  /** The page became visible or the network came back: makes sure that the socket is alive. */
  wake(): void {
    if (this.#state === "ended" || this.#state === "connecting") return;
    if (this.#state === "waiting") return this.#connect();
    this.#probe();
  }

  /** The device says that the network is gone: nothing is shown as on its way that cannot be. */
  lose(): void {
    if (this.#state === "open") this.#comeBack(this.#nextWait());
  }

  /** The device slept or its clock was set: measures anew. */
  measure(): void {
    if (this.#state === "open") this.#burst(BURST);
  }

  /** The page became visible or hidden: tells the server at once. */
  tellVisibility(): void {
    if (this.#state === "open") this.#askClock();
  }

  #connect(): void {
    this.#drop();
    this.#become("connecting");
    const socket = this.parts.open(this.parts.url, SUBPROTOCOL);
    this.#socket = socket;
    this.#later(CONNECT_WITHIN_MS, () => {
      if (this.#state === "connecting") this.#comeBack(this.#nextWait());
    });
    socket.onopen = () => this.#opened();
    socket.onmessage = (event: MessageEvent) => this.#hear(event.data);
    socket.onclose = (event: CloseEvent) => this.#closed(event.code);
  }

  #opened(): void {
    this.#cancelTimers();
    this.#attempt = 0;
    this.#heardAtMs = this.parts.monotonic();
    this.#become("open");
    this.#sent.clear();
    for (const parcel of this.parts.outbox.parcels) this.#put(parcel);
    this.#burst(BURST);
    this.#beat();
  }

  #hear(data: unknown): void {
    this.#heardAtMs = this.parts.monotonic();
    const message = decode(data);
    // A message that this page does not know was made for a newer page; the server's close code would say so.
    if (!message) return;
    if (message.kind === "clock") {
      const { sent_ms: sentMs, received_ms: receivedMs, answered_ms: answeredMs } = message;
      this.parts.clock.take({ sentMs, receivedMs, answeredMs, heardMs: this.#heardAtMs }, message.clock_id);
    }
    if (message.kind === "taken" || message.kind === "refused") this.parts.outbox.settle(message.id);
    if (message.kind === "restart") this.#comeBack(message.in_ms);
    this.parts.onMessage(message);
  }

  #closed(code: number): void {
    const then = AFTER_CLOSE[code] ?? "reconnect";
    switch (then) {
      case "reconnect":
        return this.#comeBack(this.#nextWait());
      case "reconnect_later":
        return this.#comeBack(LATER_MS + this.#nextWait());
      case "reload":
      case "join_again":
        this.end();
        // The server no longer listens to somebody who was taken out, except for a stop or report on its way.
        void this.#postAll().then(() => this.parts.onEnding(then));
        return;
      default:
        return then satisfies never;
    }
  }

  #comeBack(inMs: number): void {
    this.#drop();
    this.#become("waiting");
    this.#later(inMs, () => this.#connect());
  }

  #nextWait(): number {
    return waitMs(this.#attempt++, this.parts.random());
  }

  #burst(left: number): void {
    if (left === 0 || this.#state !== "open") return;
    this.#askClock();
    this.#later(left > SPREAD + 1 ? BURST_APART_MS : SPREAD_APART_MS, () => this.#burst(left - 1));
  }

  #beat(): void {
    const visible = this.parts.visible();
    this.#later(visible ? HEARTBEAT_MS : HIDDEN_BEAT_MS, () => {
      // A hidden page runs seldom; its timers would find every link dead.
      if (this.parts.visible()) this.#probe();
      else this.#askClock();
      this.#beat();
    });
  }

  /** Asks for the clock, and connects anew when no answer comes. */
  #probe(): void {
    const askedMs = this.parts.monotonic();
    this.#askClock();
    this.#later(PROBE_WITHIN_MS, () => {
      // A timer that was held up says nothing about the link.
      const lateMs = this.parts.monotonic() - askedMs - PROBE_WITHIN_MS;
      if (this.#heardAtMs < askedMs && lateMs < PROBE_WITHIN_MS) this.#connect();
    });
  }

  #askClock(): void {
    const ask = {
      kind: "clock_ask",
      sent_ms: this.parts.monotonic(),
      visible: this.parts.visible(),
      round_trip_ms: this.parts.clock.roundTripMs,
    } as const;
    this.#socket?.send(JSON.stringify(ask));
  }

  #postLater(parcel: Parcel): void {
    setTimeout(() => {
      const waits = this.parts.outbox.parcels.some((p) => p.id === parcel.id);
      if (!waits || this.#state === "ended") return;
      if (!this.#sent.has(parcel.id)) this.#put(parcel);
      if (this.#state === "open") this.wake();
      if (isForSafety(parcel)) void this.#postAll().then((done) => done || this.#postLater(parcel));
      else this.#postLater(parcel);
    }, POST_AFTER_MS);
  }

  /**
   * Sends what is on its way, up to the last stop or report, by plain request and in order: a stop must not
   * overtake an earlier tap, which would then undo it. Returns true when all of it was answered.
   */
  async #postAll(): Promise<boolean> {
    if (this.#isPosting) return false;
    this.#isPosting = true;
    try {
      for (;;) {
        const parcels = this.parts.outbox.parcels;
        const first = parcels.some(isForSafety) ? parcels[0] : undefined;
        if (!first) return true;
        const answer = await this.parts.post(first).catch(() => null);
        if (!answer) return false;
        if (this.parts.outbox.settle(answer.id)) this.parts.onMessage(answer);
      }
    } finally {
      this.#isPosting = false;
    }
  }

  #become(state: LinkState): void {
    if (state === this.#state) return;
    this.#state = state;
    this.parts.onState(state);
  }

  /** Cuts off the present socket; nothing that it still says is heard. */
  #drop(): void {
    this.#cancelTimers();
    const socket = this.#socket;
    this.#socket = null;
    if (!socket) return;
    socket.onopen = socket.onmessage = socket.onclose = null;
    socket.close();
  }

  #later(inMs: number, act: () => void): void {
    const timer = setTimeout(() => {
      this.#timers.delete(timer);
      act();
    }, inMs);
    this.#timers.add(timer);
  }

  #cancelTimers(): void {
    for (const timer of this.#timers) clearTimeout(timer);
    this.#timers.clear();
  }
}
