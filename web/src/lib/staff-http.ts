// Signing in, and what staff do about accounts, by plain request.

import { once, record, request } from "./http";
import { makePasskey, usePasskey } from "./passkey";
import type {
  AccountCard,
  AskProvider,
  FromProvider,
  ProviderAnswered,
  SignInWays,
  AccountInvitation,
  Account,
  Clinician,
  Colleague,
  ErasureSheet,
  LetterCard,
  LinkIs,
  MadeOwnLink,
  Mailed,
  Me,
  Medium,
  NewSecond,
  OwnLinkCard,
  PasskeyAsks,
  PasskeyCard,
  RecoveryCodes,
  Retention,
  RetentionPage,
  SignInAnswer,
} from "./wire/types";

const codes = (answer: unknown): string[] => (record(answer, "codes") as RecoveryCodes).codes;

/** What a link about an account is for. */
export async function linkIs(token: string): Promise<LinkIs> {
  return record(await request("/api/staff/link", { token }), "is") as LinkIs;
}

/** Opens the trial account. */
export async function open(token: string): Promise<void> {
  await once(`open ${token}`, (id) => request("/api/staff/open", { token, request: id }));
}

/** Makes the first account; the answer is its recovery codes. */
export async function first(
  token: string,
  owner: { name: string; sign_in: string; clinician: Clinician | null; password: string },
): Promise<string[]> {
  const make = (id: string) => request("/api/staff/first", { token, ...owner, request: id });
  return codes(await once(`first ${token} ${owner.sign_in}`, make));
}

/** Chooses a password by a link; the answer is new recovery codes. */
export async function passwordByLink(token: string, password: string): Promise<string[]> {
  const choose = (id: string) => request("/api/staff/password-by-link", { token, password, request: id });
  return codes(await once(`password ${token}`, choose));
}

export async function signIn(name: string, password: string, code: string | null): Promise<SignInAnswer> {
  return (await request("/api/staff/sign-in", { name, password, code })) as SignInAnswer;
}

export async function recover(name: string, code: string, password: string): Promise<void> {
  await request("/api/staff/recover", { name, code, password });
}

/** What staff call the organisation's own sign-in; `null` where there is none. */
export async function provider(): Promise<string | null> {
  return (record(await request("/api/staff/ways"), "provider") as SignInWays).provider;
}

/** Where the organisation's own sign-in asks who somebody is. */
export async function askProvider(): Promise<string> {
  return (record(await request("/api/staff/provider", {}), "address") as AskProvider).address;
}

/** Where it asks so that it can be linked with one's account. */
export async function askToLink(): Promise<string> {
  return (record(await request("/api/staff/identity", {}), "address") as AskProvider).address;
}

export async function unlink(): Promise<void> {
  await request("/api/staff/identity", {}, "DELETE");
}

/** Brings the server what the organisation's own sign-in sent somebody back with. */
export async function fromProvider(answer: FromProvider): Promise<ProviderAnswered> {
  return (await request("/api/staff/provider/answer", answer)) as ProviderAnswered;
}

export async function me(): Promise<Me> {
  return record(await request("/api/staff/me"), "account", "signed_in") as Me;
}

export async function again(password: string): Promise<void> {
  await request("/api/staff/again", { password });
}

/** The passkeys of whoever is signed in. */
export async function passkeys(): Promise<PasskeyCard[]> {
  const answer = await request("/api/staff/passkeys");
  return Array.isArray(answer) ? (answer as PasskeyCard[]) : [];
}

/** Makes a passkey on this device, by this name. */
export async function addPasskey(name: string): Promise<void> {
  const { id, options } = record(await request("/api/staff/passkeys", {}), "id", "options") as PasskeyAsks;
  await request("/api/staff/passkeys/made", { id, name, answer: await makePasskey(options) });
}

export async function removePasskey(id: string): Promise<void> {
  await request(`/api/staff/passkeys/${encodeURIComponent(id)}`, {}, "DELETE");
}

/** Signs in by a passkey, or proves again who one is. */
export async function signInByPasskey(name: string): Promise<void> {
  const asked = record(await request("/api/staff/passkey-sign-in", { name }), "id", "options") as PasskeyAsks;
  const answer = await usePasskey(asked.options);
  await request("/api/staff/passkey-sign-in/answer", { id: asked.id, answer });
}

export async function signOut(): Promise<void> {
  await request("/api/staff/sign-out", {});
}

export async function signOutOthers(): Promise<void> {
  await request("/api/staff/sign-out-others", {});
}

export async function signOutOne(id: string): Promise<void> {
  await request(`/api/staff/sign-out/${id}`, {});
}

export async function changePassword(from: string, to: string): Promise<void> {
  await request("/api/staff/password", { from, to });
}

export async function newCodes(): Promise<string[]> {
  return codes(await request("/api/staff/codes", {}));
}

export async function newSecond(): Promise<NewSecond> {
  return record(await request("/api/staff/second", {}), "secret", "address") as NewSecond;
}

export async function turnOnSecond(secret: string, code: string): Promise<void> {
  await request("/api/staff/second", { secret, code }, "PUT");
}

export async function turnOffSecond(password: string): Promise<void> {
  await request("/api/staff/second", { password }, "DELETE");
}

export async function accounts(): Promise<AccountCard[]> {
  const answer = await request("/api/accounts");
  return Array.isArray(answer) ? (answer as AccountCard[]) : [];
}

/** The members of staff who are here. */
export async function colleagues(): Promise<Colleague[]> {
  const answer = await request("/api/colleagues");
  return Array.isArray(answer) ? (answer as Colleague[]) : [];
}

export async function newAccount(account: Account): Promise<AccountCard> {
  const make = (id: string) => request("/api/accounts", { account, request: id });
  return record(await once(`account ${JSON.stringify(account)}`, make), "id", "account") as AccountCard;
}

export async function changeAccount(id: string, after: number, account: Account): Promise<void> {
  await request(`/api/accounts/${id}`, { after, account }, "PUT");
}

export async function endAccount(id: string): Promise<void> {
  await request(`/api/accounts/${id}`, {}, "DELETE");
}

/** A new link with which the owner chooses a password; it is shown once. */
export async function accountLink(id: string): Promise<string> {
  return (record(await request(`/api/accounts/${id}/link`, {}), "link") as AccountInvitation).link;
}

/** The lasting links of a person (`planner/people/ID/links`), or the calendars of whoever is signed in (`staff/calendar`). */
export async function ownLinks(of: string): Promise<OwnLinkCard[]> {
  const answer = await request(`/api/${of}`);
  if (!Array.isArray(answer)) throw new Error("the server's answer has another shape");
  return answer as OwnLinkCard[];
}

/** Makes a lasting link. A request whose answer was lost makes nothing twice. */
export async function newOwnLink(of: string, medium: Medium): Promise<MadeOwnLink> {
  const make = (id: string) => request(`/api/${of}`, { medium, request: id });
  return record(await once(`${of} ${medium}`, make), "card", "path") as MadeOwnLink;
}

export async function endOwnLink(of: string, id: string): Promise<void> {
  await request(`/api/${of}/${id}`, {}, "DELETE");
}

/** Sends a link by mail that was made for a message. */
export async function mailLink(of: string, id: string): Promise<Mailed> {
  return record(await request(`/api/${of}/${id}/letter`, {}), "posted", "without") as Mailed;
}

/** What was sent to somebody by mail. */
export async function letters(of: string): Promise<LetterCard[]> {
  const answer = await request(`/api/${of}/letters`);
  return Array.isArray(answer) ? (answer as LetterCard[]) : [];
}

/** Tells everybody of a group by mail that a class is cancelled. */
export async function mailCancelled(group: string, of: string): Promise<Mailed> {
  return record(await request(`/api/planner/groups/${group}/letters`, { of }), "posted", "without") as Mailed;
}

/** How long things are kept, and what that comes to. */
export async function retention(): Promise<RetentionPage> {
  return record(await request("/api/retention"), "rules", "leaving") as RetentionPage;
}

export async function changeRetention(after: number, rules: Retention): Promise<RetentionPage> {
  const changed = await request("/api/retention", { after, rules }, "PUT");
  return record(changed, "rules", "leaving") as RetentionPage;
}

/** What erasing a person would change. */
export async function erasure(person: string): Promise<ErasureSheet> {
  return record(await request(`/api/planner/people/${person}/erasure`), "name", "classes") as ErasureSheet;
}

export async function erase(person: string, name: string): Promise<void> {
  await request(`/api/planner/people/${person}/erasure`, { name });
}

/** Keeps a person's record from being erased. */
export async function hold(person: string, reason: string): Promise<void> {
  await request(`/api/planner/people/${person}/hold`, { reason }, "PUT");
}

export async function lift(person: string): Promise<void> {
  await request(`/api/planner/people/${person}/hold`, {}, "DELETE");
}
