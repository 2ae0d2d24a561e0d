"""Measures the reading level of everything that participants read in the library with textstat, an outside library.

The Flesch-Kincaid grade is that of Kincaid et al. 1975. The formula is unreliable under 100 words, so each drill and
clue set is judged by all its texts together; a text of six words or more is also judged alone, with two grades to
spare. Spanish is judged by the scale of Fernández Huerta 1959, on which 80 and more is easy, about grade 6 (from
memory), and each file by all its texts together.
A cue is one sentence or a few short ones, and none may have a second finite clause.

Prints {"judged": N, "offenders": [{"file", "what", "grade"}]}.
"""

import json
import re
import sys
import tomllib
from pathlib import Path

import textstat

EASY = 80.0
GRADE = 6.0
ALONE = GRADE + 2
CUE_WORDS = 8
JOINING = re.compile(r"\b(because|although|while|until|unless|whenever|whose|if)\b", re.IGNORECASE)


def sentence(text):
    return text if text.endswith((".", "!", "?", '."', '?"')) else text + "."


def phase_texts(phases):
    for phase in phases:
        yield "cue", phase["cue"]
        if "firm_cue" in phase:
            yield "cue", phase["firm_cue"]


def drill_texts(drill):
    yield "purpose", drill["purpose"]
    for key in ("easier", "seated", "harder"):
        form = drill.get(key)
        if isinstance(form, str):
            yield key, form
        elif form:
            yield key, form["what"]
            yield from phase_texts(form.get("phase", []))
    for text in drill.get("cautions", []):
        yield "caution", text
    for side in drill.get("side", []):
        yield "side", side["name"]
    yield from phase_texts(drill["phase"])
    if "between" in drill:
        yield "cue", drill["between"]["cue"]


def clue_texts(clues):
    for clue in clues["clue"]:
        if clues.get("game") != "odd-one-out":  # a list of words is not a sentence
            yield "clue", clue["text"]
        for key in ("more", "because"):
            if key in clue:
                yield key, clue[key]


def judge_spanish(path, texts):
    textstat.set_lang("es")
    whole = textstat.fernandez_huerta(" ".join(sentence(text) for _, text in texts))
    textstat.set_lang("en_US")
    return [] if whole >= EASY else [{"file": path.name, "what": "all of it, ease", "grade": round(whole, 1)}]


def judge(path, texts):
    offenders = []
    for what, text in texts:
        words = textstat.lexicon_count(text)
        grade = textstat.flesch_kincaid_grade(sentence(text))
        if words >= 6 and grade > ALONE:
            offenders.append({"file": path.name, "what": f"{what}: {text}", "grade": round(grade, 1)})
        if what == "cue":
            if any(len(part.split()) > CUE_WORDS for part in re.split(r"[.!?]", text)) or (
                JOINING.search(text) and "if your plan allows" not in text
            ):
                offenders.append({"file": path.name, "what": f"cue of more than one clause: {text}"})
    whole = textstat.flesch_kincaid_grade(" ".join(sentence(text) for _, text in texts))
    if whole > GRADE:
        offenders.append({"file": path.name, "what": "all of it", "grade": round(whole, 1)})
    return offenders


def main(server):
    judged, offenders = 0, []
    for folder, texts in (("drills", drill_texts), ("clues", clue_texts)):
        for path in sorted((server / folder).glob("*.toml")):
            with path.open("rb") as file:
                found = list(texts(tomllib.load(file)))
            judged += 1
            offenders += judge_spanish(path, found) if path.stem.endswith(".es") else judge(path, found)
    json.dump({"judged": judged, "offenders": offenders}, sys.stdout, ensure_ascii=False)


main(Path(sys.argv[1]))
