// Moves a row of a list by its handle, with a mouse, a pen or a finger.

/** How near to an edge of the list a finger makes it scroll, and by how much each time it moves. */
const EDGE_PX = 48;
const SCROLL_PX = 16;

export interface Drag {
  /** The row under the hand, while it is held; null when it is let go or the drag is broken off. */
  over: (index: number | null) => void;
  /** The row was let go on another row. */
  drop: (index: number) => void;
}

/** Makes a handle move its row. The rows carry `data-row`, their place in the list. */
export function handle({ over, drop }: Drag): (grip: HTMLElement) => () => void {
  return (grip) => {
    const ending = new AbortController();
    const { signal } = ending;
    let at: number | null = null;
    const end = (): void => {
      at = null;
      over(null);
    };
    const move = (event: PointerEvent): void => {
      if (!grip.hasPointerCapture(event.pointerId)) return;
      scroll(grip, event.clientY);
      const row = document.elementFromPoint(event.clientX, event.clientY)?.closest<HTMLElement>("[data-row]");
      if (row) at = Number(row.dataset.row);
      over(at);
    };
    grip.addEventListener(
      "pointerdown",
      (event) => {
        if (event.button !== 0) return;
        event.preventDefault();
        grip.setPointerCapture(event.pointerId);
        move(event);
      },
      { signal },
    );
    grip.addEventListener("pointermove", move, { signal });
    grip.addEventListener(
      "pointerup",
      () => {
        const to = at;
        end();
        if (to !== null) drop(to);
      },
      { signal },
    );
    grip.addEventListener("pointercancel", end, { signal });
    return () => ending.abort();
  };
}

function scroll(inside: Element, y: number): void {
  for (let box: Element | null = inside; box; box = box.parentElement) {
    if (box.scrollHeight <= box.clientHeight || !/auto|scroll/.test(getComputedStyle(box).overflowY))
      continue;
    const { top, bottom } = box.getBoundingClientRect();
    if (y < top + EDGE_PX) box.scrollTop -= SCROLL_PX;
    else if (y > bottom - EDGE_PX) box.scrollTop += SCROLL_PX;
    return;
  }
}
