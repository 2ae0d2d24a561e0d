"""The statistics of a person's page, by scipy, of 1,000 made-up series (W-33).

Each line has the median, the two values that hold it with at least 95 % confidence (by the binomial distribution of scipy), the
slope per day of Theil and Sen and its 95 % limits (scipy.stats.theilslopes); `-` where there is none. The core makes the same
series from the same numbers (server/core/tests/progress.rs) and compares.

figures.py         writes the lines
figures.py FILE    says whether FILE has them
"""

import sys

import numpy as np
from scipy import stats

MASK = (1 << 64) - 1


class Numbers:
    """The linear congruential generator of Knuth's MMIX (from memory); only its high half is used."""

    def __init__(self):
        self.state = 20261128

    def below(self, n):
        self.state = (self.state * 6364136223846793005 + 1442695040888963407) & MASK
        return (self.state >> 33) % n


def series(numbers):
    """Days with gaps, now and then two of one day, and values with many ties or few."""
    days, values, day, few = [], [], 0, numbers.below(2) == 0
    for _ in range(1 + numbers.below(16)):
        day += numbers.below(22)
        days.append(day)
        values.append(float(numbers.below(11)) if few else numbers.below(1000) / 8)
    return days, values


def line(days, values):
    n, ordered = len(values), sorted(values)
    found = [float(np.median(values))]
    if n < 6:
        found += [None, None]
    else:
        ranks = [k for k in range(1, n // 2 + 1) if 1 - 2 * stats.binom.cdf(k - 1, n, 0.5) >= 0.95]
        found += [ordered[ranks[-1] - 1], ordered[n - ranks[-1]]]
    if len(set(days)) < 2:
        found += [None] * 3
    else:
        slope, _, low, high = stats.theilslopes(values, days, alpha=0.95)
        found += [slope, low, high]
    return " ".join("-" if one is None else f"{one:.12g}" for one in found)


numbers = Numbers()
lines = [line(*series(numbers)) for _ in range(1000)]
if len(sys.argv) > 1:
    with open(sys.argv[1], encoding="utf-8") as file:
        kept = file.read().split("\n")[:-1]
    wrong = [at for at, (a, b) in enumerate(zip(kept, lines, strict=True)) if a != b]
    sys.exit(f"lines {wrong[:5]} differ" if wrong else 0)
print("\n".join(lines))
