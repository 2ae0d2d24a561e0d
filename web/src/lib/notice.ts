// Names what comes next, early enough to get ready for it.

import { text } from "./messages";
import { isRest, type On } from "./player";
import type { Content, Span } from "./wire/types";

/** People with Parkinson's needed up to 3.2 s of notice; every hold is named at least 4 s ahead. */
const NOTICE_MS = 4_500;

/**
 * What to announce: in a rest, while people get ready or wait to join, and shortly before anything ends; otherwise
 * nothing.
 */
export function notice(content: Content, now: On, joining: boolean): string | null {
  if (now.kind === "ready") return comes(content, now.next, now.then, 0);
  if (now.kind !== "span" || !now.next) return null;
  const soon = isRest(now.span) || joining || now.nextInMs <= NOTICE_MS;
  return soon ? comes(content, now.next, now.then, now.span.side) : null;
}

/** Names what comes next, and what follows it so soon that it must be announced now. */
function comes({ sides }: Content, span: Span, then: Span | null, sideNow: number): string {
  const t = text.stage;
  const to = span.side !== sideNow ? sides[span.side]?.name : null;
  const first = to ?? span.cue;
  return then && span.len_ms < NOTICE_MS ? t.nextThen(first, then.cue) : t.next(first);
}
