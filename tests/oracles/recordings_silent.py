"""Sound that carries no code: not one frame may be reported.

Speech, music, tones, squares, noise, random biphase, two-tone keying, and true code with one bit
of the synchronizing word spoiled in every codeword (SMPTE ST 12-1:2014 clause 9.2.4: without the
whole word there is no codeword).

    python3 recordings_silent.py [--long] [WORD …]     --long: an hour of each
"""

from __future__ import annotations

import shutil
import subprocess
import sys
import tempfile
import zlib
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from functools import partial
from pathlib import Path

import numpy as np
from scipy import signal

from ltc_checks import Tally, build_reader, run_reader
from ltc_writer import Take, Word, address, count_on, edge_shape, add_edges, record, wav_bytes, words

SAMPLE_RATE = 48000
SHORT = 120  # seconds of each kind
PIECE = 600  # seconds in one file of --long


def noise(rng, n: int, slope: float) -> np.ndarray:
    """Noise whose power falls with frequency as 1 / f^slope: 0 white, 1 pink, 2 brown."""
    spectrum = np.fft.rfft(rng.standard_normal(n))
    frequency = np.maximum(np.arange(len(spectrum)), 1.0)
    made = np.fft.irfft(spectrum / frequency ** (slope / 2), n)
    return 0.3 * made / np.abs(made).max()


def white(rng, n):
    return noise(rng, n, 0)


def pink(rng, n):
    return noise(rng, n, 1)


def brown(rng, n):
    return noise(rng, n, 2)


def band_noise(rng, n):
    """Noise in the very band that code lives in."""
    shape = signal.butter(4, (800, 3000), "bandpass", fs=SAMPLE_RATE, output="sos")
    return 3 * signal.sosfilt(shape, noise(rng, n, 0))


def clipped_noise(rng, n):
    return np.clip(20 * band_noise(rng, n), -0.5, 0.5)


def tone(rng, n, hertz):
    return 0.3 * np.sin(2 * np.pi * hertz * np.arange(n) / SAMPLE_RATE + rng.uniform(0, 6))


def square(rng, n, hertz):
    places = np.arange(rng.uniform(0, 1), n, SAMPLE_RATE / hertz / 2)
    return biphase_levels(places, n)


def biphase_levels(places: np.ndarray, n: int) -> np.ndarray:
    """A two-level wave that changes at each of the places."""
    samples = np.zeros(n)
    heights = np.where(np.arange(len(places)) % 2 == 0, 0.6, -0.6)
    if len(places):
        heights[0] = 0.3
    add_edges(samples, places, heights, edge_shape(40e-6 * SAMPLE_RATE, True))
    return samples


def random_biphase(rng, n):
    """Random bits at the rate of 25 frames a second, marked as code marks them."""
    cell = SAMPLE_RATE / 2000
    starts = np.arange(0, n, cell)
    ones = rng.integers(0, 2, len(starts)) == 1
    return biphase_levels(np.sort(np.concatenate([starts, starts[ones] + cell / 2])), n)


def two_tone(rng, n, low, high, baud):
    """Two-tone keying with an unbroken phase."""
    symbols = rng.integers(0, 2, n * baud // SAMPLE_RATE + 1)
    which = symbols[np.arange(n) * baud // SAMPLE_RATE]
    phase = np.cumsum(np.where(which, high, low) * 2 * np.pi / SAMPLE_RATE)
    return 0.3 * np.sin(phase)


def sweep(rng, n):
    t = np.arange(n) / SAMPLE_RATE
    return 0.3 * signal.chirp(t % 20, 100, 20, 8000, method="logarithmic")


def music(rng, n):
    """Chords of decaying notes with overtones, a bass line and a beat."""
    samples = np.zeros(n)
    beat = SAMPLE_RATE // 4
    t = np.arange(SAMPLE_RATE) / SAMPLE_RATE
    kick = np.sin(2 * np.pi * 60 * t + 20 * (1 - np.exp(-20 * t))) * np.exp(-8 * t)
    scale = (0, 2, 4, 5, 7, 9, 11)
    for start in range(0, n - SAMPLE_RATE, beat):
        for _ in range(rng.integers(1, 4)):
            step = scale[rng.integers(0, 7)] + 12 * rng.integers(-2, 4)
            pitch = 220 * 2 ** (step / 12)
            decay = np.exp(-t * rng.uniform(2, 8))
            for overtone in range(1, 7):
                if pitch * overtone < 20000:
                    wave = np.sin(2 * np.pi * pitch * overtone * t + rng.uniform(0, 6))
                    samples[start : start + SAMPLE_RATE] += decay * wave / overtone**1.2
        if rng.integers(0, 2):
            samples[start : start + SAMPLE_RATE] += 3 * kick
        else:
            hat = rng.standard_normal(4800) * np.exp(-np.arange(4800) / 600)
            samples[start : start + 4800] += hat
    return 0.8 * samples / np.abs(samples).max()


def organ(rng, n):
    """Square-wave melodies, as small synthesisers and games play them."""
    places, at = [], 0.0
    while at < n:
        half = SAMPLE_RATE / (110 * 2 ** (rng.integers(0, 60) / 12)) / 2
        end = at + SAMPLE_RATE / 8
        places.append(np.arange(at, end, half))
        at = places[-1][-1] + half
    return biphase_levels(np.concatenate(places), n)


def formants(rng, n):
    """Speech-like: pulses and hiss through three moving resonances, in syllables."""
    out, state = [], None
    while sum(map(len, out)) < n:
        length = int(SAMPLE_RATE * rng.uniform(0.06, 0.3))
        if rng.uniform() < 0.15:
            out.append(np.zeros(length))
            continue
        pitch = rng.uniform(80, 280)
        source = np.zeros(length)
        source[:: int(SAMPLE_RATE / pitch)] = 1.0
        if rng.uniform() < 0.3:
            source = 0.2 * rng.standard_normal(length)
        for low, high in ((250, 900), (800, 2500), (2200, 3500)):
            middle, width = rng.uniform(low, high), rng.uniform(60, 150)
            r = np.exp(-np.pi * width / SAMPLE_RATE)
            turn = 2 * r * np.cos(2 * np.pi * middle / SAMPLE_RATE)
            source = signal.lfilter([1 - r], [1, -turn, r * r], source)
        out.append(source / (np.abs(source).max() + 1e-9) * np.hanning(length) * 0.5)
    return np.concatenate(out)[:n]


SYLLABLES = "ka lo mi ren tas vo ber dun fel gri hap jo no pes qui rud sol tem ul wex yar zo".split()


def spoken(rng, n):
    """Nonsense read aloud by espeak-ng, where that is installed; formants otherwise."""
    if not shutil.which("espeak-ng"):
        return formants(rng, n)
    out = []
    with tempfile.TemporaryDirectory(prefix="plumbline-") as folder:
        file = Path(folder) / "spoken.wav"
        while sum(map(len, out)) < n:
            text = " ".join(
                "".join(rng.choice(SYLLABLES, rng.integers(1, 4))) for _ in range(200)
            )
            voice = ("en", "de", "fr", "en+f3", "es+f2")[rng.integers(0, 5)]
            speed = str(rng.integers(120, 260))
            subprocess.run(
                ["espeak-ng", "-v", voice, "-s", speed, "-w", str(file), text],
                check=True, capture_output=True,
            )
            data = file.read_bytes()
            read = np.frombuffer(data[44 : len(data) // 2 * 2], "<i2") / 32768
            out.append(signal.resample_poly(read, 320, 147))
    return np.concatenate(out)[:n]


def spoiled_code(rng, n, bit):
    """True code, but for one bit of the synchronizing word in every codeword."""
    count = n // 1920 + 2
    sent = words(count_on(address("10:00:00:00", 25), count), 0x42)
    flipped = []
    for word in sent:
        bits = list(word.bits)
        bits[bit] ^= 1
        flipped.append(Word(tuple(bits), word.at, word.user_bits, False, sound=False))
    return record([Take(flipped, -900.0, 1920.0, 0.3)], n, SAMPLE_RATE).samples


def noisy(rng, n, bit):
    """The same under noise 3 dB below it, which hides single half cells."""
    samples = spoiled_code(rng, n, bit)
    return samples + 0.7 * np.abs(samples).mean() * rng.standard_normal(n)


def clicks(rng, n):
    samples = 1e-4 * rng.standard_normal(n)
    samples[rng.integers(0, n, n // 200)] = rng.choice([-0.9, 0.9], n // 200)
    return samples


def hum(rng, n):
    t = np.arange(n) / SAMPLE_RATE
    return sum(0.3 / k * np.sin(2 * np.pi * 50 * k * t + k) for k in range(1, 40, 2))


def nothing(rng, n):
    return np.zeros(n)


def steady(rng, n):
    return np.full(n, 0.5)


def kinds() -> dict:
    made = {
        "spoken": spoken, "formants": formants, "music": music, "organ": organ,
        "white noise": white, "pink noise": pink, "brown noise": brown,
        "noise in the band": band_noise, "clipped noise": clipped_noise,
        "random biphase": random_biphase, "sweep": sweep, "clicks": clicks, "hum": hum,
        "digital silence": nothing, "a steady level": steady,
    }
    for hertz in (440, 960, 1000, 1200, 2000, 2400):
        made[f"tone {hertz}"] = partial(tone, hertz=hertz)
    for hertz in range(1000, 2401, 200):
        made[f"square {hertz}"] = partial(square, hertz=hertz)
    for low, high, baud in ((1000, 2000, 2000), (1200, 2400, 1200), (1200, 2200, 1200), (980, 1180, 300)):
        made[f"two tones {low} {high} at {baud}"] = partial(two_tone, low=low, high=high, baud=baud)
    for bit in range(64, 80):
        made[f"code without bit {bit}"] = partial(spoiled_code, bit=bit)
        made[f"code without bit {bit} in noise"] = partial(noisy, bit=bit)
    return made


def judged(report: dict) -> list[str]:
    if "error" in report:
        return [f"error: {report['error']}"]
    said = []
    for code in report["codes"]:
        for frame in code["frames"]:
            said.append(f"reported: {frame}")
        said.append(f"channel {code['channel']} is said to carry code, {code['frames_read']} frames")
    return said


def read(name: str, make: Callable, long: bool) -> list[str]:
    """What is wrong with what was read in a kind of sound."""
    # The spoiled code repeats itself: half a minute says as much as an hour.
    pieces = [30] if "without" in name else [PIECE] * 6 if long else [SHORT]
    said = []
    for number, seconds in enumerate(pieces):
        rng = np.random.default_rng(zlib.crc32(name.encode()) + number)
        with tempfile.TemporaryDirectory(prefix="plumbline-") as folder:
            file = Path(folder) / "silent.wav"
            file.write_bytes(wav_bytes(make(rng, seconds * SAMPLE_RATE), SAMPLE_RATE, "s16"))
            reports, status, errors = run_reader([file])
        if status != 0 or len(reports) != 1:
            said.append(f"exit status {status}: {errors}")
        said += [f"piece {number}: {complaint}" for r in reports for complaint in judged(r)]
    return said


def main() -> None:
    long = "--long" in sys.argv
    wanted = [argument for argument in sys.argv[1:] if not argument.startswith("--")]
    build_reader()
    tally = Tally()
    chosen = [item for item in kinds().items() if all(word in item[0] for word in wanted)]
    # Making sound and reading it keep a core busy each.
    with ThreadPoolExecutor(2) as pool:
        for (name, _), said in zip(chosen, pool.map(lambda item: read(*item, long), chosen)):
            tally.case(name, said)
    tally.finish()


if __name__ == "__main__":
    main()
