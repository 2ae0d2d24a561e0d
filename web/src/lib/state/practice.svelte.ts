// Practice at home: what to do, how it goes and how it went, and what of that still has to be sent. It knows no DOM; the parts
// are passed in.

import type { Keep, KeptLog } from "../practice/keep";
import type { Sent } from "../practice/send";
import { asked } from "../practice/sheet";
import type { Cue } from "../sound/cue";
import type { Ease, HomeDone, HomeDrillSheet, OwnSheet, OwnSheets } from "../wire/types";
import { HomePlayer } from "./player.svelte";

export type PracticeStep =
  | "looking"
  /** Several people's sheets are on this device. */
  | "who"
  | "choose"
  | "playing"
  | "how"
  | "by_hand"
  | "hurt"
  | "saved"
  | "ended";

export interface PracticeParts {
  /** The sheets of a link as they are now; rejects where they cannot be had. */
  read(link: string): Promise<OwnSheets>;
  /** Sends what waits. */
  send(keep: Keep, link: string): Promise<Sent>;
  /** Milliseconds on a clock that only goes forward. */
  monotonic(): number;
  /** The day here, and how many minutes the clock is ahead of UTC. */
  today(): { day: string; offset_minutes: number };
  newId(): string;
  /** Called as soon as it is known whose page it is. */
  met(name: string): void;
  /** Called with the sheets once they are read. */
  kept(own: OwnSheets, link: string): Promise<void>;
}

/** A drill of a sheet. */
export interface Doing {
  of: OwnSheet;
  item: HomeDrillSheet;
}

export class PracticeState {
  step = $state<PracticeStep>("looking");
  link = $state<string | null>(null);
  own = $state.raw<OwnSheets | null>(null);
  /** Everybody whose sheets are on this device. */
  everybody = $state.raw<{ link: string; name: string }[]>([]);
  doing = $state.raw<Doing | null>(null);
  player = $state.raw<HomePlayer | null>(null);
  /** Whether the server was reached last. */
  online = $state(false);
  /** What became of the drill while it was open. */
  changed = $state<"no" | "other" | "gone">("no");
  /** What is done and not yet sent; what the server asks about is among it. */
  waiting = $state.raw<KeptLog[]>([]);
  /** Whether the person must open their link again before what waits can be sent. */
  needsLink = $state(false);
  /** The id of what was noted last, once it is kept. */
  #noted = $state<string | null>(null);
  /** What was done of a drill that is over, until the person says how it went. */
  #draft: KeptLog | null = null;

  constructor(
    private readonly keep: Keep,
    private readonly parts: PracticeParts,
  ) {}

  /** Opens the page of a link, or, where the address names none, that of whoever's sheets are on the device. */
  async begin(link: string | null): Promise<void> {
    const kept = await this.keep.sheets();
    this.everybody = namesOf(kept);
    const only = kept.length === 1 ? kept[0]!.link : null;
    const chosen = link ?? only;
    if (chosen === null) this.step = kept.length > 1 ? "who" : "ended";
    else await this.open(chosen);
    // What somebody else did on this device waits no longer than it must.
    for (const other of kept) if (other.link !== this.link) await this.parts.send(this.keep, other.link);
  }

  async open(link: string): Promise<void> {
    this.link = link;
    const kept = (await this.keep.sheets()).find((one) => one.link === link);
    if (kept) {
      [this.own, this.step] = [kept.own, "choose"];
      this.parts.met(kept.own.name);
    }
    // How it went was never said; what was done counts all the same.
    for (const log of await this.keep.logs(link))
      if (log.isDraft) await this.keep.keepLog({ ...log, isDraft: false });
    await this.#lookAtLogs();
    await this.look();
    if (this.step === "looking") this.step = this.own === null ? "ended" : "choose";
  }

  /** Sends what waits, and reads the sheets anew: what a clinician took back goes, also from under a drill that is on. */
  async look(): Promise<void> {
    const { link } = this;
    if (link === null) return;
    const sent = await this.parts.send(this.keep, link);
    this.needsLink = sent === "no_pass";
    await this.#lookAtLogs();
    if (sent === "ended") return this.#wipe();
    try {
      const own = await this.parts.read(link);
      [this.own, this.online] = [own, true];
      this.parts.met(own.name);
      this.#checkDoing(own);
      await this.parts.kept(own, link);
    } catch (error) {
      this.online = false;
      const code: unknown =
        error !== null && typeof error === "object" && "code" in error ? error.code : null;
      if (code === "link_ended") {
        await this.keep.forget(link);
        this.#wipe();
      } else if (code === "no_pass") {
        this.needsLink = true;
      }
    }
  }

  #wipe(): void {
    this.player?.halt();
    [this.player, this.doing, this.waiting] = [null, null, []];
    // Whoever reads what to do now goes on reading.
    if (this.step === "hurt") return;
    [this.own, this.step] = [null, "ended"];
  }

  /** A drill that is open is done only as it stands on the sheet now. */
  #checkDoing(own: OwnSheets): void {
    const { doing, player } = this;
    if (doing === null || player === null || this.step !== "playing") return;
    const now = own.sheets
      .flatMap((of) => of.sheet.items.map((item) => ({ of, item })))
      .find(({ item }) => item.drill === doing.item.drill);
    if (now && JSON.stringify(now.item) === JSON.stringify(doing.item)) return;
    player.halt();
    if (player.done > 0) void this.#note({ done: player.done, form: player.form });
    if (now) this.choose(now.of, now.item);
    else [this.doing, this.player, this.step] = [null, null, "choose"];
    this.changed = now ? "other" : "gone";
  }

  async #lookAtLogs(): Promise<void> {
    this.waiting = this.link === null ? [] : await this.keep.logs(this.link);
  }

  /** Whether the server has what was noted last. */
  get isSent(): boolean {
    return this.#noted !== null && this.waiting.every(({ id }) => id !== this.#noted);
  }

  // --- doing it

  choose(of: OwnSheet, item: HomeDrillSheet): void {
    this.doing = { of, item };
    this.changed = "no";
    this.#draft = null;
    this.player = new HomePlayer(item, this.parts.monotonic, () => void this.#isOver());
    this.step = "playing";
  }

  /** What sounds within the next moments. */
  cues(behindMs: number, aheadMs: number): Cue[] {
    return this.step === "playing" ? (this.player?.cues(behindMs, aheadMs) ?? []) : [];
  }

  /** What was done is kept at once, in case the person puts the device away; how it was is asked. */
  async #isOver(): Promise<void> {
    this.step = "how";
    const { player } = this;
    if (player === null) return;
    const draft = this.#log({ done: player.done, form: player.form });
    if (draft === null) return;
    this.#draft = { ...draft, isDraft: true };
    await this.keep.keepLog(this.#draft);
  }

  /** Back to the choice. */
  leave(): void {
    this.player?.halt();
    [this.doing, this.player, this.step, this.changed] = [null, null, "choose", "no"];
  }

  // --- how it went

  async say(ease: Ease | null): Promise<void> {
    // A tremor's second tap says nothing more.
    if (this.step !== "how") return;
    this.step = "saved";
    await this.#note({ ease });
  }

  /** It hurt, in the middle of it or afterwards. */
  async sayHurt(): Promise<void> {
    if (this.step === "hurt") return;
    const isByHand = this.step === "by_hand";
    const { player } = this;
    this.step = "hurt";
    player?.halt();
    const did = isByHand || player === null ? { done: null } : { done: player.done, form: player.form };
    await this.#note({ ...did, hurt: true, noted: isByHand ? "hand" : "screen" });
  }

  /** They did it without the screen. */
  byHand(of: OwnSheet, item: HomeDrillSheet): void {
    this.#draft = null;
    [this.doing, this.player, this.step] = [{ of, item }, null, "by_hand"];
  }

  async sayByHand(how: "all" | "some" | "none"): Promise<void> {
    if (this.step !== "by_hand") return;
    this.step = "saved";
    const { reps } = asked(this.doing!.item);
    await this.#note({ done: { all: reps, some: null, none: 0 }[how], noted: "hand" });
  }

  #log(what: Partial<HomeDone["log"]>): KeptLog | null {
    const { doing, link } = this;
    if (doing === null || link === null) return null;
    const log: HomeDone["log"] = {
      id: this.parts.newId(),
      drill: doing.item.drill,
      form: doing.item.form,
      asked: asked(doing.item),
      done: null,
      ease: null,
      hurt: false,
      noted: "screen",
      ...this.parts.today(),
      ...what,
    };
    return { id: log.id, link, done: { class: doing.of.class, log }, asks: false, isDraft: false };
  }

  async #note(what: Partial<HomeDone["log"]>): Promise<void> {
    const begun = this.#draft;
    this.#draft = null;
    if (begun && !what.hurt && !(await this.#isDraftStill(begun))) return;
    const kept = begun
      ? { ...begun, isDraft: false, done: { ...begun.done, log: { ...begun.done.log, ...what } } }
      : this.#log(what);
    if (kept === null) return;
    this.#noted = null;
    await this.keep.keepLog(kept);
    await this.#lookAtLogs();
    this.#noted = kept.id;
    // Whoever is to look after them should know at once.
    void this.look();
  }

  /** Whether no other tab has sent what was done meanwhile: then how it went comes too late, unless it hurt. */
  async #isDraftStill({ id, link }: KeptLog): Promise<boolean> {
    const isStill = (await this.keep.logs(link)).some((log) => log.id === id && log.isDraft);
    if (!isStill) this.#noted = id;
    return isStill;
  }

  /** What the server asks about: it was today, or it is left out. */
  async answerDay({ id }: KeptLog, wasToday: boolean): Promise<void> {
    const log = this.waiting.find((one) => one.id === id && one.asks);
    if (!log) return;
    this.waiting = this.waiting.filter((one) => one !== log);
    const of = { ...log.done.log, ...this.parts.today() };
    if (wasToday) await this.keep.keepLog({ ...log, done: { ...log.done, log: of }, asks: false });
    else await this.keep.dropLog(id);
    await this.#lookAtLogs();
    await this.look();
  }
}

/** Names by which people are told apart: with two of one name goes what each was given. */
function namesOf(kept: readonly { link: string; own: OwnSheets }[]): { link: string; name: string }[] {
  return kept.map(({ link, own }) => {
    const isOnly = kept.filter((other) => other.own.name === own.name).length === 1;
    const titles = own.sheets.flatMap(({ sheet }) => sheet.items.map(({ content }) => content.title));
    return { link, name: isOnly ? own.name : [own.name, titles.join(", ")].filter(Boolean).join(": ") };
  });
}
