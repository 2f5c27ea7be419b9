"""A second reader of linear timecode, deliberately naive.

It is written from IEC 60461:2010 clauses 8.2 and 8.3 (the same in SMPTE ST 12-1:2014 clauses 9.2
and 9.3) and shares nothing with the Rust crates: an edge is where the sound passes the middle, a
long gap between edges is a 0, two short ones are a 1, and 80 bits that end with the synchronizing
word are a codeword. It is for clean sound that runs forward and is told how long a cell is; what
it can't explain it says.

Run alone, it reads what the naive writer wrote: python3 ltc_reader.py
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

import ltc_writer as writer


@dataclass(frozen=True)
class Heard:
    """A codeword: its bits in the order in which they came, and the edge that begins it."""

    bits: tuple[int, ...]
    begins: float


@dataclass
class Run:
    """Code between two silences."""

    words: list[Heard] = field(default_factory=list)
    # Whether its first edge rises.
    upright: bool = True
    # The edge that ends it, or the end of the sound.
    ends: float = 0.0
    complaints: list[str] = field(default_factory=list)


def read(samples: np.ndarray, cell: float, level: float) -> list[Run]:
    """All code in the sound, which swings between `level` and its opposite. Places in samples."""
    loud = np.flatnonzero(np.abs(samples) > level / 2)
    # Longer than any edge takes, shorter than any silence.
    breaks = np.flatnonzero(np.diff(loud) > cell)
    begins = loud[np.concatenate([[0], breaks + 1])] if len(loud) else []
    ends = loud[np.concatenate([breaks, [-1]])] if len(loud) else []
    return [read_run(samples, first, last, cell, level) for first, last in zip(begins, ends)]


def read_run(samples: np.ndarray, first: int, last: int, cell: float, level: float) -> Run:
    run = Run(upright=bool(samples[first] > 0), ends=falls(samples, last, level / 2))
    inside = samples[first : last + 1]
    before = np.flatnonzero((inside[1:] >= 0) != (inside[:-1] >= 0))
    here, after = inside[before], inside[before + 1]
    crossings = first + before + here / (here - after)
    edges = np.concatenate([[rises(samples, first, level / 2)], crossings, [run.ends]])
    places, bits = cells(edges, cell, run.complaints)
    words(places, bits, run)
    return run


def rises(samples: np.ndarray, first: int, half: float) -> float:
    """Where the level passes a half between the sample before `first` and that one."""
    if first == 0:
        return 0.0
    before, at = abs(samples[first - 1]), abs(samples[first])
    return first - (at - half) / (at - before)


def falls(samples: np.ndarray, last: int, half: float) -> float:
    if last == len(samples) - 1:
        return float(len(samples))
    at, after = abs(samples[last]), abs(samples[last + 1])
    return last + (at - half) / (at - after)


def cells(edges: np.ndarray, cell: float, complaints: list[str]) -> tuple[list[float], list[int]]:
    """IEC 60461 clause 8.3: an edge begins each cell, one more stands in the middle of a 1."""
    is_long = (np.diff(edges) > 0.75 * cell).tolist()
    places, bits = [], []
    at = 0
    while at < len(is_long):
        places.append(float(edges[at]))
        if is_long[at]:
            bits.append(0)
            at += 1
        elif at + 1 < len(is_long) and not is_long[at + 1]:
            bits.append(1)
            at += 2
        else:
            complaints.append(f"half a cell at sample {edges[at]:.1f}")
            bits.append(0)
            at += 1
    return places, bits


def words(places: list[float], bits: list[int], run: Run) -> None:
    """IEC 60461 clause 8.2.5: the last 16 bits of a codeword are the synchronizing word."""
    text, sync = bytes(bits), bytes(writer.SYNC)
    used = 0
    end = text.find(sync)
    while end >= 0:
        end += len(sync)
        if end - 80 != used:
            run.complaints.append(f"{end - 80 - used} bits between codewords at bit {used}")
        if end >= 80:
            run.words.append(Heard(tuple(bits[end - 80 : end]), places[end - 80]))
        used = end
        end = text.find(sync, end)
    if used != len(bits):
        run.complaints.append(f"{len(bits) - used} bits after the last codeword")


# ---------------------------------------------------------------------------------------------
# The reader against the writer


def self_check() -> None:
    rng = np.random.default_rng(3)
    for name, (rate, base) in writer.RATES.items():
        for sample_rate in (44100, 48000, 96000, 192000):
            per_word = float(sample_rate / rate)
            takes = []
            for begins in (0.0, 30.4 * per_word):
                user = [int(rng.integers(0, 2**32)) for _ in range(20)]
                sent = writer.words(writer.count_on(writer.address("00:59:59:20", base), 20), user)
                takes.append(writer.Take(sent, begins, per_word, 0.125))
            made = writer.record(takes, int(per_word * 52), sample_rate, inverted=True)
            runs = read(made.samples, per_word / 80, 0.125)
            assert len(runs) == 2, (name, sample_rate, len(runs))
            for run, take in zip(runs, takes):
                assert not run.complaints, (name, sample_rate, run.complaints)
                assert not run.upright
                assert [word.bits for word in run.words] == [word.bits for word in take.words]
                places = take.begins + per_word * np.arange(20)
                off = np.abs(np.array([word.begins for word in run.words]) - places)
                assert off.max() < 0.1, (name, sample_rate, off)
                assert abs(run.ends - take.begins - 20 * per_word) < 0.5
    # Bits that are spoiled come out spoiled; a synchronizing word that is, is told.
    for bits in ((5,), (70,), (79,)):
        spoiled = [writer.spoiled(word, *bits) if n == 3 else word for n, word in enumerate(sent)]
        made = writer.record([writer.Take(spoiled, 0.0, 8000.0, 0.125)], 161000, 192000)
        (run,) = read(made.samples, 100.0, 0.125)
        assert bool(run.complaints) == (bits[0] >= 64), (bits, run.complaints)
        assert [word.bits for word in run.words] != [word.bits for word in sent]
    print("ltc_reader: the reader reads what the writer wrote")


if __name__ == "__main__":
    self_check()
