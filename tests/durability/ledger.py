"""Counts how many of the commands named on standard input a ledger lacks, and how many of its lines are there twice."""

import json
import sqlite3
import sys


def lines(database):
    """The cause and the kind of event of each ledger line that a command caused."""
    connection = sqlite3.connect(database)
    found = []
    for (body,) in connection.execute("select body from event order by session, seq"):
        line = json.loads(body)
        if line["cause"]:
            found.append((line["cause"], line["event"]["event"]))
    connection.close()
    return found


def compare(found, ids):
    """How many commands are missing, and how many lines are there twice."""
    known = {cause for cause, _ in found}
    return len(ids - known), len(found) - len(set(found))


if __name__ == "__main__":
    print(*compare(lines(sys.argv[1]), set(sys.stdin.read().split())))
