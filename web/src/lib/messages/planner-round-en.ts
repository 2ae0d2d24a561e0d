// The texts of the page on which a round of the word game is written, in English.

import type { Flaw, Game, Verdict } from "../wire/types";

const games: Record<Game, string> = {
  clue: "Find the word",
  saying: "Finish the saying",
  odd_one_out: "Which one does not fit",
  goes_together: "What goes with it",
  category: "Words of a kind",
  origin: "Where a word comes from",
};

const about: Record<Game, string> = {
  clue: "A clue describes a word without saying it. People answer aloud, or write.",
  saying: "A clue is the beginning of a saying; its answer is the rest.",
  odd_one_out:
    "A clue names some things with commas between them. Whatever people find is right if they can say why, so each of the words is taken.",
  goes_together: "A clue names a thing; its answer is what goes with it.",
  category: "A clue names a kind, and people say as many words of it as come to mind.",
  origin: "A clue says where a word comes from. Give the source of each fact to whoever reads along.",
};

const heard: Record<Verdict, string> = {
  right: "Taken as right",
  other: "Not taken",
  unlisted: "On no list: the group decides",
};

export const roundEn = {
  title: "A round of the word game",
  theme: "Theme, shown to everyone",
  game: "What people do",
  games,
  about,
  language: "Language",
  languages: { en: "English", es: "Spanish" },
  timed: "A countdown for each clue",
  seconds: "Seconds",
  clues: "Clues",
  clue: (n: number) => `Clue ${n}`,
  words: "Clue, as everyone reads it",
  kind: "Kind, as everyone reads it",
  answer: "Answer",
  examples: "Some examples, shown at the end",
  accept: "Also right, with commas between",
  ofKind: "More words of the kind, with commas between",
  more: "A second clue from another side: the first hint",
  starts: "First part of the answer, for a hint",
  other: "A wrong word, for the last hint: one or the other",
  because: "Why, shown with the answer",
  ownHints: "Its own hints instead of the usual ones, one per line",
  source: "Where the fact comes from",
  level: "How common the answer is",
  levels: ["not given", "everyday", "less common", "rare"],
  hints: "Hints, in the order in which they come:",
  tryIt: "Try an answer",
  heard,
  add: "Add a clue",
  takeOut: (n: number) => `Take out clue ${n}`,
  unfinished: (n: number) =>
    n === 1
      ? "Not in the library: one thing has to be put right."
      : `Not in the library: ${n} things have to be put right.`,
  finished:
    "In the library. Plans that have it take your changes; classes already made keep the clues they have.",
  places:
    "A plan that has only some of these clues knows them by their numbers. If you take one out, look at that plan again.",
  remove: "Remove the round",
  keep: "Keep the round",
  removeSure: "Yes, remove it",
  flaw: (flaw: Flaw): string => {
    switch (flaw.kind) {
      case "no_clues":
        return "A round needs at least one clue.";
      case "no_clue":
        return "The clue has no words yet.";
      case "no_answer":
        return "The clue has no answer yet.";
      case "not_the_beginning":
        return "The first part must be how the answer begins: two letters or more, and not all of it.";
      case "choice_is_right":
        return "The wrong word is one of the right answers.";
      case "same_answer":
        return `Clue ${flaw.as_clue} has the same answer.`;
      case "no_hints":
        return "There are no usual hints in this language: write hints for this clue.";
    }
  },
};
