"""Our codewords and our waveform against the naive writer and a naive reader.

Codewords: 100,000 random ones, bit for bit (SMPTE ST 12-1:2014 tables 1 to 5, clause 9.2.3; the
same in IEC 60461:2010), through the example program `codewords` of plumbline-ltc.

Waveform: what the example program `modulate` of plumbline-ltc writes is cut at the places where
the standard says the bits are, and measured against IEC 60461:2010 clause 8.6.

    python3 ltc_codewords.py
"""

from __future__ import annotations

import subprocess
from pathlib import Path

import numpy as np

from ltc_checks import ROOT, Tally
from ltc_writer import (
    RATES,
    address_of,
    amplitude,
    codeword,
    count_on,
    frames_in_day,
    packed,
    slice_words,
)

COUNTINGS = (("24", 24, False), ("25", 25, False), ("30", 30, False), ("30drop", 30, True))
CODEWORDS = 100_000


def example(name: str, *arguments: str, given: bytes = b"") -> bytes:
    command = ["cargo", "run", "--release", "-q", "-p", "plumbline-ltc", "--example", name, "--"]
    return subprocess.run(
        [*command, *arguments], cwd=ROOT, input=given, stdout=subprocess.PIPE, check=True
    ).stdout


# ---------------------------------------------------------------------------------------------
# Codewords


def codewords(tally: Tally) -> None:
    rng = np.random.default_rng(2)
    lines, right = [], []
    for _ in range(CODEWORDS):
        name, base, drop = COUNTINGS[rng.integers(0, len(COUNTINGS))]
        at = address_of(int(rng.integers(0, frames_in_day(base, drop))), base, drop)
        user_bits = int(rng.integers(0, 2**32))
        bgf = tuple(int(bit) for bit in rng.integers(0, 2, 3))
        # At 24 frames a second there is no colour-frame flag: bit 11 stays 0 (table 5).
        colour = bool(rng.integers(0, 2))
        corrected = bool(rng.integers(0, 2))
        lines.append(
            f"{name} {at.hours} {at.minutes} {at.seconds} {at.frames} {user_bits:08X} "
            f"{''.join(map(str, bgf))} {int(colour)} {int(corrected)}"
        )
        right.append(packed(codeword(at, user_bits, bgf, colour, corrected)).hex().upper())
    said = example("codewords", given="\n".join(lines).encode()).decode().split()
    wrong = [
        f"{line}: {got}, and {want} is right"
        for line, got, want in zip(lines, said, right)
        if got != want
    ]
    if len(said) != len(lines):
        wrong.append(f"{len(said)} codewords for {len(lines)} lines")
    tally.case(f"{CODEWORDS} codewords", wrong)


# ---------------------------------------------------------------------------------------------
# Waveform


def waveform(tally: Tally, rate: str, drop: bool, sample_rate: int, dbfs: float, inverted: bool):
    name = f"waveform {rate}{'drop' if drop else ''} {sample_rate} {dbfs} dBFS"
    rng = np.random.default_rng(sample_rate + int(dbfs))
    exact, base = RATES[rate]
    per_word = float(sample_rate / exact)
    count = 200
    first = address_of(int(rng.integers(0, frames_in_day(base, drop) - count)), base, drop)
    user_bits = int(rng.integers(0, 2**32))
    raw = example(
        "modulate", rate, f"{base}{'drop' if drop else ''}", str(sample_rate), str(dbfs), str(first),
        f"{user_bits:08X}", str(count), "inverted" if inverted else "upright",
    )
    samples = np.frombuffer(raw, "<f4").astype(float)
    said = []
    if abs(len(samples) - count * per_word) > 0.1 * per_word:
        said.append(f"{len(samples)} samples, and {count * per_word:.1f} is right")
    sent = [tuple(codeword(at, user_bits)) for at in count_on(first, count)]
    # The first edge may stand at the very first sample: the first and last words are left out.
    inner = slice_words(samples, per_word, per_word, count - 2)
    wrong = [n for n, (got, want) in enumerate(zip(inner, sent[1:-1])) if got != want]
    if wrong:
        said.append(f"{len(wrong)} codewords differ, the first is number {wrong[0] + 1}")
    else:
        said += shape(samples, sent, per_word, sample_rate, dbfs)
    tally.case(name, said)


def shape(samples, sent, per_word, sample_rate, dbfs) -> list[str]:
    """IEC 60461 clause 8.6: where the edges are, how steep, how far over; and the peak."""
    said = []
    level = amplitude(dbfs)
    peak = np.abs(samples).max()
    # 5 % of overshoot is 0.4 dB. Far below, a converter's low-pass adds its own.
    if sample_rate >= 44100 and abs(20 * np.log10(peak / level)) > 0.45:
        said.append(f"peak {20 * np.log10(peak):.2f} dBFS, and {dbfs} is right")
    cell = per_word / 80
    places, nominal = [], []
    for number in range(1, len(sent) - 1):
        for bit in range(80):
            at = number * per_word + bit * cell
            nominal.append(at)
            if sent[number][bit]:
                nominal.append(at + cell / 2)
    nominal = np.array(nominal)
    high = samples >= 0
    crossings = np.flatnonzero(high[1:] != high[:-1])
    before, after = samples[crossings], samples[crossings + 1]
    crossings = crossings + before / (before - after)
    crossings = crossings[(crossings > nominal[0] - cell / 4) & (crossings < nominal[-1] + cell / 4)]
    if len(crossings) != len(nominal):
        return [*said, f"{len(crossings)} edges, and {len(nominal)} is right"]
    apart = crossings - nominal
    # Bit boundaries within 1.0 %, middles within 0.5 % of a bit: held for all edges, at the sample
    # rates at which a straight line between two samples tells the place so well.
    if sample_rate >= 44100 and np.abs(apart).max() > 0.005 * cell:
        said.append(f"an edge is {np.abs(apart).max() / cell:.2%} of a bit off its place")
    if abs(apart.mean()) > 0.02:
        said.append(f"edges are {apart.mean():+.3f} samples off on average")
    if sample_rate >= 96000:
        said += rise(samples, crossings, level, sample_rate)
    return said


def rise(samples, crossings, level, sample_rate) -> list[str]:
    """10 to 90 % of the edges, folded over each other: 40 ± 10 microseconds."""
    x, y = [], []
    for at in crossings[5:-5:3]:
        first = int(at) - 12
        piece = samples[first : first + 25]
        sign = np.sign(piece[-8] - piece[4])
        x.append(np.arange(first, first + 25) - at)
        y.append(sign * piece / level)
    x, y = np.concatenate(x), np.concatenate(y)
    near = np.abs(x) < 8
    order = np.argsort(x[near])
    x, y = x[near][order], y[near][order]
    begin, end = np.interp([-0.8, 0.8], y[np.abs(x) < 5], x[np.abs(x) < 5])
    took = (end - begin) / sample_rate * 1e6
    return [] if 30 <= took <= 50 else [f"edges rise in {took:.1f} us, and 30 to 50 is right"]


def main() -> None:
    tally = Tally()
    codewords(tally)
    for number, (rate, drop) in enumerate([(r, False) for r in RATES] + [("29.97", True), ("30", True)]):
        for sample_rate in (8000, 44100, 48000, 96000, 192000):
            waveform(tally, rate, drop, sample_rate, (-1.0, -18.0, -40.0)[number % 3], number % 2 == 1)
    tally.finish()


if __name__ == "__main__":
    main()
