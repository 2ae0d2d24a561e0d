"""The SQL of the store, read by PostgreSQL's own parser (libpg_query, by pglast): every query that runs while people are
served must be one that PostgreSQL takes as well. What only SQLite has to do with its file (`pragma`, `begin immediate`)
is given to it by name."""

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
        # A backslash at the end of a line of Rust takes the line break and the indentation with it.
        sql = re.sub(r"\\\n\s*", "", found.group(1))
        if not STATEMENT.match(sql) or sql.startswith(OF_SQLITE):
            continue
        judged += 1
        try:
            parse_sql(sql)
        except ParseError as error:
            offenders.append(f"{file.name}: {sql}: {error}")
print(json.dumps({"judged": judged, "offenders": offenders}))
