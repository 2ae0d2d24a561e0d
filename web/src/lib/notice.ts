// Names what comes next, early enough to get ready for it.

import { text } from "./messages";
import { isRest, type On } from "./player";
import { NOTICE_MS, type Content, type Span } from "./wire/types";

/** Work is named a little before the notice that the core gives, so that a late frame does not shorten it. */
const AHEAD_MS = NOTICE_MS + 500;

/**
 * What to announce: in a rest, while people get ready or wait to join, and shortly before anything ends; otherwise
 * nothing.
 */
export function notice(content: Content, now: On, joining: boolean): string | null {
  if (now.kind === "ready") return comes(content, now.next, now.then, 0);
  if (now.kind !== "span" || !now.next) return null;
  const soon = isRest(now.span) || joining || now.nextInMs <= AHEAD_MS;
  return soon ? comes(content, now.next, now.then, now.span.side) : null;
}

/** Names what comes next, and what follows it so soon that it must be announced now. */
function comes({ sides }: Content, span: Span, then: Span | null, sideNow: number): string {
  const t = text.stage;
  const to = span.side !== sideNow ? sides[span.side]?.name : null;
  const first = to ?? span.cue;
  return then && span.len_ms < AHEAD_MS ? t.nextThen(first, then.cue) : t.next(first);
}
