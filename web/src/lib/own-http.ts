// What a person's own page asks for, by plain request.

import { once, record, request } from "./http";
import { language } from "./messages";
import type { AreYou, HomeDone, Joined, OpenedOwn, OwnPage, OwnSheets } from "./wire/types";

/** Whose a link is. */
export async function look(token: string): Promise<AreYou> {
  return record(await request("/api/own/look", { token }), "name") as AreYou;
}

/** Somebody said that it is them: the link is open on this device. */
export async function open(token: string, shared: boolean): Promise<OpenedOwn> {
  const ask = (id: string) => request("/api/own/open", { token, shared, request: id });
  return record(await once(`own ${token} ${shared}`, ask), "place") as OpenedOwn;
}

export async function page(link: string): Promise<OwnPage> {
  return record(await request(`/api/own/${link}`), "name", "classes") as OwnPage;
}

/** What the person was given to do at home. */
export async function sheets(link: string): Promise<OwnSheets> {
  const said = language === "en" ? "" : `?in=${language}`;
  return record(await request(`/api/own/${link}/sheets${said}`), "name", "sheets") as OwnSheets;
}

/** Says what the person did at home. */
export async function practised(link: string, done: HomeDone): Promise<void> {
  await request(`/api/own/${link}/practice`, done);
}

/** Goes into the class that is on. */
export async function come(link: string): Promise<Joined> {
  return record(await request(`/api/own/${link}/class`, {}), "stay", "place") as Joined;
}

/** Says whether the person comes to a class of a group's regular day. */
export async function sendWord(link: string, group: string, of: string, comes: boolean): Promise<void> {
  await request(`/api/own/${link}/word`, { group, of, comes });
}

/** Leaves nothing of the person on a device that several people use. */
export async function done(link: string): Promise<void> {
  await request(`/api/own/${link}/done`, {});
}
