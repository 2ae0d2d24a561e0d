// The heading of a page that comes by itself takes the focus, so that people who cannot see the page hear what it is,
// and the Tab key goes on from there.

/** For `{@attach heading}` on a heading with `tabindex="-1"`. */
export function heading(title: HTMLElement): void {
  title.focus();
}
