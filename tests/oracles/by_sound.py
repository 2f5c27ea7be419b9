"""The time between two recordings by their sound, against scipy's correlation of the whole of them.

Speech by espeak-ng is heard by two recorders: other noise, other rooms, other microphones, other
levels, other sample rates, a clock that is off. The files are made here with scipy's resampling and
filters; ours lines them up through the example program `align` of plumbline-sound. The reference
knows nothing of prints, windows or phases: scipy.signal.correlate over all samples, at all shifts,
at the full rate, and the truth is known besides.

    python by_sound.py
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
import tempfile
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
import soundfile
from scipy import signal

ROOT = Path(__file__).resolve().parents[2]
RATE = 48_000
NEAR = 1e-3  # seconds
# Sentences of our own.
SENTENCES = (
    "The second boat leaves at nine, and the tide will not wait for anyone.",
    "Put the lamp on the left of the table, a little lower, and turn it to the wall.",
    "We had seven apples in the basket, and now there are only three.",
    "Quiet please. When the door shuts she looks up, and then the phone rings.",
    "It rained all morning, so the painters packed up their brushes and went home.",
    "From here you can see the harbour, the old mill, and on clear days the islands.",
    "Nobody told the driver that the bridge was closed until the end of August.",
    "Count the chairs again: there should be forty two, and four more in the hall.",
)
OTHERS = (
    "My uncle keeps bees behind the school, eleven hives in two long rows.",
    "The parcel was sent on Tuesday, but the label had come off in the van.",
    "Take the upper path. It is longer, and there is shade all the way.",
    "Half of the seats were empty, which made the hall sound rather cold.",
    "She mended the clock with a hairpin and a drop of oil from the kitchen.",
    "There are two keys. The small one opens the gate, the large one nothing.",
)


@dataclass(frozen=True)
class Ear:
    """A recorder."""

    first: float  # second of the world at which it begins
    seconds: float
    rate: int = RATE
    snr: float = 15.0
    room: float = 0.0
    level: float = -26.0
    band: tuple[float, float] = (60.0, 12_000.0)
    ppm: float = 0.0


@dataclass(frozen=True)
class Case:
    name: str
    one: Ear
    other: Ear
    same: bool = True
    # Whether one shift over all samples has a meaning: not where clocks differ.
    correlate: bool = True
    prior: tuple[str, ...] = field(default=())


def spoken(sentences: tuple[str, ...], folder: Path) -> np.ndarray:
    """What espeak-ng says, at 48 kHz, with its mean square 1."""
    parts = []
    for number, sentence in enumerate(sentences):
        path = folder / "said.wav"
        voice = "en+f3" if number % 2 else "en+m2"
        speed = str(140 + 11 * number)
        subprocess.run(["espeak-ng", "-v", voice, "-s", speed, "-w", path, sentence], check=True)
        sound, rate = soundfile.read(path)
        parts += [signal.resample_poly(sound, RATE, rate), np.zeros(RATE // 3)]
    sound = np.concatenate(parts)
    return sound / np.sqrt(np.mean(sound**2))


def in_a_room(sound: np.ndarray, seconds: float, rng: np.random.Generator) -> np.ndarray:
    """As loud as it is again by what comes back, which falls by 60 dB in so many seconds."""
    length = int(seconds * RATE)
    tail = rng.normal(size=length) * np.exp(-6.908 * np.arange(length) / length)
    tail[: RATE // 500] = 0
    tail /= np.sqrt(np.sum(tail**2))
    tail[0] = 1
    return signal.fftconvolve(sound, tail)[: len(sound)]


def heard(world: np.ndarray, ear: Ear, rng: np.random.Generator) -> np.ndarray:
    """What a recorder makes of it."""
    # What comes before is still heard in a room.
    begins = max(0, int((ear.first - 2) * RATE))
    sound = world[begins : int((ear.first + ear.seconds + 1) * RATE)]
    if ear.room:
        sound = in_a_room(sound, ear.room, rng)
    # Forwards and backwards, so that the filter does not make it late.
    sound = signal.sosfiltfilt(
        signal.butter(1, ear.band, "bandpass", fs=RATE, output="sos"), sound
    )
    # A clock that is fast by so much takes more samples of the same.
    count = int(ear.seconds * ear.rate)
    places = (ear.first + np.arange(count) / ear.rate / (1 + ear.ppm * 1e-6)) * RATE
    if ear.rate < RATE:
        low = signal.firwin(255, 0.45 * ear.rate, fs=RATE)
        sound = signal.fftconvolve(sound, low, mode="same")
    sound = at(sound, places - begins)
    noise = rng.normal(size=count) * np.sqrt(np.mean(sound**2)) * 10 ** (-ear.snr / 20)
    sound = sound + noise
    return sound * 10 ** (ear.level / 20) / np.sqrt(np.mean(sound**2))


def at(sound: np.ndarray, places: np.ndarray) -> np.ndarray:
    """Between samples: eight times as many by scipy, and straight lines between those."""
    fine = signal.resample_poly(sound, 8, 1)
    return np.interp(places * 8, np.arange(len(fine)), fine, left=0, right=0)


def reference(one: np.ndarray, one_rate: int, other: np.ndarray, other_rate: int) -> float:
    """By how much the first is later: the highest of the correlation of all samples."""
    if one_rate != RATE:
        one = signal.resample_poly(one, RATE, one_rate)
    if other_rate != RATE:
        other = signal.resample_poly(other, RATE, other_rate)
    values = signal.correlate(one, other, method="fft")
    return float(signal.correlation_lags(len(one), len(other))[np.argmax(values)]) / RATE


def ours(one: Path, other: Path, prior: tuple[str, ...]) -> dict:
    target = Path(os.environ.get("CARGO_TARGET_DIR", ROOT / "target"))
    command = [target / "release" / "examples" / "align", one, other, *prior]
    return json.loads(subprocess.run(command, stdout=subprocess.PIPE, check=True).stdout)


def cases() -> list[Case]:
    one, other = Ear(0.5, 30.0), Ear(12.300_457, 20.0)
    late = Ear(40.0, 20.0)
    return [
        Case("clean", Ear(0.5, 30.0, snr=40), Ear(12.300_457, 20.0, snr=40)),
        Case("the second begins first", other, one),
        Case("noise as loud as the speech", Ear(0.5, 30.0, snr=0), Ear(12.300_457, 20.0, snr=0)),
        Case("rooms", Ear(0.5, 30.0, room=0.5), Ear(12.300_457, 20.0, room=0.9)),
        Case("44.1 kHz", one, Ear(12.300_457, 20.0, rate=44_100)),
        Case("32 kHz against 96 kHz", Ear(0.5, 30.0, rate=32_000), Ear(12.3, 20.0, rate=96_000)),
        Case("30 dB quieter", one, Ear(12.300_457, 20.0, level=-56.0)),
        Case("telephone", one, Ear(12.300_457, 20.0, band=(300.0, 3_400.0))),
        Case("80 ppm", Ear(0.5, 44.0), Ear(3.1, 40.0, ppm=-80.0), correlate=False),
        Case("six seconds", one, Ear(14.2, 6.0)),
        Case("a belief that is right", one, other, prior=("10", "14")),
        Case("other speech", one, late, same=False),
        Case("a belief that is wrong", one, other, same=False, prior=("-15", "5")),
    ]


def judge(case: Case, answer: dict, one: np.ndarray, other: np.ndarray) -> str:
    """What is wrong with an answer; nothing if it is right."""
    if not case.same:
        return "" if "refused" in answer else f"answered: {answer}"
    if "refused" in answer:
        return f"refused: {answer}"
    truth = (case.other.first - case.one.first) * (1 + case.one.ppm * 1e-6)
    if abs(answer["offset"] - truth) > NEAR:
        return f"{answer['offset'] - truth:+.6f} s beside the truth: {answer}"
    drift = case.one.ppm - case.other.ppm
    if abs(answer["drift_ppm"] - drift) > 5 * answer["drift_ppm_sigma"]:
        return f"{answer['drift_ppm'] - drift:+.2f} ppm beside the truth: {answer}"
    if case.correlate:
        there = reference(one, case.one.rate, other, case.other.rate)
        if abs(answer["offset"] - there) > NEAR:
            return f"scipy says {there:.6f} s: {answer}"
    return ""


def main() -> int:
    if not shutil.which("espeak-ng"):
        print("by_sound: espeak-ng is not there")
        return 1
    build = ["cargo", "build", "--release", "-q", "-p", "plumbline-sound", "--example", "align"]
    subprocess.run(build, cwd=ROOT, check=True)
    passed = failed = 0
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        said, others = spoken(SENTENCES, folder), spoken(OTHERS, folder)
        said = np.concatenate([np.zeros(RATE), said])[: 40 * RATE]
        said = np.pad(said, (0, 40 * RATE - len(said)))
        world = np.concatenate([said, others])
        world = np.pad(world, (0, max(0, 62 * RATE - len(world))))
        for number, case in enumerate(cases()):
            rng = np.random.default_rng(number)
            sounds = [heard(world, ear, rng) for ear in (case.one, case.other)]
            paths = [folder / "one.wav", folder / "other.wav"]
            for path, sound, ear in zip(paths, sounds, (case.one, case.other), strict=True):
                soundfile.write(path, sound, ear.rate, subtype="PCM_24")
            wrong = judge(case, ours(*paths, case.prior), *sounds)
            passed, failed = (passed, failed + 1) if wrong else (passed + 1, failed)
            if wrong:
                print(f"FAILED {case.name}: {wrong}")
    print(f"{passed} passed, {failed} failed")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
