/** The place for a page's screen, without the words shown to browsers that cannot run it. */
export function emptyScreen(): HTMLElement {
  const screen = document.getElementById("screen")!;
  screen.replaceChildren();
  return screen;
}
