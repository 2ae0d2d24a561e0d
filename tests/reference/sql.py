"""Reads the store's SQL with PostgreSQL's own parser (libpg_query, through pglast). PostgreSQL must also accept every
query that runs while people are served. Statements that only SQLite needs for its file (`pragma`, `begin immediate`)
are exempt by name."""

import json
import re
import sys
from pathlib import Path

from pglast import parse_sql
from pglast.parser import ParseError

OF_SQLITE = ("pragma", "begin immediate")
TEXT = re.compile(r'"((?:[^"\\]|\\.)*)"', re.S)
STATEMENT = re.compile(r"\s*(select|insert|update|delete|with|pragma|begin)\b", re.I)

judged, offenders = 0, []
for file in sorted((Path(sys.argv[1]) / "store/src/sqlite").glob("*.rs")):
    code = re.sub(r"//[^\n]*", "", file.read_text())
    for found in TEXT.finditer(code):
        # In Rust, a backslash at the end of a line removes the line break and the next line's indentation.
        sql = re.sub(r"\\\n\s*", "", found.group(1))
        if not STATEMENT.match(sql) or sql.startswith(OF_SQLITE):
            continue
        judged += 1
        try:
            parse_sql(sql)
        except ParseError as error:
            offenders.append(f"{file.name}: {sql}: {error}")
print(json.dumps({"judged": judged, "offenders": offenders}))
