// Sends what was done at home, one log after the other. The server counts each once, so that whatever was not answered is
// simply sent again.

import { Refused } from "../http";
import type { HomeDone } from "../wire/types";
import type { Keep, KeptLog } from "./keep";

export type Sent =
  /** Everything was taken, but for what is asked about. */
  | "taken"
  /** The server cannot be reached, or is busy: to be tried again later. */
  | "later"
  /** This browser has no pass for the link any more; the link may be opened anew. */
  | "no_pass"
  /** The link was ended: nothing of it stays on this device. */
  | "ended";

/** Sends the logs of a link that are waiting. */
export async function send(
  keep: Keep,
  link: string,
  post: (link: string, done: HomeDone) => Promise<void>,
): Promise<Sent> {
  let sent: Sent = "taken";
  for (const log of await keep.logs(link)) {
    if (log.asks || log.isDraft) continue;
    try {
      await post(link, log.done);
      await keep.dropLog(log.id);
    } catch (error) {
      if (!(error instanceof Refused)) return "later";
      if (error.code === "link_ended") {
        await keep.forget(link);
        return "ended";
      }
      if (error.code === "no_pass") return "no_pass";
      // The server keeps both versions, for staff to look at.
      if (error.code === "differs") await keep.dropLog(log.id);
      // Another tab may have sent it, or heard the answer, meanwhile.
      else if (error.code === "other_day" && (await isStill(keep, log)))
        await keep.keepLog({ ...log, asks: true });
      else if (error.status >= 500 || error.status === 429) return "later";
      // What is refused for another reason must not hold up the others.
      else sent = "later";
    }
  }
  return sent;
}

async function isStill(keep: Keep, log: KeptLog): Promise<boolean> {
  const now = (await keep.logs(log.link)).find(({ id }) => id === log.id);
  return JSON.stringify(now) === JSON.stringify(log);
}
