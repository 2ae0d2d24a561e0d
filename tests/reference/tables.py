"""Reads the files of a group's classes with Python's own csv module, strictly, and prints what they hold as JSON (W-28).

tables.py FOLDER    reads every .csv file in FOLDER
"""

import csv
import json
import re
import sys
from datetime import datetime
from pathlib import Path

FORMULA = re.compile(r"^[=+\-@\t\r\n＝＋－＠]")
NUMBERS = {"minutes", "recorded_minutes", "expected", "came", "effort", "target_s", "planned_reps", "class_reps",
           "planned_held_s", "class_held_s", "strength_0_to_10"}
INSTANTS = {"started_at", "ended_at", "at"}

found = {}
for path in sorted(Path(sys.argv[1]).glob("*.csv")):
    raw = path.read_bytes()
    lines = raw.decode("utf-8")
    assert raw.count(b"\r\n") >= 1 and lines.endswith("\r\n"), path.name
    with open(path, encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file, strict=True))
    for row in rows:
        assert None not in row and None not in row.values(), f"{path.name}: {row}"
        for name, text in row.items():
            if name in NUMBERS:
                assert text == "" or int(text) >= 0, f"{path.name} {name}: {text}"
            elif name in INSTANTS and text:
                assert datetime.fromisoformat(text).utcoffset() is not None, text
            else:
                assert not FORMULA.match(text), f"{path.name} {name}: {text}"
    found[path.stem] = rows
print(json.dumps(found))
