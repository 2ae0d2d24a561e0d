import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import { ServerClock } from "./clock";
import { Link, waitMs, type LinkState } from "./link";
import { Outbox, type Answer, type Parcel } from "./outbox";

/** A socket as the link sees it. */
class FakeSocket {
  static all: FakeSocket[] = [];
  onopen: (() => void) | null = null;
  onmessage: ((event: { data: unknown }) => void) | null = null;
  onclose: ((event: { code: number }) => void) | null = null;
  sent: { kind: string; id?: string }[] = [];
  closed = false;

  constructor() {
    FakeSocket.all.push(this);
  }

  send(text: string): void {
    this.sent.push(JSON.parse(text));
  }

  close(): void {
    this.closed = true;
  }

  hear(message: object): void {
    this.onmessage?.({ data: JSON.stringify(message) });
  }
}

const stop: Parcel = { kind: "seat", id: "s1", command: { do: "stop", reason: null, whose: "own" } };
const done: Parcel = { kind: "seat", id: "d1", command: { do: "done", step: 1 } };

type Post = (parcel: Parcel) => Promise<Answer | null>;

function start(post: Post = async () => null) {
  const states: LinkState[] = [];
  const endings: string[] = [];
  const outbox = new Outbox(null, "o", () => Date.now());
  const monotonic = () => Date.now();
  const link = new Link({
    url: "ws://x/ws/a.1",
    clock: new ServerClock(monotonic, monotonic),
    outbox,
    open: () => new FakeSocket() as unknown as WebSocket,
    post,
    monotonic,
    random: () => 0.5,
    visible: () => true,
    onMessage: () => undefined,
    onState: (state) => states.push(state),
    onEnding: (ending) => endings.push(ending),
  });
  link.start();
  return { link, outbox, states, endings };
}

const socket = () => FakeSocket.all.at(-1)!;
const answerClock = () =>
  socket().hear({ kind: "clock", sent_ms: 0, received_ms: 0, answered_ms: 0, clock_id: "c" });

beforeEach(() => {
  vi.useFakeTimers();
  FakeSocket.all = [];
});
afterEach(() => vi.useRealTimers());

describe("the link", () => {
  it("asks for the clock in a burst, then with every heartbeat", () => {
    start();
    socket().onopen?.();
    vi.advanceTimersByTime(1_000);
    expect(socket().sent.filter((m) => m.kind === "clock_ask")).toHaveLength(8);
    // The last four of the burst come later, in case a queue needs time to empty.
    const answered = (ms: number) => {
      for (let at = 0; at < ms; at += 500) {
        answerClock();
        vi.advanceTimersByTime(500);
      }
    };
    // A heartbeat asks in between as well.
    answered(6_000);
    expect(socket().sent.filter((m) => m.kind === "clock_ask")).toHaveLength(13);
    answered(5_000);
    expect(socket().sent.filter((m) => m.kind === "clock_ask")).toHaveLength(14);
  });

  it("sends again what was not acknowledged, and forgets what was", () => {
    const { link, outbox } = start();
    link.send(done);
    socket().onopen?.();
    expect(socket().sent[0]).toEqual(done);
    socket().onclose?.({ code: 1006 });
    vi.advanceTimersByTime(1_500);
    expect(FakeSocket.all).toHaveLength(2);
    socket().onopen?.();
    expect(socket().sent[0]).toEqual(done);
    socket().hear({ kind: "taken", id: "d1" });
    expect(outbox.parcels).toEqual([]);
  });

  it("hears nothing more from a socket that it gave up", () => {
    const { outbox, link } = start();
    link.send(done);
    const first = socket();
    vi.advanceTimersByTime(5_000);
    vi.advanceTimersByTime(1_500);
    expect(first.closed).toBe(true);
    first.hear({ kind: "taken", id: "d1" });
    expect(outbox.parcels).toEqual([done]);
  });

  it("does what the close code says", async () => {
    const { endings, states } = start();
    socket().onopen?.();
    socket().onclose?.({ code: 4003 });
    await vi.advanceTimersByTimeAsync(0);
    expect(endings).toEqual(["join_again"]);
    expect(states.at(-1)).toBe("ended");
    vi.advanceTimersByTime(60_000);
    expect(FakeSocket.all).toHaveLength(1);
  });

  it("comes back when a restarting server said to", () => {
    start();
    socket().onopen?.();
    socket().hear({ kind: "restart", in_ms: 700 });
    vi.advanceTimersByTime(699);
    expect(FakeSocket.all).toHaveLength(1);
    vi.advanceTimersByTime(1);
    expect(FakeSocket.all).toHaveLength(2);
  });

  // Once, somebody held on through a safety pause, because a dead link was noticed only after 30 s.
  it("notices a dead link within 8 s, and at once when the device says so", () => {
    const { link, states } = start();
    socket().onopen?.();
    vi.advanceTimersByTime(4_500);
    answerClock();
    vi.advanceTimersByTime(3_499);
    expect(FakeSocket.all).toHaveLength(1);
    vi.advanceTimersByTime(1);
    expect(FakeSocket.all).toHaveLength(2);
    socket().onopen?.();
    link.lose();
    expect(states.at(-1)).toBe("waiting");
  });

  it("keeps a link that answers, and one whose timers were held up", () => {
    start();
    socket().onopen?.();
    for (let s = 0; s < 60; s++) {
      answerClock();
      vi.advanceTimersByTime(1_000);
    }
    expect(FakeSocket.all).toHaveLength(1);
  });

  it("sends what another tab left behind", () => {
    const { link, outbox } = start();
    socket().onopen?.();
    outbox.add(stop);
    link.adopt(outbox.parcels);
    vi.advanceTimersByTime(3_000);
    expect(socket().sent).toContainEqual(stop);
  });

  it("probes when woken, and replaces a socket that does not answer", () => {
    const { link } = start();
    socket().onopen?.();
    vi.advanceTimersByTime(5_000);
    link.wake();
    vi.advanceTimersByTime(1_000);
    socket().hear({ kind: "taken", id: "x" });
    vi.advanceTimersByTime(1_999);
    expect(FakeSocket.all).toHaveLength(1);
    link.wake();
    vi.advanceTimersByTime(3_000);
    expect(FakeSocket.all).toHaveLength(2);
  });

  it("looks at a socket that does not answer a tap, and keeps one that is only slow to record", () => {
    const { link } = start();
    socket().onopen?.();
    link.send(done);
    vi.advanceTimersByTime(3_500);
    socket().hear({ kind: "not_recording", now: true });
    vi.advanceTimersByTime(2_400);
    socket().hear({ kind: "not_recording", now: true });
    vi.advanceTimersByTime(2_000);
    expect(FakeSocket.all).toHaveLength(1);
    vi.advanceTimersByTime(2_000);
    expect(FakeSocket.all).toHaveLength(2);
  });

  it("posts a stop that waits for the socket, behind the taps before it, until all is answered", async () => {
    const taken = async (parcel: Parcel): Promise<Answer> => ({ kind: "taken", id: parcel.id });
    const post = vi.fn<Post>(taken).mockResolvedValueOnce(null);
    const { link, outbox } = start(post);
    link.send(done);
    link.send(stop);
    link.send({ ...done, id: "d2" });
    await vi.advanceTimersByTimeAsync(3_000);
    expect(post.mock.calls).toEqual([[done]]);
    expect(outbox.parcels).toHaveLength(3);
    await vi.advanceTimersByTimeAsync(3_000);
    expect(post.mock.calls).toEqual([[done], [done], [stop]]);
    expect(outbox.parcels.map((p) => p.id)).toEqual(["d2"]);
    await vi.advanceTimersByTimeAsync(10_000);
    expect(post).toHaveBeenCalledTimes(3);
  });

  it("posts a stop of somebody who was taken out before it leaves the page", async () => {
    const order: string[] = [];
    const { link, endings } = start(async ({ id }) => {
      order.push(`${id} before ${endings.length} endings`);
      return { kind: "taken", id };
    });
    socket().onopen?.();
    link.send(stop);
    socket().onclose?.({ code: 4003 });
    await vi.advanceTimersByTimeAsync(0);
    expect(order).toEqual(["s1 before 0 endings"]);
    expect(endings).toEqual(["join_again"]);
  });

  it("waits at random, short at first and never more than 20 s", () => {
    expect(waitMs(0, 1)).toBe(1_500);
    expect(waitMs(5, 0.5)).toBe(750);
    expect(waitMs(14, 1)).toBe(8_000);
    expect(waitMs(90, 1)).toBe(20_000);
  });
});
