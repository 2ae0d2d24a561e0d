"""Measures how long each cue of the drills and their forms takes to say, with a speech synthesiser that is no part of the
program: espeak-ng, at 140 words a minute for English and for Spanish (the pace at which older listeners follow, from
memory), without the silence that it adds at the end.

Prints [{"drill", "form", "language", "cue", "has_ms", "says_ms"}].
"""

import json
import subprocess
import sys
import tempfile
import tomllib
import wave
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

WORDS_A_MINUTE = 140
VOICES = {"en": "en-gb", "es": "es"}
QUIET = 300  # of 32,767


def says_ms(language, words):
    with tempfile.NamedTemporaryFile(suffix=".wav") as file:
        voice = ["espeak-ng", "-v", VOICES[language], "-s", str(WORDS_A_MINUTE), "-w", file.name, words]
        subprocess.run(voice, check=True, capture_output=True)
        with wave.open(file.name) as sound:
            rate, samples = sound.getframerate(), memoryview(sound.readframes(sound.getnframes())).cast("h")
    last = next((at for at in range(len(samples) - 1, -1, -1) if abs(samples[at]) > QUIET), 0)
    return round(last * 1000 / rate)


def phases(drill):
    yield from (("usual", phase) for phase in drill["phase"])
    for form in ("easier", "seated", "harder"):
        own = drill.get(form, {})  # a form may be a sentence alone
        yield from ((form, phase) for phase in (own.get("phase", []) if isinstance(own, dict) else []))


def cues(server):
    for path in sorted((server / "drills").glob("*.toml")):
        for form, phase in phases(tomllib.loads(path.read_text())):
            length = phase["seconds"]
            seconds = length["limit"] if isinstance(length, dict) else length
            yield path.stem, form, phase["cue"], (seconds - phase.get("firm_last", 0)) * 1000
            if "firm_cue" in phase:
                yield path.stem, form, phase["firm_cue"], phase["firm_last"] * 1000


def main(server):
    spanish = tomllib.loads((server / "languages" / "es.toml").read_text())
    found = [
        {"drill": drill, "form": form, "language": language, "cue": words, "has_ms": round(has_ms)}
        for drill, form, cue, has_ms in cues(server)
        for language, words in (("en", cue), ("es", spanish.get(cue, cue)))
    ]
    texts = sorted({(one["language"], one["cue"]) for one in found})
    with ThreadPoolExecutor(2) as pool:
        lengths = dict(zip(texts, pool.map(lambda text: says_ms(*text), texts)))
    json.dump([one | {"says_ms": lengths[one["language"], one["cue"]]} for one in found], sys.stdout, ensure_ascii=False)


if __name__ == "__main__":
    main(Path(sys.argv[1]))
