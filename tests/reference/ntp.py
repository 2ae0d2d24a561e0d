"""Works out offset and delay from four stamps with ntplib, the reference library. Reads [t1, t2, t3, t4] lists in
milliseconds from standard input, and writes [offset, delay] lists in milliseconds."""

import json
import sys

import ntplib

answers = []
for t1, t2, t3, t4 in json.load(sys.stdin):
    stats = ntplib.NTPStats()
    stats.orig_timestamp, stats.recv_timestamp = t1 / 1000, t2 / 1000
    stats.tx_timestamp, stats.dest_timestamp = t3 / 1000, t4 / 1000
    answers.append([stats.offset * 1000, stats.delay * 1000])
print(json.dumps(answers))
