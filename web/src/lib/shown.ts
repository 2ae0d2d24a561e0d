// What a screen of the class shows at an instant: the words, the number, the band and the picture. It is pure, so that
// every screen says the same of the same scene.

import { text } from "./messages";
import { notice } from "./notice";
import { countsUp, isRest, waitsForLead } from "./player";
import type { Scene } from "./player";
import type { ClueFrame, Content, Marks, Phase, Span, Stage, Tune } from "./wire/types";

/** What differs for one person; all of it absent on the wall and at the desk. */
export interface Person {
  /** This sentence replaces the drill with a calm rest. */
  restInstead?: string | null;
  /** What this person does differently, in one sentence. */
  ownForm?: string | null;
  /** Whether the clock is that of their own form of the drill. */
  ownClock?: boolean;
  /** Whether this person joined late: they see what comes, and begin there. */
  joining?: boolean;
  /** Whether tones can be heard on this device. */
  audible?: boolean;
  /** Whether the person has answered the effort question. */
  effortSaid?: boolean;
  /** Whether the person has said that their mouth is empty. */
  mouthSaid?: boolean;
  /** Whether the person is being asked how far they got; the answers stand in the picture's place. */
  asksHowFar?: boolean;
}

export interface Shown {
  /** What the class does, at the head. */
  title: string;
  /** Beside it: which of the repetitions, or else the place of what is shown. */
  tally: (Pick<Content, "reps" | "sets"> & { span: Span }) | null;
  place: string;
  /** The largest words. */
  cue: string;
  /** What stands below them, smaller. */
  under: string | null;
  /** On the class screen only the first sentence of a phase's cue is that large; `below` is the rest, and `under`. */
  lead: string;
  below: string | null;
  /** Whether the largest words are those of a repetition, in which a word may be marked to be stressed. */
  marked: boolean;
  /** Where the voice goes at the end of the words, drawn beside what stands below them. */
  tune: Tune | null;
  /** Whether `under` is about safety. */
  care: boolean;
  own: string | null;
  /** The one number, and what it counts. */
  number: string | null;
  unit: string | null;
  next: string | null;
  /** The drill's rule for stopping, shown for as long as anybody does something. */
  caution: string | null;
  pose: string;
  phase: Phase | null;
  /** What the picture shows, in words. */
  picture: string;
  /** Nothing is asked of anybody just now. */
  resting: boolean;
  /** Everybody stands still for safety; that looks, sounds and reads unlike any other pause. */
  safety: boolean;
  band: Band | null;
  clue: ClueFrame | null;
  /** The hints given so far, until the answer is there. */
  hints: readonly string[];
  /** A place for each letter of the answer, by words; empty where nothing is known of them. */
  letters: readonly string[];
}

export interface Band {
  /** Names the stretch of time; with a new name the band begins anew. */
  name: string;
  lengthMs: number;
  leftMs: number;
  running: boolean;
  marks: Marks | null;
  /** The time from one beat to the next; null where there is none. */
  beatMs: number | null;
  /** The part of the whole at which the firmer end begins; null where there is none. */
  firmFrom: number | null;
  /** What happens when the band is full. */
  end: string | null;
}

/** The pose of whoever does nothing in particular. */
const SITTING = "tall";

export function shown(
  stage: Stage,
  scene: Scene,
  clue: ClueFrame | null,
  clueSeconds: number | null,
  person: Person = {},
): Shown {
  const t = text.stage;
  const { content, at, on: now } = scene;
  const { restInstead = null, ownForm = null, joining = false } = person;
  const safety = stage.safety_pause !== null;
  const settled = at.paused && scene.resumesIn === null;
  const asksMouths = settled && content.swallow && now.kind === "ready";
  const leadLost = waitsForLead(stage.lead_lost, at, now, (clueSeconds ?? 0) > 0);
  const span = now.kind === "span" ? now.span : null;
  const side = content.sides[span?.side ?? 0];
  const rests = span !== null && isRest(span);
  const moves = span?.phase === "move";
  const stands = settled && !asksMouths;
  const mayShowClue =
    content.kind === "clues" && !at.paused && !joining && !leadLost && !restInstead && !safety;
  const shownClue = mayShowClue ? clue : null;

  const cue = (): string => {
    if (safety) return t.safetyPause;
    if (restInstead) return restInstead;
    if (joining) return t.joinAt;
    if (leadLost) return t.leadLost;
    if (asksMouths) return person.mouthSaid ? t.mouthWait : text.mouth.question;
    if (at.paused) return scene.resumesIn === null ? t.paused : t.goesOnIn;
    if (shownClue) return shownClue.answer ?? shownClue.clue;
    switch (now.kind) {
      case "ready":
        return t.getReady;
      case "span":
        // The words of a repetition are the largest, and what to do with them stands below.
        if (now.span.say !== undefined) return now.span.say;
        // In a movement, where to go is the largest words. A rest says only that it is one.
        if (rests) return saysItself(now.span) ? now.span.cue : t.resting;
        return moves && side?.name ? side.name : now.span.cue;
      case "over":
        return t.over;
      case "unclocked":
        if (content.kind === "clues") return t.clueSoon;
        if (content.kind === "effort") return person.effortSaid ? t.effortSaid : t.effort;
        return content.kind === "check_in" ? t.checkIn : t.listen;
    }
  };
  /** The side, or the words, whichever the cue does not say. */
  const under = (): string | null => {
    if (safety || restInstead) return null;
    if (shownClue) return shownClue.answer ? (shownClue.because ?? shownClue.clue) : null;
    if (asksMouths) return t.mouthEmpty;
    if (person.asksHowFar) return text.seat.howFar;
    if (now.kind === "ready") return careWhileReady(content, person.audible ?? false);
    if (stands) return null;
    if (span?.say !== undefined) return span.cue;
    if (moves && side?.name) return span.cue;
    if (rests) return span.phase === "rest" ? restOf(span.cue) : null;
    return side?.name ?? null;
  };
  const counted = content.kind === "clues" && shownClue ? clueSeconds : secondsOf(scene);
  const noNumber = safety || stands || restInstead !== null || asksMouths;
  const number = noNumber || counted === null ? null : countText(counted);
  const phase: Phase | null =
    stands || restInstead !== null || now.kind === "over" || now.kind === "ready"
      ? "rest"
      : at.paused
        ? null
        : (span?.phase ?? null);
  const doing = content.kind === "drill" && now.kind !== "over" && !restInstead && !safety && !stands;

  const [words, beside] = [cue(), under()];
  const isOfPhase = span !== null && words === span.cue && !ownForm;
  const [lead, then] = isOfPhase ? inTwo(words) : [words, null];
  return {
    title: safety ? t.safetyHead : person.ownClock ? t.ownWay(content.title) : content.title,
    tally:
      span && span.phase !== "watch" && content.kind === "drill"
        ? { span, reps: content.reps, sets: content.sets }
        : null,
    place: shownClue ? t.clue(shownClue.number, shownClue.of) : t.step(stage.number, stage.of),
    cue: words,
    under: beside,
    lead,
    below: [beside && then ? sentence(beside) : beside, then].filter((part) => part).join(" ") || null,
    marked: words === span?.say,
    tune: stands || safety || restInstead !== null ? null : (span?.tune ?? null),
    care: asksMouths || (now.kind === "ready" && beside !== null),
    own: restInstead || safety || now.kind === "ready" ? null : ownForm,
    number,
    unit: number === null ? null : unitOf(scene, shownClue !== null),
    next: safety ? t.safetyThen : restInstead ? null : notice(content, now, joining),
    caution: doing && now.kind !== "ready" ? content.caution : null,
    pose: restInstead ? SITTING : (span?.pose ?? side?.pose ?? content.pose ?? SITTING),
    phase,
    picture:
      phase === "release" || phase === "rest" || (rests && phase !== "watch")
        ? t.atRest
        : (side?.name ?? content.title),
    resting: !safety && (now.kind === "over" || rests || at.paused || leadLost || restInstead !== null),
    safety,
    band: restInstead || safety ? null : bandOf(scene),
    clue: shownClue,
    hints: shownClue && !shownClue.answer ? shownClue.hints : [],
    letters: counted === null ? (shownClue?.letters?.split(" ") ?? []) : [],
  };
}

/** Whether a rest says by its cue what it is. */
function saysItself({ phase }: Span): boolean {
  return phase === "sip" || phase === "watch";
}

/** What a rest's cue says besides that it is one, which is said above it. */
function restOf(cue: string): string | null {
  const word = `${text.stage.resting}.`;
  return cue.startsWith(word) ? cue.slice(word.length).trim() || null : cue;
}

/** The first sentence of a cue, and what follows it. */
function inTwo(cue: string): [string, string | null] {
  const [, first, then] = /^(.+?[.!?…]) (\S.*)$/.exec(cue) ?? [];
  return [first ?? cue, then ?? null];
}

function sentence(words: string): string {
  return /[.!?…]$/.test(words) ? words : `${words}.`;
}

/** While people get ready there is time to read what matters: the mouth, the rule for stopping, where to look. */
function careWhileReady({ swallow, caution, eyes_away }: Content, audible: boolean): string | null {
  const t = text.stage;
  const lines = [swallow ? t.mouthEmpty : null, caution, eyes_away && audible ? t.eyesAway : null];
  return lines.filter((line) => line !== null).join(" ") || null;
}

/** The seconds that a scene counts: until a pause ends, held so far, or left. */
function secondsOf(scene: Scene): number | null {
  if (scene.at.paused) return scene.resumesIn;
  return scene.seconds;
}

/** Seconds as they are shown: from 100 on in minutes. */
export function countText(seconds: number): string {
  return seconds < 100 ? String(seconds) : text.minutesSeconds(Math.floor(seconds / 60), seconds % 60);
}

function unitOf({ at, on: now, seconds }: Scene, isClue: boolean): string {
  const u = text.stage.units;
  if (isClue) return u.left;
  const isBefore = now.kind === "ready" || (now.kind === "span" && now.span.phase === "watch");
  if (at.paused || isBefore) return u.startsIn;
  if (countsUp(now)) return u.held;
  const long = (seconds ?? 0) >= 100;
  if (now.kind === "span" && isRest(now.span)) return long ? u.restLong : u.rest;
  if (now.kind === "span" && now.span.phase === "move") return u.toGetThere;
  return long ? u.leftLong : u.left;
}

/** The band of a phase, seeded with the instant at which its name changed; it then moves by itself. */
function bandOf({ content, timeline, way, at, on: now }: Scene): Band | null {
  const name = `${content.id}.${content.rev}.${way}.${at.move.at}.${at.paused}`;
  const running = !at.paused;
  const e = text.stage.ends;
  if (now.kind === "ready")
    return {
      name: `${name}.ready`,
      lengthMs: timeline.ready_ms,
      leftMs: now.leftMs,
      running,
      marks: null,
      beatMs: null,
      firmFrom: null,
      end: e.ready,
    };
  if (now.kind !== "span") return null;
  const { span, index, leftMs } = now;
  const [before, after] = [timeline.spans[index - 1], timeline.spans[index + 1]];
  // A hold and its firmer end have one band.
  if (span.phase === "firm_up" && before) {
    const lengthMs = before.len_ms + span.len_ms;
    const firmFrom = before.len_ms / lengthMs;
    return {
      name: `${name}.${index - 1}`,
      lengthMs,
      leftMs,
      running,
      marks: null,
      beatMs: null,
      firmFrom,
      end: null,
    };
  }
  const firmMs = after?.phase === "firm_up" ? after.len_ms : 0;
  const firmFrom = firmMs > 0 ? span.len_ms / (span.len_ms + firmMs) : null;
  const thenHold = span.phase === "move" && after?.phase === "hold";
  const end = span.phase === "watch" ? e.ready : isRest(span) && after ? e.rest : thenHold ? e.hold : null;
  return {
    name: `${name}.${index}`,
    lengthMs: span.len_ms + firmMs,
    leftMs: leftMs + firmMs,
    running,
    marks: span.marks,
    beatMs: span.beat_ms ?? null,
    firmFrom,
    end,
  };
}
