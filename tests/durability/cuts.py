"""Works out power cuts. From what a server wrote and flushed, it makes the files that a disk may hold after a cut at
some instant, and checks how many of the commands acknowledged before the cut SQLite then finds.

A flush keeps all earlier writes to its file. Of the later writes any part may be on the disk, torn at sectors of 512
bytes. Directory entries are assumed to be there.
"""

import json
import random
import sqlite3
import struct
import sys
import tempfile
from pathlib import Path

from ledger import compare, lines

HEAD = struct.Struct("<cBIQQ")
SECTOR = 512
NAMES = {1: "samebreath.db", 2: "samebreath.db-wal"}


def read(path):
    data = Path(path).read_bytes()
    found, at = [], 0
    while at < len(data):
        kind, file, length, offset, at_ns = HEAD.unpack_from(data, at)
        at += HEAD.size
        found.append((kind, file, offset, data[at : at + length], at_ns))
        at += length
    return found


def put(content, kind, offset, data):
    if kind == b"t":
        del content[offset:]
        content.extend(bytes(offset - len(content)))
        return
    content.extend(bytes(max(0, offset + len(data) - len(content))))
    content[offset : offset + len(data)] = data


def torn(content, pending, share):
    """`content` after part of what was not flushed has reached the disk."""
    content = bytearray(content)
    for kind, offset, data in pending:
        if kind == b"t":
            if random.random() < share:
                put(content, kind, offset, data)
            continue
        at = 0
        while at < len(data):
            end = min(len(data), at + SECTOR - (offset + at) % SECTOR)
            if random.random() < share:
                put(content, kind, offset + at, data[at:end])
            at = end
    return content


def cut(durable, pending, ids):
    """How many commands are missing, how many lines are there twice, and whether the database is damaged."""
    share = random.choice([0, 0.25, 0.5, 0.75, 1])
    with tempfile.TemporaryDirectory(dir="/dev/shm") as folder:
        for file, name in NAMES.items():
            (Path(folder) / name).write_bytes(torn(durable[file], pending[file], share))
        database = Path(folder) / NAMES[1]
        try:
            connection = sqlite3.connect(database)
            sound = connection.execute("pragma quick_check").fetchone()[0] == "ok"
            connection.close()
            return *compare(lines(database), ids), not sound
        except sqlite3.DatabaseError:
            # Before the first flush there may be no table yet.
            return len(ids), 0, bool(ids)


def run(found, acknowledged, cuts, keeps_flush=lambda file: True):
    """How many of the cuts lose something, and the sums of what `cut` finds. A cut comes before each of these places."""
    durable = {1: bytearray(), 2: bytearray()}
    pending = {1: [], 2: []}
    order = sorted(acknowledged, key=acknowledged.get)
    known, ids, losing, sums = 0, set(), 0, [0, 0, 0]
    for place, (kind, file, offset, data, _) in enumerate(found):
        if cuts.get(place):
            while known < len(order) and acknowledged[order[known]] <= found[place - 1][4]:
                ids.add(order[known])
                known += 1
            for _ in range(cuts[place]):
                result = cut(durable, pending, ids)
                sums = [a + b for a, b in zip(sums, result)]
                losing += result[0] > 0
        if kind != b"s":
            pending[file].append((kind, offset, data))
        elif keeps_flush(file):
            for one in pending[file]:
                put(durable[file], *one)
            pending[file].clear()
    return losing, *sums


def chosen(places, many):
    cuts = {}
    for _ in range(many):
        place = random.choice(places)
        cuts[place] = cuts.get(place, 0) + 1
    return cuts


if __name__ == "__main__":
    found, acknowledged, many = read(sys.argv[1]), json.loads(Path(sys.argv[2]).read_text()), int(sys.argv[3])
    flushes = {file: sum(kind == b"s" and f == file for kind, f, *_ in found) for file in NAMES}
    print(f"{len(acknowledged)} acknowledged, {flushes[2]} flushes of the log and {flushes[1]} of the database.")
    anywhere = range(1, len(found))
    checkpoints = [place for place, (kind, file, *_) in enumerate(found) if file == 1]
    beside = [place + by for place in checkpoints for by in (0, 1, 2) if 0 < place + by < len(found)]
    failed = False
    for words, places in (("anywhere", anywhere), ("in or beside a checkpoint", beside)):
        _, missing, twice, damaged = run(found, acknowledged, chosen(places, many))
        print(f"{many} cuts {words}: {missing} missing, {twice} twice, {damaged} damaged.")
        failed |= missing + twice + damaged > 0
    few = max(1, many // 10)
    losing, *_ = run(found, acknowledged, chosen(range(len(found) // 4, len(found)), few), lambda file: file == 1)
    print(f"The same without the log's flushes, to see that cuts can lose commands: {losing} of {few} do.")
    sys.exit(failed or losing == 0)
