"""How exactly an hour of code tells how two clocks part.

Each recording is an hour at 16 kHz in 16 bits with two codes on two channels. Each code runs at a
speed of its own beside the recorder's clock, a known number of parts per million. The report has
to give each speed within a tenth of that unit, and the two beside each other too; what it says it
is unsure by has to hold the truth within four standard deviations.

The speed of a code is the number of samples that a codeword takes, by definition; nothing else
here knows of parts per million.
"""

from __future__ import annotations

import json
import subprocess
import tempfile
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from ltc_checks import READ, ROOT, Tally, build_reader
from ltc_writer import RATES, Take, address_of, amplitude, count_on, record, wav_bytes
from ltc_writer import words as words_of

SAMPLE_RATE = 16_000
SECONDS = 3_600
# Sound is made in pieces: an hour of edges at once takes more memory than the rest of the tests.
PIECE = 150 * SAMPLE_RATE
WITHIN = 0.1
# Edges of some samples, so that they need no low-pass to be sampled: a long cable's.
RISE = 200e-6


@dataclass(frozen=True)
class Case:
    rate: str
    drop: bool
    # Of the codes on channel 1 and on channel 2.
    ppm: tuple[float, float]


CASES = [
    Case("25", False, (3.2, -41.75)),
    Case("29.97", True, (0.05, 7.9)),
]


def code(case: Case, ppm: float, random: np.random.Generator) -> np.ndarray:
    """An hour of code that is so much faster than its rate by the recorder's clock."""
    per_second, base = RATES[case.rate]
    per_word = float(SAMPLE_RATE / per_second) / (1 + ppm * 1e-6)
    first = int(random.integers(1_000_000))
    begins = -float(random.random()) * per_word
    bits = int(random.integers(1 << 32))
    pieces = []
    for at in range(0, SECONDS * SAMPLE_RATE, PIECE):
        # A codeword more at either end, so that no edge of the piece is missing.
        word = int((at - begins) / per_word) - 1
        count = int(PIECE / per_word) + 4
        addresses = count_on(address_of(first + word, base, case.drop), count)
        begin = begins + word * per_word - at
        take = Take(words_of(addresses, bits), begin, per_word, amplitude(-18), RISE)
        pieces.append(record([take], PIECE, SAMPLE_RATE, filtered=False).samples)
    return np.concatenate(pieces)


def complaints(case: Case, codes: list[dict]) -> tuple[list[str], list[str]]:
    said, figures = [], []
    if len(codes) != 2:
        return [f"{len(codes)} codes read"], figures
    codes = sorted(codes, key=lambda code: code["channel"])
    measured = [(code["clock_ppm"], code["clock_ppm_uncertainty"]) for code in codes]
    both = (measured[1][0] - measured[0][0], np.hypot(measured[0][1], measured[1][1]))
    wanted = [*case.ppm, case.ppm[1] - case.ppm[0]]
    for name, (ppm, unsure), true in zip(
        ("channel 1", "channel 2", "one beside the other"), [*measured, both], wanted
    ):
        off = ppm - true
        figures.append(f"{name}: {ppm:+.4f} ± {unsure:.4f}, off by {off:+.4f}")
        if abs(off) > WITHIN:
            said.append(f"{name}: {ppm} ppm, and {true} is right")
        if abs(off) > 4 * unsure:
            said.append(f"{name}: off by {off}, and it claims {unsure}")
    return said, figures


def codes_read(case: Case) -> list[dict]:
    """The codes of the report on an hour of both."""
    random = np.random.default_rng(77 + CASES.index(case))
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "hour.wav"
        sound = np.stack([code(case, ppm, random).astype(np.float32) for ppm in case.ppm], axis=1)
        file.write_bytes(wav_bytes(sound, SAMPLE_RATE, "s16"))
        done = subprocess.run([*READ, str(file)], cwd=ROOT, capture_output=True, check=True)
    return json.loads(done.stdout)["codes"]


def main() -> None:
    build_reader()
    tally = Tally()
    with ThreadPoolExecutor(2) as pool:
        for case, codes in zip(CASES, pool.map(codes_read, CASES)):
            said, figures = complaints(case, codes)
            print(f"    {case.rate}{' drop-frame' if case.drop else ''}: {'; '.join(figures)}")
            tally.case(f"{case.rate}, {case.ppm}", said)
    tally.finish()


if __name__ == "__main__":
    main()
