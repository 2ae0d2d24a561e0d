"""Measures rendered sounds with scipy: the notes of each, how long they last, how high and how loud.

Reads a JSON list of {"name", "file"} from the first argument; the files hold 32-bit floats at 48 kHz.
Prints, for each, the notes as [start in s, length in s, fundamental in Hz, peak], the share of energy
above the fundamental, the dominant frequency at the beginning and the end of the whole, and the level.
"""

import json
import sys

import numpy as np
from scipy import signal

RATE = 48_000


def notes_of(samples):
    """Where something sounds: the smoothed envelope above a twentieth of its peak."""
    envelope = np.abs(signal.hilbert(samples))
    envelope = signal.convolve(envelope, np.ones(480) / 480, mode="same")
    loud = envelope > envelope.max() / 20
    edges = np.flatnonzero(np.diff(np.concatenate([[False], loud, [False]])))
    return [(a, b) for a, b in zip(edges[::2], edges[1::2]) if b - a > 0.02 * RATE]


def spectrum(piece):
    frequencies, power = signal.periodogram(piece, RATE, window="hann", nfft=1 << 17)
    return frequencies, power


def dominant(piece):
    frequencies, power = spectrum(piece)
    return float(frequencies[np.argmax(power)])


def loudest(samples):
    """The effective value (root mean square) of the loudest 0.2 s."""
    width = RATE // 5
    power = signal.convolve(samples**2, np.ones(width) / width, mode="valid")
    return float(np.sqrt(power.max()))


def judge(path):
    samples = np.fromfile(path, dtype=np.float32).astype(float)
    found = notes_of(samples)
    notes = []
    for start, end in found:
        piece = samples[start:end]
        middle = piece[len(piece) // 4 : -len(piece) // 4]
        notes.append([start / RATE, (end - start) / RATE, dominant(middle), float(np.abs(piece).max())])
    whole = samples[found[0][0] : found[-1][1]]
    frequencies, power = spectrum(whole)
    base = dominant(whole)
    above = float(power[frequencies > base * 1.5].sum() / power.sum())
    fifth = len(whole) // 5
    return {
        "notes": notes,
        "length": len(whole) / RATE,
        "above": above,
        "first": dominant(whole[:fifth]),
        "last": dominant(whole[-fifth:]),
        "level": loudest(samples),
    }


print(json.dumps({one["name"]: judge(one["file"]) for one in json.loads(sys.argv[1])}))
