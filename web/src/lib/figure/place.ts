// Puts a drawing into the page without handing text to the browser as HTML, which the pages' own rules forbid. What is
// there already is kept and only changed, so that a figure that moves costs little.

const SVG = "http://www.w3.org/2000/svg";
const TAG = /<(\/?)([\w]+)((?:\s+[\w-]+="[^"]*")*)\s*(\/?)>/g;
const ATTRIBUTE = /([\w-]+)="([^"]*)"/g;

/** What each element was last given, so that what does not move costs nothing. */
const given = new WeakMap<Element, string>();

/** Makes the children of `root` those of `drawing`: SVG elements without text, each closed. */
export function place(root: Element, drawing: string): void {
  let parent = root;
  let next = root.firstElementChild;
  const close = (): void => {
    while (next) {
      const gone: Element = next;
      next = gone.nextElementSibling;
      gone.remove();
    }
  };
  for (const [, closes, name = "", attributes = "", isEmpty] of drawing.matchAll(TAG)) {
    if (closes) {
      close();
      next = parent.nextElementSibling;
      parent = parent.parentElement ?? root;
      continue;
    }
    let element: Element;
    if (next?.tagName === name) element = next;
    else {
      element = document.createElementNS(SVG, name);
      parent.insertBefore(element, next);
    }
    change(element, attributes);
    if (isEmpty) {
      next = element.nextElementSibling;
      continue;
    }
    parent = element;
    next = element.firstElementChild;
  }
  close();
}

function change(element: Element, attributes: string): void {
  if (given.get(element) === attributes) return;
  given.set(element, attributes);
  const wanted = new Map(
    [...attributes.matchAll(ATTRIBUTE)].map(([, name = "", value = ""]) => [name, value]),
  );
  for (const { name } of [...element.attributes]) if (!wanted.has(name)) element.removeAttribute(name);
  for (const [name, value] of wanted)
    if (element.getAttribute(name) !== value) element.setAttribute(name, value);
}
