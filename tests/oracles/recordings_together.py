"""Code so far below noise that no codeword can be read: all of ten seconds together tell the start.

Each recording is white noise with code 20 dB below it, at every rate, in every count, with and without
the bit that corrects, backwards, and standing still; or 16 dB, with other user bits in each codeword,
by chance or as a count, which then may not be told. The start has to be given, and be right to the
frame and to two samples; no frame may be called read. Far lower still, and where there is no code,
there may be no answer, but no wrong one.

The level of the noise is set by the definition of a signal-to-noise ratio: mean squares, up to half
the sample rate.
"""

from __future__ import annotations

import tempfile
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from ltc_checks import Tally, build_reader, run_reader
from ltc_writer import RATES, Take, address_of, amplitude, count_on, frames_in_day, record, wav_bytes
from ltc_writer import words as words_of

SAMPLE_RATE = 48000
SECONDS = 10
BELOW = 20.0
VARIED_BELOW = 16.0
FAR_BELOW = 27.0
FAR_TAKES = 12


@dataclass(frozen=True)
class Case:
    rate: str
    drop: bool = False
    corrected: bool = True
    reverse: bool = False
    still: bool = False
    user_bits: str = "alike"
    below: float = BELOW

    def name(self) -> str:
        ways = [
            ("drop-frame", self.drop),
            ("uncorrected", not self.corrected),
            ("reverse", self.reverse),
            ("still", self.still),
            (f"user bits {self.user_bits}", self.user_bits != "alike"),
        ]
        said = "".join(f", {way}" for way, is_so in ways if is_so)
        return f"{self.rate}{said}, -{self.below:g} dB"


CASES = (
    [Case(rate) for rate in ("23.976", "24", "25", "29.97", "30")]
    + [Case("29.97", drop=True)]
    + [Case(rate, corrected=False) for rate in ("24", "25", "29.97")]
    + [Case(rate, reverse=True) for rate in ("24", "25", "30")]
    + [Case("25", still=True), Case("29.97", drop=True, corrected=False, reverse=True)]
)
VARIED = [
    Case(rate, drop, corrected, reverse, user_bits=user_bits, below=VARIED_BELOW)
    for rate, drop, corrected, reverse, user_bits in (
        ("23.976", False, True, False, "by chance"),
        ("24", False, False, True, "by chance"),
        ("25", False, True, False, "by chance"),
        ("25", False, True, False, "counting"),
        ("25", False, False, True, "counting"),
        ("29.97", True, True, False, "by chance"),
        ("29.97", False, False, False, "counting"),
        ("30", False, True, True, "by chance"),
    )
]


def made(case: Case, random: np.random.Generator):
    """The sound, and where it starts: address, and samples since midnight where it runs forwards."""
    per_second, base = RATES[case.rate]
    per_word = float(SAMPLE_RATE / per_second)
    number = int(random.integers(frames_in_day(base, case.drop)))
    count = int(SECONDS * SAMPLE_RATE / per_word) + 3
    first = address_of(number, base, case.drop)
    addresses = [first] * count if case.still else count_on(first, count)
    level = amplitude(-40)
    bits = int(random.integers(1 << 32))
    if case.user_bits == "by chance":
        bits = [int(own) for own in random.integers(1 << 32, size=count)]
    elif case.user_bits == "counting":
        bits = [(bits + number) % (1 << 32) for number in range(count)]
    take = Take(
        words_of(addresses, bits, corrected=case.corrected),
        -float(random.random()) * per_word,
        per_word,
        level,
    )
    clean = record([take], SECONDS * SAMPLE_RATE, SAMPLE_RATE, reverse=case.reverse)
    power = np.mean(clean.samples**2)
    noise = np.sqrt(power * 10 ** (case.below / 10)) * random.standard_normal(len(clean.samples))
    at_start = [f for f in clean.frames if min(f.first_edge, f.last_edge) <= 0 < max(f.first_edge, f.last_edge)]
    samples = number * per_word - take.begins
    return clean.samples + noise, at_start[0].at, samples


def judged(case: Case, report: dict, start, samples: float) -> list[str]:
    if "error" in report:
        return [f"error: {report['error']}"]
    said = []
    for code in report["codes"]:
        if code["frames_read"] or code.get("frames"):
            said.append(f"{code['frames_read']} frames read")
        if any(s["evidence"] != "together" or s["odds_log10"] < 6 for s in code["stretches"]):
            said.append(f"evidence: {code['stretches']}")
        if any(("user_bits" in s) != (case.user_bits == "alike") for s in code["stretches"]):
            said.append(f"user bits: {code['stretches']}")
        if case.still:
            if [s["first"] for s in code["stretches"]] != [str(start)]:
                said.append(f"stands at {code['stretches']}, and {start} is right")
            continue
        if code.get("start") != str(start):
            said.append(f"start {code.get('start')}, and {start} is right")
        off = code.get("start_samples_since_midnight", 0.0) - samples
        if not case.reverse and abs(off) > 2:
            said.append(f"start is off by {off} samples")
        if code["rate"] != case.rate or code["drop_frame"] != case.drop:
            said.append(f"rate {code['rate']}, drop-frame {code['drop_frame']}")
    return said


def main() -> None:
    build_reader()
    tally = Tally()
    random = np.random.default_rng(2025)
    far = [Case(rate, below=FAR_BELOW) for rate in ("25", "29.97") for _ in range(FAR_TAKES // 2)]
    given = 0
    for number, case in enumerate(CASES + VARIED + far):
        with tempfile.TemporaryDirectory() as folder:
            sound, start, samples = made(case, random)
            file = Path(folder) / f"{number}.wav"
            file.write_bytes(wav_bytes(sound, SAMPLE_RATE))
            [report], _, _ = run_reader([file])
        complaints = judged(case, report, start, samples)
        is_far = case.below == FAR_BELOW
        if not report.get("codes") and not is_far:
            complaints.append(f"no start: {report.get('suspected')}")
        given += is_far and bool(report.get("codes"))
        tally.case(f"{number}: {case.name()}", complaints)
    print(f"    {FAR_BELOW:g} dB below noise: {given} of {len(far)} starts given")
    noise = 0.1 * random.standard_normal(60 * SAMPLE_RATE)
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "noise.wav"
        file.write_bytes(wav_bytes(noise, SAMPLE_RATE))
        [report], _, _ = run_reader([file])
    found = [report[key] for key in ("codes", "suspected") if report.get(key)]
    tally.case("noise alone", [f"found: {found}"] if found else [])
    tally.finish()


if __name__ == "__main__":
    main()
