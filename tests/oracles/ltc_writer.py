"""A second writer of linear timecode, deliberately naive.

It is written from the tables of SMPTE ST 12-1:2014 (clauses 8 and 9, tables 1 to 5; the same in
IEC 60461:2010) and shares nothing with the Rust crates: each of the 80 bits is placed by its row
of the table, drop-frame counts by stepping the digits and obeying the rule, and the sound is the
sum of its edges. Beside the sound stands the truth: every codeword's address, flags and user bits
and the fractional sample at which its first bit begins.

Run alone, it checks itself: python3 ltc_writer.py
"""

from __future__ import annotations

import struct
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from fractions import Fraction

import numpy as np

# Frames per second, exactly, and how many frames the digits count in a second
# (ST 12-1 clause 5; IEC 60461 clauses 4, 5 and 6).
RATES = {
    "23.976": (Fraction(24000, 1001), 24),
    "24": (Fraction(24), 24),
    "25": (Fraction(25), 25),
    "29.97": (Fraction(30000, 1001), 30),
    "30": (Fraction(30), 30),
}


# ---------------------------------------------------------------------------------------------
# Counting


@dataclass(frozen=True)
class Address:
    """A time address on its dial: `base` frames in a second, drop-frame or not."""

    base: int
    drop: bool
    hours: int
    minutes: int
    seconds: int
    frames: int

    def next(self) -> "Address":
        """One frame on, digit by digit (IEC 60461 clause 4.2.3 for drop-frame)."""
        h, m, s, f = self.hours, self.minutes, self.seconds, self.frames + 1
        if f == self.base:
            f, s = 0, s + 1
        if s == 60:
            s, m = 0, m + 1
        if m == 60:
            m, h = 0, h + 1
        if h == 24:
            h = 0
        # Frame numbers 00 and 01 are omitted at the start of each minute,
        # except minutes 00, 10, 20, 30, 40 and 50.
        if self.drop and s == 0 and f == 0 and m not in (0, 10, 20, 30, 40, 50):
            f = 2
        return Address(self.base, self.drop, h, m, s, f)

    def frame_number(self) -> int:
        """Frames since midnight, by adding up the minutes that have passed one by one."""
        passed = 0
        for minute in range(self.hours * 60 + self.minutes):
            passed += frames_in_minute(self.base, self.drop, minute % 60)
        within = self.seconds * self.base + self.frames
        if self.drop and self.minutes % 10 != 0:
            within -= 2
        return passed + within

    def digits(self) -> str:
        return f"{self.hours:02}:{self.minutes:02}:{self.seconds:02}:{self.frames:02}"

    def __str__(self) -> str:
        mark = ";" if self.drop else ":"
        return f"{self.hours:02}:{self.minutes:02}:{self.seconds:02}{mark}{self.frames:02}"


def frames_in_minute(base: int, drop: bool, minute: int) -> int:
    return 60 * base - (2 if drop and minute not in (0, 10, 20, 30, 40, 50) else 0)


def frames_in_day(base: int, drop: bool) -> int:
    return 24 * sum(frames_in_minute(base, drop, minute) for minute in range(60))


def address(text: str, base: int, drop: bool = False) -> Address:
    h, m, s, f = (int(part) for part in text.replace(";", ":").split(":"))
    return Address(base, drop, h, m, s, f)


def address_of(number: int, base: int, drop: bool) -> Address:
    """The address of a frame number, by taking whole minutes off until less than one is left."""
    number %= frames_in_day(base, drop)
    minute = 0
    while number >= frames_in_minute(base, drop, minute % 60):
        number -= frames_in_minute(base, drop, minute % 60)
        minute += 1
    if drop and minute % 10 != 0:
        number += 2
    return Address(base, drop, minute // 60, minute % 60, number // base, number % base)


def count_on(first: Address, words: int) -> list[Address]:
    addresses = [first]
    while len(addresses) < words:
        addresses.append(addresses[-1].next())
    return addresses[:words]


# ---------------------------------------------------------------------------------------------
# The 80 bits

# Where the flags stand (ST 12-1 tables 3, 4 and 5).
FLAG_BITS = {
    30: {"polarity": 27, "bgf0": 43, "bgf1": 58, "bgf2": 59},
    25: {"bgf0": 27, "bgf2": 43, "bgf1": 58, "polarity": 59},
    24: {"polarity": 27, "bgf0": 43, "bgf1": 58, "bgf2": 59},
}

# First bits of binary groups 1 to 8 (ST 12-1 table 2).
BINARY_GROUPS = (4, 12, 20, 28, 36, 44, 52, 60)

# The synchronizing word, bits 64 to 79 in the order in which they are sent (ST 12-1 clause 9.2.4).
SYNC = (0, 0, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 0, 1)


def codeword(
    at: Address,
    user_bits: int = 0,
    bgf: tuple[int, int, int] = (0, 0, 0),
    colour: bool = False,
    corrected: bool = True,
    drop_flag: bool | None = None,
) -> list[int]:
    """The 80 bits in the order in which they are sent.

    `bgf` is (BGF2, BGF1, BGF0) as table 1 writes it; `user_bits` has binary group 8 highest.
    """
    bits = [0] * 80

    def put(first: int, width: int, value: int) -> None:
        for place in range(width):  # least significant bit first
            bits[first + place] = (value >> place) & 1

    put(0, 4, at.frames % 10)
    put(8, 2, at.frames // 10)
    put(16, 4, at.seconds % 10)
    put(24, 3, at.seconds // 10)
    put(32, 4, at.minutes % 10)
    put(40, 3, at.minutes // 10)
    put(48, 4, at.hours % 10)
    put(56, 2, at.hours // 10)
    for group, first in enumerate(BINARY_GROUPS):
        put(first, 4, (user_bits >> (4 * group)) & 15)
    if at.base == 30:
        put(10, 1, int(at.drop if drop_flag is None else drop_flag))
    if at.base in (25, 30):
        put(11, 1, int(colour))
    where = FLAG_BITS[at.base]
    put(where["bgf2"], 1, bgf[0])
    put(where["bgf1"], 1, bgf[1])
    put(where["bgf0"], 1, bgf[2])
    bits[64:80] = SYNC
    # Biphase mark polarity correction (ST 12-1 clause 9.2.3): where it is wanted, its bit makes
    # the number of zeros in the whole codeword even.
    if corrected and bits.count(0) % 2 == 1:
        bits[where["polarity"]] = 1
    return bits


def packed(bits: list[int]) -> bytes:
    """Ten bytes, the bit that is sent first lowest in the first byte."""
    return bytes(sum(bits[8 * byte + place] << place for place in range(8)) for byte in range(10))


# ---------------------------------------------------------------------------------------------
# Takes: words at a place


@dataclass(frozen=True)
class Word:
    """One codeword as it is sent, and what a reader should make of it."""

    bits: tuple[int, ...]
    at: Address
    user_bits: int
    drop_flag: bool
    # False where the bits were spoiled on purpose: a reader must not report the word.
    sound: bool = True


@dataclass(frozen=True)
class Take:
    """Words sent one after another; the first bit of the first begins at `begins`."""

    words: list[Word]
    begins: float
    samples_per_word: float
    amplitude: float
    # 10 to 90 % (IEC 60461 clause 8.6: 40 microseconds).
    rise_seconds: float = 40e-6
    # Where a place at steady speed really is, for tape that flutters or gathers speed.
    warp: Callable[[np.ndarray], np.ndarray] = lambda places: places


@dataclass(frozen=True)
class TrueFrame:
    """What is true of one codeword in the recording."""

    at: Address
    user_bits: int
    drop_flag: bool
    first_edge: float
    last_edge: float
    # Every part of it is in the sound; a reader must report it.
    whole: bool
    # A reader may report it, or leave it out.
    optional: bool
    reverse: bool = False


@dataclass
class Recording:
    """A recording and its truth."""

    samples: np.ndarray
    sample_rate: int
    frames: list[TrueFrame] = field(default_factory=list)
    rate: str = "25"
    drop: bool = False

    def whole_frames(self) -> list[TrueFrame]:
        return [frame for frame in self.frames if frame.whole]


def words(
    addresses: list[Address],
    user_bits=0,
    bgf=(0, 0, 0),
    colour: bool = False,
    corrected: bool = True,
    drop_flag: bool | None = None,
) -> list[Word]:
    """A word for each address; `user_bits` may be a number, or one for each word."""
    made = []
    for index, at in enumerate(addresses):
        own = user_bits[index] if isinstance(user_bits, (list, tuple)) else user_bits
        flag = at.drop if drop_flag is None else drop_flag
        bits = codeword(at, own, bgf, colour, corrected, drop_flag)
        made.append(Word(tuple(bits), at, own, flag))
    return made


def spoiled(word: Word, *flipped: int) -> Word:
    """The same word with bits inverted; a reader must not report it."""
    bits = list(word.bits)
    for bit in flipped:
        bits[bit] ^= 1
    return replace(word, bits=tuple(bits), sound=False)


# ---------------------------------------------------------------------------------------------
# The sound


def edges(bits: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Where the levels change, in cells, and by how much (ST 12-1 clause 9.3).

    A transition at the start of every bit, one more in the middle of a 1. The level is 0 before
    the first and after the last.
    """
    starts = np.arange(len(bits), dtype=float)
    middles = starts[bits == 1] + 0.5
    places = np.sort(np.concatenate([starts, middles, [float(len(bits))]]))
    levels = np.where(np.arange(len(places)) % 2 == 0, 1.0, -1.0)
    levels[-1] = 0.0
    return places, np.diff(levels, prepend=0.0)


class EdgeShape:
    """How one edge from 0 to 1 looks when it is sampled, x samples after its middle.

    A raised-cosine edge, and, unless `filtered` is False, the steep low-pass of a converter that
    lets nothing past half the sample rate through.
    """

    STEPS = 512

    def __init__(self, rise_samples: float, filtered: bool = True):
        length = rise_samples / 0.5903  # 10-90 % of a raised cosine is 0.59 of its length
        self.reach = int(np.ceil(length / 2)) + (18 if filtered else 2)
        x = np.arange(-self.reach * self.STEPS, self.reach * self.STEPS + 1) / self.STEPS
        inside = np.clip(x / length, -0.5, 0.5)
        shape = 0.5 * (1.0 + np.sin(np.pi * inside))
        if filtered:
            t = np.arange(-16 * self.STEPS, 16 * self.STEPS + 1) / self.STEPS
            kernel = np.sinc(0.92 * t) * np.kaiser(len(t), 9.0)
            kernel /= kernel.sum()
            padded = np.concatenate([np.zeros(len(t) // 2), shape, np.ones(len(t) // 2)])
            size = 1 << int(np.ceil(np.log2(len(padded) + len(t))))
            product = np.fft.rfft(padded, size) * np.fft.rfft(kernel, size)
            convolved = np.fft.irfft(product, size)
            shape = convolved[len(t) - 1 : len(t) - 1 + len(x)]
        self.x = x
        self.shape = shape

    def __call__(self, x: np.ndarray) -> np.ndarray:
        return np.interp(x, self.x, self.shape, left=0.0, right=1.0)


_SHAPES: dict[tuple[float, bool], EdgeShape] = {}


def edge_shape(rise_samples: float, filtered: bool) -> EdgeShape:
    key = (round(rise_samples, 9), filtered)
    if key not in _SHAPES:
        _SHAPES[key] = EdgeShape(rise_samples, filtered)
    return _SHAPES[key]


def add_edges(samples: np.ndarray, places: np.ndarray, heights: np.ndarray, shape: EdgeShape) -> None:
    """Adds the sum of all edges: steps first, then the difference between a step and an edge."""
    index = np.arange(len(samples))
    level = np.concatenate([[0.0], np.cumsum(heights)])
    samples += level[np.searchsorted(places, index, side="right")]
    near = (places > -shape.reach) & (places < len(samples) + shape.reach)
    places, heights = places[near], heights[near]
    first = np.ceil(places).astype(int)
    for offset in range(-shape.reach, shape.reach + 1):
        at = first + offset
        part = heights * (shape(at - places) - (at >= places))
        valid = (at >= 0) & (at < len(samples))
        samples += np.bincount(at[valid], weights=part[valid], minlength=len(samples))


def record(
    takes: list[Take],
    length: int,
    sample_rate: int,
    *,
    filtered: bool = True,
    inverted: bool = False,
    offset: float = 0.0,
    reverse: bool = False,
    muted: list[tuple[int, int]] = (),
    noise: float = 0.0,
    seed: int = 1,
) -> Recording:
    """The sound of some takes, and what is true of it.

    `muted` are half-open ranges of samples in which nothing is heard; `offset` is added to all;
    `noise` is the rms of white noise. `reverse` turns the whole recording round.
    """
    samples = np.zeros(length)
    frames = []
    for take in takes:
        bits = np.array([bit for word in take.words for bit in word.bits])
        places, heights = edges(bits)
        places = take.warp(take.begins + places * (take.samples_per_word / 80))
        shape = edge_shape(take.rise_seconds * sample_rate, filtered)
        add_edges(samples, places, heights * take.amplitude, shape)
        frames += true_frames(take, length, muted)
    for begin, end in muted:
        samples[begin:end] = 0.0
    if inverted:
        samples = -samples
    if noise:
        samples = samples + noise * np.random.default_rng(seed).standard_normal(length)
    samples = samples + offset
    if reverse:
        samples = samples[::-1].copy()
        frames = [turned_round(frame, length) for frame in reversed(frames)]
    return Recording(samples, sample_rate, frames)


# An edge this near to the end of the sound is not asked for: too little of it is there.
MARGIN = 4.0
# A codeword of which at most this part is gone may be read from the rest, and may be lost.
TORN = 0.1


def true_frames(take: Take, length: int, muted) -> list[TrueFrame]:
    found = []
    for index, word in enumerate(take.words):
        begin, end = take.warp(take.begins + np.array([index, index + 1]) * take.samples_per_word)
        heard = word.sound and all(end <= m0 - MARGIN or begin >= m1 + MARGIN for m0, m1 in muted)
        gone = sum(max(0.0, min(end, m1) - max(begin, m0)) for m0, m1 in muted)
        torn = gone > TORN * abs(end - begin)
        inside = begin >= MARGIN and end <= length - 1 - MARGIN
        # The last word of a take ends on an edge of half the height: it may be left out.
        last = index == len(take.words) - 1
        whole = heard and inside and not last
        edge = begin >= -MARGIN and end <= length + MARGIN
        optional = word.sound and not whole and edge and not torn
        found.append(
            TrueFrame(word.at, word.user_bits, word.drop_flag, begin, end, whole, optional)
        )
    return found


def turned_round(frame: TrueFrame, length: int) -> TrueFrame:
    last = length - 1
    return replace(
        frame, first_edge=last - frame.first_edge, last_edge=last - frame.last_edge, reverse=True
    )


def amplitude(dbfs: float) -> float:
    return 10 ** (dbfs / 20)


# ---------------------------------------------------------------------------------------------
# A reader that is told the timing


def slice_words(samples: np.ndarray, begins: float, samples_per_word: float, count: int):
    """Reads words at a given place: compares the two halves of each cell, nothing more.

    Gives a list of 80 bits for each word. The halves of a 0 have the same sign, those of a 1
    differ (ST 12-1 clause 9.3).
    """
    cell = samples_per_word / 80
    index = np.arange(80 * count)
    halves = []
    for middle in (0.25, 0.75):
        at = begins + (index + middle) * cell
        halves.append(np.interp(at, np.arange(len(samples)), samples) > 0)
    bits = (halves[0] != halves[1]).astype(int)
    return [tuple(int(bit) for bit in bits[80 * n : 80 * n + 80]) for n in range(count)]


# ---------------------------------------------------------------------------------------------
# WAV files (RIFF; EBU Tech 3285 for bext)

DEPTHS = {"u8": 8, "s16": 16, "s24": 24, "s32": 32, "f32": 32, "f64": 64}


def quantised(samples: np.ndarray, depth: str) -> bytes:
    flat = np.ascontiguousarray(samples).reshape(-1)
    if depth == "u8":
        return np.clip(np.round(flat * 128) + 128, 0, 255).astype(np.uint8).tobytes()
    if depth == "s16":
        return np.clip(np.round(flat * 2**15), -(2**15), 2**15 - 1).astype("<i2").tobytes()
    if depth == "s24":
        whole = np.clip(np.round(flat * 2**23), -(2**23), 2**23 - 1).astype("<i4")
        return whole.view(np.uint8).reshape(-1, 4)[:, :3].tobytes()
    if depth == "s32":
        return np.clip(np.round(flat * 2**31), -(2**31), 2**31 - 1).astype("<i4").tobytes()
    return flat.astype("<f4" if depth == "f32" else "<f8").tobytes()


def chunk(name: bytes, body: bytes) -> bytes:
    return name + struct.pack("<I", len(body)) + body + b"\0" * (len(body) % 2)


def bext(time_reference: int, description: bytes = b"ferry, deck 2") -> bytes:
    """A bext chunk's body of version 1 (EBU Tech 3285): offsets 338 and 342 hold the time."""
    body = bytearray(602)
    body[0 : len(description)] = description
    body[256:267] = b"Harbour crew"[:11]
    body[320:330] = b"2026-10-10"
    body[330:338] = b"14-03-20"
    struct.pack_into("<II", body, 338, time_reference & 0xFFFFFFFF, time_reference >> 32)
    struct.pack_into("<H", body, 346, 1)
    return bytes(body)


def fmt(sample_rate: int, channels: int, depth: str) -> bytes:
    size = DEPTHS[depth] // 8
    tag = 3 if depth.startswith("f") else 1
    block = size * channels
    return struct.pack(
        "<HHIIHH", tag, channels, sample_rate, sample_rate * block, block, DEPTHS[depth]
    )


def wav_bytes(samples: np.ndarray, sample_rate: int, depth: str = "s24", extra=()) -> bytes:
    """A WAV; `samples` has one row a sample, one column a channel. `extra`: (name, body) chunks."""
    if samples.ndim == 1:
        samples = samples[:, None]
    parts = [chunk(b"fmt ", fmt(sample_rate, samples.shape[1], depth))]
    parts += [chunk(name, body) for name, body in extra]
    parts.append(chunk(b"data", quantised(samples, depth)))
    body = b"WAVE" + b"".join(parts)
    return b"RIFF" + struct.pack("<I", len(body)) + body


# ---------------------------------------------------------------------------------------------
# The writer against the standard's own examples


def self_check() -> None:
    vectors = [
        # SMPTE ST 12-1 tables 2 to 5, worked by hand from the rows.
        ("00:00:00:00", 30, False, {}, "00 00 00 08 00 00 00 00 FC BF"),
        ("00:00:00:00", 24, False, {}, "00 00 00 08 00 00 00 00 FC BF"),
        ("00:00:00:00", 25, False, {}, "00 00 00 00 00 00 00 08 FC BF"),
        ("01:00:00:00", 25, False, {}, "00 00 00 00 00 00 01 00 FC BF"),
        ("01:00:00;00", 30, True, {}, "00 04 00 08 00 00 01 00 FC BF"),
        ("00:01:00;02", 30, True, {}, "02 04 00 00 01 00 00 00 FC BF"),
        ("23:59:59;29", 30, True, {}, "09 06 09 05 09 05 03 02 FC BF"),
        ("23:59:59:24", 25, False, {}, "04 02 09 05 09 05 03 02 FC BF"),
        ("23:59:59:23", 24, False, {}, "03 02 09 0D 09 05 03 02 FC BF"),
        ("12:34:56:12", 25, False, {}, "02 01 06 05 04 03 02 01 FC BF"),
        # SMPTE ST 12-1, worked example of the codeword.
        (
            "01:23:45:13",
            30,
            False,
            {"user_bits": 0x87654321, "bgf": (1, 0, 1), "colour": True},
            "13 29 35 4C 53 6A 71 88 FC BF",
        ),
    ]
    for text, base, drop, rest, expected in vectors:
        got = packed(codeword(address(text, base, drop), **rest)).hex(" ").upper()
        assert got == expected, (text, base, got, expected)

    # SMPTE ST 2059-1 clause 9.3.3.4 and IEC 60461 clause 4.2.3: roll-overs of drop-frame.
    for number, text in [
        (1799, "00:00:59;29"),
        (1800, "00:01:00;02"),
        (17981, "00:09:59;29"),
        (17982, "00:10:00;00"),
        (107892, "01:00:00;00"),
        (2589407, "23:59:59;29"),
    ]:
        at = address(text, 30, True)
        assert at.frame_number() == number, (text, at.frame_number())
        assert str(address_of(number, 30, True)) == text
    at = address("00:00:00;00", 30, True)
    for number in range(20000):
        assert at.frame_number() == number
        at = at.next()
    assert frames_in_day(30, True) == 2589408
    assert str(address("23:59:59;29", 30, True).next()) == "00:00:00;00"

    # The sound, read by the reader that is told the timing; levels and edges where they belong.
    rng = np.random.default_rng(12)
    for name, (rate, base) in RATES.items():
        for sample_rate in (8000, 44100, 48000, 192000):
            per_word = float(sample_rate / rate)
            user = [int(rng.integers(0, 2**32)) for _ in range(12)]
            sent = words(count_on(address("09:59:59:20", base), 12), user)
            take = Take(sent, 37.3, per_word, 0.5)
            made = record([take], int(per_word * 12) + 80, sample_rate)
            read = slice_words(made.samples, 37.3, per_word, 12)
            assert read == [word.bits for word in sent], (name, sample_rate)
            assert len(made.whole_frames()) == 11
    made = record([Take(sent, 37.3, 8000.0, 0.5)], 4000, 192000, filtered=False)
    assert abs(made.samples.max() - 0.5) < 1e-9
    crossing = np.interp(0.25, made.samples[30:45], np.arange(30, 45))
    assert abs(crossing - 37.3) < 0.05, crossing
    print("ltc_writer: the writer agrees with the standard's examples and with itself")


if __name__ == "__main__":
    self_check()
