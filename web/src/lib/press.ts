// What counts as a press for a trembling hand. A press that begins on a control and slides off counts there, and
// so does one that begins beside a control and ends on it. A touch that the browser took for a scroll counts too,
// unless something scrolled: a tremor drags by 20 px and more.

/** What a control does, and since when it is on the page. */
interface Known {
  act: () => void;
  sinceMs: number;
}

/** A rest tremor strikes 4 to 6 times a second: what comes under the finger this soon after a press was not meant. */
const TREMOR_MS = 600;

const controls = new WeakMap<Element, Known>();
let pressedMs = -Infinity;
/** How many clicks of a mouse the present one is; the second of two in one place is a tremor's as well. */
let clicks = 1;
let listening = false;

/** A touch or click in progress. */
interface Touch {
  control: Element | null;
  scroller: Element | null;
  scrolledFrom: number;
}

const began = new Map<number, Touch>();
/** Touches that the browser took for a scroll; when the finger lifts, it shows whether they were. */
const taken: Touch[] = [];

/** If something scrolls by less than this, the touch was still meant as a press. */
const SCROLLED_PX = 12;

/**
 * Makes a button or a link hear presses. The keyboard and assistive programs click it without a pointer: a link is then
 * followed as any other.
 */
export function pressed(control: HTMLButtonElement | HTMLAnchorElement, act: () => void) {
  listen(control.ownerDocument);
  controls.set(control, { act, sinceMs: performance.now() });
  const isLink = control instanceof HTMLAnchorElement;
  const click = (event: Event) => {
    const byPointer = event instanceof UIEvent && event.detail > 0;
    if (isLink && byPointer) event.preventDefault();
    if (!isLink && !byPointer) controls.get(control)?.act();
  };
  control.addEventListener("click", click);
  return {
    update: (next: () => void) => {
      const known = controls.get(control);
      if (known) known.act = next;
    },
    destroy: () => {
      controls.delete(control);
      control.removeEventListener("click", click);
    },
  };
}

function listen(document: Document): void {
  if (listening) return;
  listening = true;
  document.addEventListener("pointerdown", (event) => {
    if (event.button !== 0) return;
    const scroller = scrollerOf(event.target);
    const scrolledFrom = scroller?.scrollTop ?? 0;
    began.set(event.pointerId, { control: controlAt(event.target), scroller, scrolledFrom });
  });
  document.addEventListener("mousedown", (event) => (clicks = event.detail), true);
  document.addEventListener("pointerup", (event) => {
    const touch = began.get(event.pointerId);
    began.delete(event.pointerId);
    if (event.button !== 0) return;
    const control = touch?.control ?? controlAt(document.elementFromPoint(event.clientX, event.clientY));
    press(control, event.pointerType !== "mouse" || clicks > 1);
  });
  document.addEventListener("pointercancel", (event) => {
    const touch = began.get(event.pointerId);
    began.delete(event.pointerId);
    if (touch && event.pointerType === "touch") taken.push(touch);
  });
  document.addEventListener("touchend", (event) => {
    const at = event.changedTouches[0];
    for (const { control, scroller, scrolledFrom } of taken.splice(0)) {
      const scrolled = Math.abs((scroller?.scrollTop ?? 0) - scrolledFrom);
      if (scrolled > SCROLLED_PX) continue;
      press(control ?? (at ? controlAt(document.elementFromPoint(at.clientX, at.clientY)) : null), true);
    }
  });
  // The device itself ended the touch, as for an incoming call.
  document.addEventListener("touchcancel", () => taken.splice(0));
}

function controlAt(target: EventTarget | null): Element | null {
  const control = target instanceof Element ? target.closest("button, a") : null;
  return control && controls.has(control) ? control : null;
}

/** What would scroll under a finger at `target`. */
function scrollerOf(target: EventTarget | null): Element | null {
  for (let at = target instanceof Element ? target : null; at; at = at.parentElement) {
    if (at.scrollHeight > at.clientHeight && /auto|scroll/.test(getComputedStyle(at).overflowY)) return at;
  }
  return document.scrollingElement;
}

/** `mayTremble` where a second press may come without being meant: from a finger, a pen, or a double click. */
function press(control: Element | null, mayTremble: boolean): void {
  const known = control && controls.get(control);
  if (!known || (control instanceof HTMLButtonElement && control.disabled)) return;
  const nowMs = performance.now();
  const cameUnderIt = known.sinceMs > pressedMs && nowMs - pressedMs < TREMOR_MS;
  // Whoever needs to stop is heard at every instant.
  if (mayTremble && cameUnderIt && !control.matches("nav .stop")) return;
  pressedMs = nowMs;
  known.act();
}
