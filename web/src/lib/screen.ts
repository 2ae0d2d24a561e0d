/** The place of a page's screen, without the words for browsers that cannot show it. */
export function emptyScreen(): HTMLElement {
  const screen = document.getElementById("screen")!;
  screen.replaceChildren();
  return screen;
}
