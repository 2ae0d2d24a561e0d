// What counts as a press for a trembling hand: the first touch. A press that begins on a control and
// slides off counts there, and one that begins beside it and ends on it counts too.

const controls = new WeakMap<Element, () => void>();
const began = new Map<number, Element>();
let listening = false;

/** Makes `control` hear presses; keys and helper programs click it without a pointer. */
export function pressed(control: HTMLButtonElement, act: () => void) {
  listen(control.ownerDocument);
  controls.set(control, act);
  const click = (event: MouseEvent) => {
    if (event.detail === 0) controls.get(control)?.();
  };
  control.addEventListener("click", click);
  return {
    update: (next: () => void) => controls.set(control, next),
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
    const control = controlAt(event.target);
    if (event.button === 0 && control) began.set(event.pointerId, control);
  });
  document.addEventListener("pointerup", (event) => {
    const first = began.get(event.pointerId);
    began.delete(event.pointerId);
    if (event.button !== 0) return;
    press(first ?? controlAt(document.elementFromPoint(event.clientX, event.clientY)));
  });
  // The browser took the touch for a scroll, which is no press; where nothing scrolls it has no reason to.
  document.addEventListener("pointercancel", (event) => began.delete(event.pointerId));
}

function controlAt(target: EventTarget | null): Element | null {
  const control = target instanceof Element ? target.closest("button") : null;
  return control && controls.has(control) ? control : null;
}

function press(control: Element | null): void {
  if (control instanceof HTMLButtonElement && !control.disabled) controls.get(control)?.();
}
