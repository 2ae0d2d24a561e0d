// What the practice page keeps on a device: each person's sheets, so that they open without the network, and what was done
// and not yet taken by the server. On a device that several people use it keeps both in the tab only.

import { openDB, type DBSchema, type IDBPDatabase } from "idb";
import type { Language } from "../choices";
import type { HomeDone, OwnSheets } from "../wire/types";

/** The sheets of one person's link, as they were read last. */
export interface KeptSheets {
  link: string;
  language: Language;
  own: OwnSheets;
}

/** Something done that the server has not taken. */
export interface KeptLog {
  /** The id of its log. */
  id: string;
  link: string;
  done: HomeDone;
  /** Whether the server asks on which day it was. */
  asks: boolean;
}

export interface Keep {
  sheets(): Promise<KeptSheets[]>;
  keepSheets(of: KeptSheets): Promise<void>;
  logs(link: string): Promise<KeptLog[]>;
  keepLog(log: KeptLog): Promise<void>;
  dropLog(id: string): Promise<void>;
  /** Forgets everything of a link. */
  forget(link: string): Promise<void>;
}

interface Kept extends DBSchema {
  sheets: { key: string; value: KeptSheets };
  logs: { key: string; value: KeptLog; indexes: { link: string } };
}

const NAME = "samebreath.practice";

/** The device's own database; `null` where the browser gives none, as in some private windows. */
export async function deviceKeep(): Promise<Keep | null> {
  const db = await openDB<Kept>(NAME, 1, {
    upgrade(fresh) {
      fresh.createObjectStore("sheets", { keyPath: "link" });
      fresh.createObjectStore("logs", { keyPath: "id" }).createIndex("link", "link");
    },
  }).catch(() => null);
  return db && keepIn(db);
}

function keepIn(db: IDBPDatabase<Kept>): Keep {
  return {
    sheets: () => db.getAll("sheets"),
    keepSheets: async (of) => void (await db.put("sheets", of)),
    logs: (link) => db.getAllFromIndex("logs", "link", link),
    keepLog: async (log) => void (await db.put("logs", log)),
    dropLog: (id) => db.delete("logs", id),
    async forget(link) {
      const all = db.transaction(["sheets", "logs"], "readwrite");
      const logs = await all.objectStore("logs").index("link").getAllKeys(link);
      await Promise.all([
        all.objectStore("sheets").delete(link),
        ...logs.map((id) => all.objectStore("logs").delete(id)),
        all.done,
      ]);
    },
  };
}

/** Keeps everything until the tab is closed. */
export function tabKeep(): Keep {
  const sheets = new Map<string, KeptSheets>();
  const logs = new Map<string, KeptLog>();
  return {
    sheets: () => Promise.resolve([...sheets.values()]),
    keepSheets: (of) => Promise.resolve(void sheets.set(of.link, of)),
    logs: (link) => Promise.resolve([...logs.values()].filter((log) => log.link === link)),
    keepLog: (log) => Promise.resolve(void logs.set(log.id, log)),
    dropLog: (id) => Promise.resolve(void logs.delete(id)),
    forget(link) {
      sheets.delete(link);
      for (const log of [...logs.values()]) if (log.link === link) logs.delete(log.id);
      return Promise.resolve();
    },
  };
}
