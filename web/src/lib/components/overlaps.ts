// For tests: which words of the page lie on each other, wherever they stand.

/** The part of a line's height that its letters take; lines of large type reach beyond them. */
const LETTERS = 0.5;

interface Line {
  words: string;
  node: Text;
  left: number;
  right: number;
  top: number;
  bottom: number;
}

/** Pairs of words that share more than 2 px each way. What lies in front of a page, as a `drawer`, is apart from it. */
export function overlaps(drawer = ".drawer"): string[] {
  const lines = linesOfPage();
  const wrong: string[] = [];
  for (const [i, a] of lines.entries())
    for (const b of lines.slice(i + 1)) {
      if (a.node === b.node) continue;
      if (a.node.parentElement?.closest(drawer) !== b.node.parentElement?.closest(drawer)) continue;
      const wide = Math.min(a.right, b.right) - Math.max(a.left, b.left);
      const high = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
      if (wide > 2 && high > 2) wrong.push(`“${a.words}” lies on “${b.words}”`);
    }
  return wrong;
}

function linesOfPage(): Line[] {
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  const lines: Line[] = [];
  for (let node = walker.nextNode() as Text | null; node; node = walker.nextNode() as Text | null) {
    const element = node.parentElement;
    const words = node.data.trim().slice(0, 40);
    if (!element || words === "" || element.closest("style, script")) continue;
    if (!element.checkVisibility({ visibilityProperty: true, opacityProperty: true })) continue;
    const range = document.createRange();
    range.selectNodeContents(node);
    for (const rect of range.getClientRects()) {
      const line = seen(rect, element);
      if (line) lines.push({ words, node, ...line });
    }
  }
  return lines;
}

/** What is seen of a line: its letters, inside whatever cuts it off. */
function seen(rect: DOMRect, element: Element): Omit<Line, "words" | "node"> | null {
  const spare = (rect.height * (1 - LETTERS)) / 2;
  let { left, right } = rect;
  let top = rect.top + spare;
  let bottom = rect.bottom - spare;
  for (let box: Element | null = element; box; box = box.parentElement) {
    const { overflowX, overflowY } = getComputedStyle(box);
    const edges = box.getBoundingClientRect();
    if (overflowX !== "visible") [left, right] = [Math.max(left, edges.left), Math.min(right, edges.right)];
    if (overflowY !== "visible") [top, bottom] = [Math.max(top, edges.top), Math.min(bottom, edges.bottom)];
  }
  return right - left > 1 && bottom - top > 1 ? { left, right, top, bottom } : null;
}
