// The library's search, over drills and rounds of the word game alike: by name first, then by what they are for. It
// is pure.

import type { ClueCard, DrillCard, Family } from "../wire/types";

/** A drill or a round of the word game that was found. */
export type Hit =
  | { is: "drill"; card: DrillCard; name: string; rank: number }
  | {
      is: "round";
      set: ClueCard;
      name: string;
      rank: number;
      clue: { number: number; words: string } | null;
    };

/** What is looked for; each limit narrows what the words find. */
export interface Wanted {
  words: string;
  /** One part of the library; absent for all of it. */
  part: LibraryPart | null;
  /** The longest time that a drill may take, in milliseconds; 0 for any. */
  withinMs: number;
  eyesOn: boolean;
  /** Leaves out drills that are off for everyone until a clinician clears them. */
  forAll: boolean;
  /** Leaves out drills that the house rules turn off for this precaution; no effect when empty. */
  condition: string;
}

export type LibraryPart = "posture" | "breath" | "voice" | "swallow" | "neck" | "lipsFace" | "rounds";

export const NOTHING_WANTED: Wanted = {
  words: "",
  part: null,
  withinMs: 0,
  eyesOn: false,
  forAll: false,
  condition: "",
};

/** The parts of the library by families of drills. */
export const LIBRARY_PART: Record<Family, LibraryPart> = {
  posture: "posture",
  breath: "breath",
  cough: "breath",
  trainer: "breath",
  voice: "voice",
  words: "voice",
  "effortful-swallow": "swallow",
  "tongue-hold": "swallow",
  "hold-at-top": "swallow",
  "head-lift": "swallow",
  "chin-tuck": "swallow",
  "jaw-opening": "swallow",
  neck: "neck",
  "lips-face": "lipsFace",
};

/** Other words of the trade for what the library calls by plain ones (common practice, no source). */
const ALIASES: Record<string, readonly string[]> = {
  phonation: ["ah", "voice"],
  vowel: ["ah", "ee", "oo"],
  pitch: ["slide", "high", "low"],
  glide: ["slide"],
  loudness: ["strong", "loud"],
  respiration: ["breath"],
  diaphragm: ["belly"],
  abdominal: ["belly"],
  rotation: ["turn"],
  flexion: ["nod", "chin"],
  lateral: ["ear", "tilt"],
  labial: ["lips", "pucker"],
  lingual: ["tongue"],
  facial: ["face", "smile"],
  mandible: ["jaw"],
  larynx: ["throat"],
  dysphagia: ["swallow"],
  stretch: ["neck", "shoulder"],
  game: ["word"],
  quiz: ["word"],
};

/** Where a word was found: the smaller, the nearer. Infinity where it was not. */
const enum Rank {
  NameBegins = 0,
  WordBegins = 1,
  InName = 2,
  Alias = 3,
  Family = 4,
  Purpose = 5,
  Clue = 6,
}

const plain = (text: string): string => text.toLocaleLowerCase("en");

function rankOf(word: string, name: string, family: string, purpose: string): number {
  const [in_, of] = [plain(name), plain(family)];
  if (in_.startsWith(word)) return Rank.NameBegins;
  if (in_.split(/[^\p{L}\p{N}]+/u).some((part) => part.startsWith(word))) return Rank.WordBegins;
  if (in_.includes(word)) return Rank.InName;
  const others = Object.entries(ALIASES).flatMap(([alias, names]) =>
    alias.startsWith(word) && word.length > 2 ? names : [],
  );
  const words = in_.split(/[^\p{L}\p{N}]+/u);
  if (others.some((other) => words.includes(other))) return Rank.Alias;
  if (of.includes(word)) return Rank.Family;
  return plain(purpose).includes(word) ? Rank.Purpose : Infinity;
}

/** What fits, the nearest first; within one rank by name. */
export function found(
  drills: readonly DrillCard[],
  rounds: readonly ClueCard[],
  wanted: Wanted,
  familyNames: Record<Family, string>,
  roundsName: string,
): Hit[] {
  const words = plain(wanted.words).split(/\s+/).filter(Boolean);
  const worst = (ranks: number[]): number => Math.max(0, ...ranks);
  const ofDrills = drills.flatMap((card): Hit[] => {
    const { drill } = card;
    const part = LIBRARY_PART[drill.family];
    const fits =
      (wanted.part === null || wanted.part === part) &&
      (!wanted.withinMs || card.clock_ms <= wanted.withinMs) &&
      (!wanted.eyesOn || !drill.eyes_away) &&
      (!wanted.forAll || !card.off_for_all) &&
      !card.off_for.some((condition) => condition === wanted.condition);
    const rank = worst(
      words.map((word) => rankOf(word, drill.name, familyNames[drill.family], drill.purpose)),
    );
    return fits && rank < Infinity ? [{ is: "drill", card, name: drill.name, rank }] : [];
  });
  // A round has no clock and asks nothing of anybody's body, so only the part narrows it.
  const ofRounds = rounds.flatMap((set): Hit[] => {
    if (wanted.part !== null && wanted.part !== "rounds") return [];
    const rank = worst(words.map((word) => rankOf(word, set.theme, roundsName, "")));
    if (rank < Infinity) return [{ is: "round", set, name: set.theme, rank, clue: null }];
    const at = set.words.findIndex(({ clue, answer }) =>
      words.every((word) => plain(`${clue} ${answer}`).includes(word)),
    );
    if (at < 0) return [];
    const clue = { number: at + 1, words: set.words[at]!.clue };
    return [{ is: "round", set, name: set.theme, rank: Rank.Clue, clue }];
  });
  return [...ofDrills, ...ofRounds].sort((a, b) => a.rank - b.rank || a.name.localeCompare(b.name));
}

/** A name cut where what was looked for begins and ends, for marking it. */
export function marked(name: string, words: string): { text: string; hit: boolean }[] {
  const word = plain(words)
    .split(/\s+/)
    .find((one) => one !== "" && plain(name).includes(one));
  if (!word) return [{ text: name, hit: false }];
  const at = plain(name).indexOf(word);
  return [
    { text: name.slice(0, at), hit: false },
    { text: name.slice(at, at + word.length), hit: true },
    { text: name.slice(at + word.length), hit: false },
  ].filter((part) => part.text !== "");
}
