// Practice at home: what to do, how it goes and how it went, and what of that still has to be sent. It knows no DOM; the parts
// are passed in.

import type { Keep, KeptLog } from "../practice/keep";
import type { Sent } from "../practice/send";
import { asked } from "../practice/sheet";
import type { Cue } from "../sound/cue";
import type { Ease, HomeDone, HomeDrillSheet, OwnHomeClass, OwnSheet, OwnSheets } from "../wire/types";
import { HomeLogs } from "./home-logs.svelte";
import { HomePlayer } from "./player.svelte";
import { HomeRun } from "./run.svelte";

export type PracticeStep =
  | "looking"
  /** Several people's sheets are on this device. */
  | "who"
  | "choose"
  /** Before a home class. */
  | "intro"
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

/** A drill of a sheet or of a home class. */
export interface Doing {
  /** The class whose record takes what was done. */
  class: string;
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
  /** The home class that somebody goes through, or is about to. */
  run = $state.raw<HomeRun | null>(null);
  /** Whether the server was reached last. */
  online = $state(false);
  /** What became of the drill while it was open, or that the home class is not there as it was. */
  changed = $state<"no" | "other" | "gone" | "class">("no");
  /** Whether the person must open their link again before what waits can be sent. */
  needsLink = $state(false);
  readonly logs: HomeLogs;

  constructor(
    private readonly keep: Keep,
    private readonly parts: PracticeParts,
  ) {
    this.logs = new HomeLogs(keep);
  }

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
      // An earlier version kept no home classes.
      [this.own, this.step] = [{ ...kept.own, classes: kept.own.classes ?? [] }, "choose"];
      this.parts.met(kept.own.name);
    }
    await this.logs.finishDrafts(link);
    await this.look();
    if (this.step === "looking") this.step = this.own === null ? "ended" : "choose";
  }

  /** Sends what waits, and reads the sheets anew: what a clinician took back goes, also from under a drill that is on. */
  async look(): Promise<void> {
    const { link } = this;
    if (link === null) return;
    const sent = await this.parts.send(this.keep, link);
    this.needsLink = sent === "no_pass";
    await this.logs.look(link);
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
    this.#halt();
    [this.player, this.doing, this.run] = [null, null, null];
    void this.logs.look(null);
    // Whoever reads what to do now goes on reading.
    if (this.step === "hurt") return;
    [this.own, this.step] = [null, "ended"];
  }

  /** A drill that is open is done only as it stands on the sheet now. */
  #checkDoing(own: OwnSheets): void {
    const { doing, player, run } = this;
    if (run !== null) return this.#checkRun(own, run);
    if (doing === null || player === null || this.step !== "playing") return;
    const now = own.sheets
      .flatMap((of) => of.sheet.items.map((item) => ({ of, item })))
      .find(({ item }) => item.drill === doing.item.drill);
    if (now && whatToDo(now.item) === whatToDo(doing.item)) return;
    player.halt();
    if (player.soFar > 0) this.logs.add(this.#log({ done: player.soFar, form: player.form }));
    void this.#settle();
    if (now) this.choose(now.of, now.item);
    else [this.doing, this.player, this.step] = [null, null, "choose"];
    this.changed = now ? "other" : "gone";
  }

  /** A home class is gone through only as it stands now. */
  #checkRun(own: OwnSheets, run: HomeRun): void {
    if (this.step !== "intro" && this.step !== "playing") return;
    const now = own.classes.find(({ id }) => id === run.of.id);
    if (now && whatToDo(now.sheet) === whatToDo(run.of.sheet)) return;
    const { player } = this;
    this.#halt();
    if (player !== null && this.#isInDrill)
      this.logs.add(this.#log({ done: player.soFar, form: player.form }));
    void this.#settle();
    [this.doing, this.player, this.run, this.step] = [null, null, null, "choose"];
    this.changed = "class";
  }

  /** Whether somebody has done a part of the drill that is open, and it is not noted. */
  get #isInDrill(): boolean {
    const { player, run } = this;
    const isOpen = this.step === "playing" && player !== null && player.is !== "over" && !run?.isResting;
    return isOpen && player.soFar > 0;
  }

  // --- doing it

  choose(of: OwnSheet, item: HomeDrillSheet): void {
    [this.run, this.changed] = [null, "no"];
    this.logs.forget();
    this.#open(of.class, item);
  }

  #open(of: string, item: HomeDrillSheet): HomePlayer {
    this.doing = { class: of, item };
    const isPaced = this.run !== null;
    const known = { ...item, hurt: this.hurtOn(item) };
    const player = new HomePlayer(known, this.parts.monotonic, () => void this.#isOver(), isPaced);
    [this.player, this.step] = [player, "playing"];
    return player;
  }

  /** The last day on which a drill hurt: what the server knows, or what waits to be told. */
  hurtOn({ drill, hurt = null }: HomeDrillSheet): string | null {
    const said = this.logs.waiting.filter(({ done }) => done.log.hurt && done.log.drill === drill);
    return said
      .map(({ done }) => done.log.day)
      .reduce((last, day) => (last && last > day ? last : day), hurt);
  }

  /** Before a home class somebody reads what its maker says. */
  chooseClass(of: OwnHomeClass): void {
    [this.changed, this.doing, this.player] = ["no", null, null];
    this.logs.forget();
    const open = (item: HomeDrillSheet): HomePlayer => this.#open(of.class, item);
    const over = (): void => this.#classIsOver();
    this.run = new HomeRun(of, this.parts.newId(), this.parts.monotonic, open, over);
    this.step = "intro";
  }

  beginClass(): void {
    if (this.step === "intro") this.run?.next();
  }

  #classIsOver(): void {
    this.#halt();
    if (this.logs.isBegun) this.step = "how";
    else this.leave();
  }

  /** Begins the drill that is open. */
  start(): void {
    if (this.run === null) this.player?.start();
    else this.run.goOn();
  }

  /** Stops at once, whatever is on. */
  stop(): void {
    const { player, run } = this;
    if (run !== null && (run.isResting || player?.is === "ready")) run.stop();
    else player?.stop();
  }

  /** Goes on where it was stopped. */
  goOn(): void {
    if (this.run?.isStopped) this.run.resume();
    else this.player?.goOn();
  }

  /** That is enough of a drill, or of the whole class. */
  async enough(): Promise<void> {
    if (this.run === null) return this.player?.finish();
    const kept = this.#leaveDrill();
    this.#classIsOver();
    await kept;
  }

  /** Leaves the rest of this drill out, and goes on with what follows in the class. */
  async skip(): Promise<void> {
    const kept = this.#leaveDrill();
    this.run?.next();
    await kept;
  }

  /** Keeps what was done of a drill that was stopped in a class. */
  async #leaveDrill(): Promise<void> {
    const { player } = this;
    if (player !== null && this.#isInDrill)
      await this.logs.draft(this.#log({ done: player.done, form: player.form }));
  }

  /** What sounds within the next moments. */
  cues(behindMs: number, aheadMs: number): Cue[] {
    return this.step === "playing" ? (this.player?.cues(behindMs, aheadMs) ?? []) : [];
  }

  /** What was done is kept at once, in case the person puts the device away; how it was is asked. */
  async #isOver(): Promise<void> {
    const { player, run } = this;
    if (player === null) return;
    const kept = this.logs.draft(this.#log({ done: player.done, form: player.form }));
    if (run === null) this.step = "how";
    else run.next();
    await kept;
  }

  #halt(): void {
    this.player?.halt();
    this.run?.halt();
  }

  /** Back to the choice. */
  leave(): void {
    if (this.#isInDrill) this.logs.add(this.#log({ done: this.player!.soFar, form: this.player!.form }));
    this.#halt();
    if (this.logs.isBegun) void this.#settle();
    [this.doing, this.player, this.run, this.step, this.changed] = [null, null, null, "choose", "no"];
  }

  // --- how it went

  async say(ease: Ease | null): Promise<void> {
    // A tremor's second tap says nothing more.
    if (this.step !== "how") return;
    this.step = "saved";
    await this.#settle({ ease });
  }

  /** It hurt, in the middle of it or afterwards. */
  async sayHurt(): Promise<void> {
    if (this.step === "hurt") return;
    const [isByHand, isOver] = [this.step === "by_hand", this.step === "how"];
    const { player } = this;
    // Between two drills it is said of the one that is over.
    const isBetween = this.logs.isBegun && !this.#isInDrill && (this.run?.isResting || this.run?.isStopped);
    this.step = "hurt";
    this.#halt();
    if (isOver || isBetween) return this.#settle({ hurt: true });
    const did = isByHand || player === null ? { done: null } : { done: player.soFar, form: player.form };
    this.logs.add(this.#log({ ...did, hurt: true, noted: isByHand ? "hand" : "screen" }));
    await this.#settle();
  }

  /** They did it without the screen. */
  byHand(of: OwnSheet, item: HomeDrillSheet): void {
    [this.doing, this.player, this.run] = [{ class: of.class, item }, null, null];
    this.logs.forget();
    this.step = "by_hand";
  }

  async sayByHand(how: "all" | "some" | "none"): Promise<void> {
    if (this.step !== "by_hand") return;
    this.step = "saved";
    const { reps } = asked(this.doing!.item);
    this.logs.add(this.#log({ done: { all: reps, some: null, none: 0 }[how], noted: "hand" }));
    await this.#settle();
  }

  #log(what: Partial<HomeDone["log"]>): KeptLog | null {
    const { doing, link, run } = this;
    if (doing === null || link === null) return null;
    const { id, sheet } = run?.of ?? {};
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
      ...(run && id && sheet && { run: { class: id, title: sheet.title, run: run.id, drills: run.drills } }),
      ...what,
    };
    return { id: log.id, link, done: { class: doing.class, log }, asks: false, isDraft: false };
  }

  async #settle(said: { ease?: Ease | null; hurt?: boolean } = {}): Promise<void> {
    await this.logs.settle(said);
    // Whoever is to look after them should know at once.
    void this.look();
  }

  /** What the server asks about: it was today, or it is left out. */
  async answerDay(log: KeptLog, wasToday: boolean): Promise<void> {
    await this.logs.answerDay(log, wasToday ? this.parts.today() : null);
    await this.look();
  }
}

/** A drill or a class as it is to be done; that something hurt changes nothing of it. */
function whatToDo(sheet: object): string {
  return JSON.stringify(sheet, (name, value: unknown) => (name === "hurt" ? undefined : value));
}

/** Names by which people are told apart: with two of one name goes what each was given. */
function namesOf(kept: readonly { link: string; own: OwnSheets }[]): { link: string; name: string }[] {
  return kept.map(({ link, own }) => {
    const isOnly = kept.filter((other) => other.own.name === own.name).length === 1;
    const titles = [
      ...own.sheets.flatMap(({ sheet }) => sheet.items.map(({ content }) => content.title)),
      ...(own.classes ?? []).map(({ sheet }) => sheet.title),
    ];
    return { link, name: isOnly ? own.name : [own.name, titles.join(", ")].filter(Boolean).join(": ") };
  });
}
