// What the practice page keeps on a device: each person's sheets, so that they open without the network, and what was done
// and not yet taken by the server. On a device that several people use it keeps both in the tab only.

import { openDB, type DBSchema, type IDBPDatabase } from "idb";
import type { Shelf } from "../shelf";
import type { HomeDone, OwnSheets } from "../wire/types";

/** The sheets of one person's link, as they were read last. */
export interface KeptSheets {
  link: string;
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
  /** Whether the person may still say how it went; nothing is sent before. */
  isDraft: boolean;
}

export interface Keep {
  /** Whether it outlasts the tab. */
  isDurable: boolean;
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
    isDurable: true,
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

/** A place in the tab that keeps texts by name, also over a reload. */
type Tab = Pick<Shelf, "getItem" | "setItem">;

/** Keeps everything until the tab is closed. */
export function tabKeep(tab: Tab): Keep {
  const read = <T>(name: string): T[] => JSON.parse(tab.getItem(`${NAME}.${name}`) ?? "[]") as T[];
  const write = (name: string, all: object[]): void => tab.setItem(`${NAME}.${name}`, JSON.stringify(all));
  const sheets = (): KeptSheets[] => read("sheets");
  const logs = (): KeptLog[] => read("logs");
  const acts = (act: () => void): Promise<void> => Promise.resolve().then(act);
  return {
    isDurable: false,
    sheets: () => Promise.resolve(sheets()),
    keepSheets: (of) => acts(() => write("sheets", [...sheets().filter(({ link }) => link !== of.link), of])),
    logs: (link) => Promise.resolve(logs().filter((log) => log.link === link)),
    keepLog: (log) => acts(() => write("logs", [...logs().filter(({ id }) => id !== log.id), log])),
    dropLog: (id) =>
      acts(() =>
        write(
          "logs",
          logs().filter((log) => log.id !== id),
        ),
      ),
    forget: (link) =>
      acts(() => {
        write(
          "sheets",
          sheets().filter((one) => one.link !== link),
        );
        write(
          "logs",
          logs().filter((log) => log.link !== link),
        );
      }),
  };
}

/** Keeps in the tab what the device cannot keep. */
export function eitherKeep(own: Keep, tab: Keep): Keep {
  const both = async <T>(ask: (keep: Keep) => Promise<T[]>): Promise<T[]> => [
    ...(await ask(own).catch(() => [])),
    ...(await ask(tab)),
  ];
  return {
    isDurable: own.isDurable,
    sheets: () => both((keep) => keep.sheets()),
    keepSheets: (of) => own.keepSheets(of).catch(() => undefined),
    logs: (link) => both((keep) => keep.logs(link)),
    keepLog: async (log) => {
      const isOwn = await own.keepLog(log).then(
        () => true,
        () => false,
      );
      await (isOwn ? tab.dropLog(log.id) : tab.keepLog(log));
    },
    async dropLog(id) {
      await Promise.all([own.dropLog(id).catch(() => undefined), tab.dropLog(id)]);
    },
    async forget(link) {
      await Promise.all([own.forget(link).catch(() => undefined), tab.forget(link)]);
    },
  };
}

/** A device turned out to be one that several people use: what waits goes to the tab, and nothing else stays. */
export async function leaveDevice(own: Keep, tab: Keep, link: string): Promise<void> {
  for (const log of await own.logs(link)) await tab.keepLog(log);
  await own.forget(link);
}
