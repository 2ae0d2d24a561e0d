"""Prints a table of the drills for a clinician to read: the rule for stopping and whether a voice has time to say it while
people get ready, who needs clearance, the seconds of each form, how closely the longest cue fits, and where the dose comes
from. `python3 tests/reference/content.py server` from the top folder; it needs espeak-ng.
"""

import math
import sys
import tomllib
from pathlib import Path

from speech import cues, says_ms

SWALLOW = {"effortful-swallow", "tongue-hold", "hold-at-top"}


def ready_s(drill):
    """As long as what stands there takes to read at 140 words a minute, and at least 5 s."""
    shown = [drill.get("cautions", [""])[0], drill["phase"][0]["cue"]]
    words = 2 + sum(len(text.split()) for text in shown)
    words += 6 * (drill["family"] in SWALLOW) + 9 * drill.get("eyes_away", False)
    return max(5, math.ceil(words * 60 / 140))


def clock(phases):
    lengths = (phase["seconds"] for phase in phases)
    return " ".join(f"{n['floor']}/{n['target']}/{n['limit']}" if isinstance(n, dict) else str(n) for n in lengths)


def forms(drill):
    yield f"usual {clock(drill['phase'])}"
    for name in ("easier", "seated", "harder"):
        form = drill.get(name)
        if isinstance(form, dict) and "phase" in form:
            yield f"{name} {clock(form['phase'])}"


def main(server):
    print("| drill | rule for stopping | said in | clearance first | seconds of a repetition | tightest cue | dose from |")
    print("| --- | --- | --- | --- | --- | --- | --- |")
    for path in sorted((server / "drills").glob("*.toml")):
        drill = tomllib.loads(path.read_text())
        rule = drill.get("cautions", ["-"])[0]
        said = f"{says_ms('en', rule) / 1000:.1f} of {ready_s(drill)} s"
        own = [(says_ms("en", cue) / ms, cue) for name, _, cue, ms in cues(server) if name == path.stem]
        tight, cue = max(own)
        sources = "; ".join(f"{one['what']} ({one.get('at', one['trust'])})" for one in drill["source"])
        clearance = "; ".join(drill.get("clearance", [])) or "-"
        row = [path.stem, rule, said, clearance, "; ".join(forms(drill)), f"{tight:.0%} {cue}", sources]
        print("| " + " | ".join(row) + " |")


main(Path(sys.argv[1]))
