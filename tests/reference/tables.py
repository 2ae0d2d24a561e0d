"""Reads the files of a group's classes with Python's own csv module, strictly, and prints what they hold as JSON (W-28). The
same as one file for another program keeps to its schema, and has the same in it (W-29).

tables.py FOLDER    reads every .csv file in FOLDER, records.json and records.schema.json
"""

import copy
import csv
import json
import re
import sys
from datetime import datetime
from pathlib import Path

import jsonschema

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

folder = Path(sys.argv[1])
records, schema = (json.loads((folder / name).read_text("utf-8")) for name in ["records.json", "records.schema.json"])
jsonschema.Draft202012Validator.check_schema(schema)
checker = jsonschema.Draft202012Validator(schema, format_checker=jsonschema.Draft202012Validator.FORMAT_CHECKER)
checker.validate(records)


def text(value):
    """A value as the CSV file has it: an apostrophe stands before what looks like a formula, or like such an apostrophe."""
    written = "" if value is None else str(value)
    marked = isinstance(value, str) and (FORMULA.match(written) or written.startswith("'"))
    return f"'{written}" if marked else written


for name, rows in found.items():
    assert [{key: text(value) for key, value in row.items()} for row in records[name]] == rows, name
    other = copy.deepcopy(records)
    other[name][0]["unknown"] = 1
    assert not checker.is_valid(other), name
assert sorted([*found, "format"]) == sorted(records)
print(json.dumps(found))
