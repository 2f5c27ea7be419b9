"""What Work out answers, against FFmpeg's libavutil, GStreamer's video library and OpenTimelineIO.

Random moments, addresses, lines of a worksheet and lists, through the example program `sums` of
plumbline-sums, so through the text that a person types and the text that is shown:

* libavutil counts (av_timecode_*) and rescales exact fractions (av_rescale_q, nearest, halves
  away from zero);
* GStreamer adds frames, tells real time, and says which digits name a frame;
* OpenTimelineIO turns frames into addresses and back, and rescales in floating point.

Where one of them errs or does not go, it is not asked; what it says there is pinned at the end,
so that a version that mends it is noticed.

    python sums.py
"""

from __future__ import annotations

import ctypes as c
import json
import os
import random
import subprocess
import sys
from collections.abc import Iterable, Iterator
from itertools import islice
from pathlib import Path

from opentimelineio.opentime import RationalTime, from_timecode

from frame_libraries import (
    Avutil,
    AvTimecode,
    Gstreamer,
    Rational,
    Tally,
    Timebase,
    digits_of,
    timebases,
)

ROOT = Path(__file__).resolve().parents[2]
MOMENTS = 40_000
ADDRESSES = 120_000
LINES = 200_000
LISTS = 1_500
# Lines of one sheet: a sheet has 500 at most.
SHEET = 400
BASES = tuple(timebases())
# The frame at which OpenTimelineIO's non-drop-frame day begins anew: see the pins.
EARLY = {"29.97": 2_589_408, "47.952": 4_143_048, "59.94": 5_178_816}
# Sample rates as they are typed, as they are shown, and in samples a second.
SAMPLE_RATES = (
    ("44100", "44.1 kHz", 44_100, 1),
    ("48000", "48 kHz", 48_000, 1),
    ("88200", "88.2 kHz", 88_200, 1),
    ("96000", "96 kHz", 96_000, 1),
    ("192000", "192 kHz", 192_000, 1),
    ("48000/1.001", "47.952 kHz (48000/1.001)", 48_000_000, 1001),
    ("48048", "48.048 kHz", 48_048, 1),
)


# ---------------------------------------------------------------------------------------------
# Ours


def ask(part: str, questions: Iterable[dict[str, str]], *, values: bool = True) -> Iterator:
    """The answers, one to a question; a new process for every few thousand."""
    target = Path(os.environ.get("CARGO_TARGET_DIR", ROOT / "target"))
    command = [str(target / "release" / "examples" / "sums"), *(["--values"] if values else [])]
    for some in batches(questions, 5_000):
        lines = ["\t".join([part, *(f"{k}={v}" for k, v in q.items())]) for q in some]
        answers = subprocess.run(
            command, input="\n".join(lines) + "\n", stdout=subprocess.PIPE, text=True, check=True
        ).stdout.splitlines()
        assert len(answers) == len(lines), "one answer to each question"
        yield from map(json.loads, answers)


def timebase(base: Timebase) -> dict[str, str]:
    return {"rate": base.rate, "counting": "drop" if base.drop else "non-drop"}


def named(base: Timebase) -> str:
    """The timebase as Work out names it."""
    return f"{base.rate} drop-frame" if base.drop else base.rate


def written(base: Timebase) -> str:
    """The timebase as a line of the worksheet names it."""
    return f"{base.rate} drop" if base.drop else base.rate


def batches(items: Iterable, size: int) -> Iterator[list]:
    items = iter(items)
    while batch := list(islice(items, size)):
        yield batch


# ---------------------------------------------------------------------------------------------
# Theirs


class Libraries:
    """The three, each asked only for what it is right about."""

    NEAR_INF = 5

    def __init__(self) -> None:
        self.avutil, self.gstreamer = Avutil(), Gstreamer()
        self.av_timecodes = {base: self.avutil.timecode(base) for base in BASES}
        self.known_to_gstreamer = {b for b in BASES if self.gstreamer.knows(b)}
        # Above 60 frames a second, and drop-frame at whole rates, it raises: see the pins.
        self.known_to_otio = {b for b in BASES if b.per_second <= 60 and b.is_standard}
        self.rescale_q = self.avutil.library.av_rescale_q_rnd
        self.rescale_q.argtypes = [c.c_int64, Rational, Rational, c.c_int]
        self.rescale_q.restype = c.c_int64

    def address(self, base: Timebase, frame: int) -> str:
        # Whole days are taken off first: drop-frame at whole rates is adjusted by a function
        # that does not wrap.
        return self.avutil.address(base, self.av_timecodes[base], frame % base.day)

    def rescaled(self, number: int, rate: tuple[int, int], to: tuple[int, int]) -> int:
        """So many units of 1/rate, in the nearest number of units of 1/to."""
        units = (Rational(den, num) for num, den in (rate, to))
        return self.rescale_q(number, *units, self.NEAR_INF)

    def added(self, base: Timebase, frame: int, more: int) -> str:
        timecode = self.gstreamer.timecode(base, digits_of(self.address(base, frame)))
        self.gstreamer.add(timecode, more)
        # Written anew: it prints two digits of a frame number where there are three, at 120.
        return typed(base, digits_of(self.gstreamer.address(timecode)))

    def otio_address(self, base: Timebase, frame: int) -> str:
        return RationalTime(frame, otio_rate(base)).to_timecode(otio_rate(base), base.drop)


def otio_rate(base: Timebase) -> float:
    return base.numerator / base.denominator


def rate_of(base: Timebase) -> tuple[int, int]:
    return base.numerator, base.denominator


def wraps_early(base: Timebase, frame: int) -> bool:
    """Where OpenTimelineIO counts non-drop-frame wrongly: see the pins."""
    early = base.rate in EARLY and not base.drop
    return early and frame >= EARLY[base.rate]


def random_frame(base: Timebase, rng: random.Random) -> int:
    """Any frame of the day, or one next to a minute or a day's end, where counting is hard."""
    if rng.random() < 0.7:
        return rng.randrange(base.day)
    ten, one = rng.randrange(144), rng.randrange(10)
    minute = base.per_second * 60
    start = ten * base.ten_minutes + (minute + (one - 1) * (minute - base.dropped) if one else 0)
    return (start + rng.randrange(-2, 3)) % base.day


# ---------------------------------------------------------------------------------------------
# One address, everything about it


def check_moments(tally: Tally, libraries: Libraries, rng: random.Random) -> None:
    asked = [(base, random_frame(base, rng)) for base in BASES for _ in range(MOMENTS // len(BASES))]
    rates = [rng.choice(SAMPLE_RATES) for _ in asked]
    questions = (
        {"kind": "frame-count", "text": str(frame), "sample_rate": rate[0], **timebase(base)}
        for (base, frame), rate in zip(asked, rates)
    )
    for (base, frame), rate, answer in zip(asked, rates, ask("address", questions)):
        what = f"{base}, frame {frame}"
        moment = answer["This moment"]
        address = libraries.address(base, frame)
        tally.same("libavutil, address", what, moment["Time address"], address)
        check_real_time(tally, libraries, base, address, moment["Real time since midnight"])
        check_other_rates(tally, libraries, base, frame, answer)
        check_samples(tally, libraries, base, frame, answer["Samples since midnight"])
        reference = answer[f"Time reference of a bext chunk at {rate[1]}"]
        whole = libraries.rescaled(frame, rate_of(base), rate[2:])
        words = (reference["High word"], reference["Low word"])
        tally.same("libavutil, bext words", what, words, (str(whole >> 32), str(whole % 2**32)))


def check_real_time(
    tally: Tally, libraries: Libraries, base: Timebase, address: str, shown: str
) -> None:
    if base not in libraries.known_to_gstreamer:
        return
    timecode = libraries.gstreamer.timecode(base, digits_of(address))
    nanoseconds = libraries.gstreamer.nanoseconds(timecode)
    hours, minutes, seconds = shown.split(":")
    whole, micro = seconds.split(".")
    ours = ((int(hours) * 60 + int(minutes)) * 60 + int(whole)) * 1_000_000 + int(micro)
    # GStreamer cuts to the nanosecond, we round to the microsecond: 501 ns apart at most.
    agree = abs(ours * 1000 - nanoseconds) <= 501
    theirs = shown if agree else f"{nanoseconds} ns"
    tally.same("GStreamer, real time", f"{base}, {address}", shown, theirs)


def check_other_rates(
    tally: Tally, libraries: Libraries, base: Timebase, frame: int, answer: dict
) -> None:
    same_number = answer["The same frame number at every rate"]
    same_instant = answer["The same instant at every rate"]
    for other in BASES:
        what = f"{base}, frame {frame}, at {other}"
        ours = same_number[named(other)]
        tally.same("libavutil, same number", what, ours, libraries.address(other, frame))
        if other in libraries.known_to_otio and not wraps_early(other, frame):
            theirs = libraries.otio_address(other, frame)
            tally.same("OpenTimelineIO, same number", what, ours, theirs)
        nearest = libraries.rescaled(frame, rate_of(base), rate_of(other))
        ours = same_instant[named(other)]
        tally.same("libavutil, same instant", what, ours, libraries.address(other, nearest))
        moved = RationalTime(frame, otio_rate(base)).rescaled_to(otio_rate(other)).value
        # In floating point, half a frame may fall to either side.
        if abs(moved % 1 - 0.5) > 1e-6:
            theirs = libraries.address(other, round(moved))
            tally.same("OpenTimelineIO, same instant", what, ours, theirs)


def check_samples(
    tally: Tally, libraries: Libraries, base: Timebase, frame: int, shown: dict[str, str]
) -> None:
    for _, name, *rate in SAMPLE_RATES:
        theirs = libraries.rescaled(frame, rate_of(base), (rate[0], rate[1]))
        what = f"{base}, frame {frame}, at {name}"
        tally.same("libavutil, samples", what, shown[f"At {name}"], str(theirs))


# ---------------------------------------------------------------------------------------------
# Typed addresses, legal and not


def check_typed(tally: Tally, libraries: Libraries, rng: random.Random) -> None:
    bases = sorted(libraries.known_to_gstreamer)
    asked = [(rng.choice(bases), random_digits(rng)) for _ in range(ADDRESSES)]
    questions = ({"text": typed(base, digits), **timebase(base)} for base, digits in asked)
    for (base, digits), answer in zip(asked, ask("address", questions)):
        text = typed(base, digits)
        what = f"{base}, {text}"
        ours = answer.get("This moment", {}).get("Frames since midnight", "none")
        timecode = libraries.gstreamer.timecode(base, digits)
        exists = libraries.gstreamer.is_valid(timecode) != 0
        theirs = str(libraries.gstreamer.frames(timecode)) if exists else "none"
        kind = "exist" if exists else "do not exist"
        tally.same(f"GStreamer, typed digits that {kind}", what, ours, theirs)
        if exists and base in libraries.known_to_otio:
            theirs = str(round(from_timecode(text, otio_rate(base)).value))
            tally.same("OpenTimelineIO, typed digits", what, ours, theirs)


def typed(base: Timebase, digits: tuple[int, int, int, int]) -> str:
    hours, minutes, seconds, frames = digits
    before, width = ";" if base.drop else ":", len(str(base.per_second - 1))
    return f"{hours:02}:{minutes:02}:{seconds:02}{before}{frames:0{width}}"


def random_digits(rng: random.Random) -> tuple[int, int, int, int]:
    """Mostly near the edges, where digits begin and cease to exist."""
    return (
        rng.choice((rng.randrange(24), rng.randrange(24), rng.randrange(22, 27))),
        rng.choice((rng.randrange(60), rng.randrange(60), rng.randrange(57, 63))),
        rng.choice((0, rng.randrange(60), rng.randrange(60), rng.randrange(57, 63))),
        rng.choice((rng.randrange(4), rng.randrange(24), rng.randrange(22, 32))),
    )


# ---------------------------------------------------------------------------------------------
# The worksheet


def check_worksheet(tally: Tally, libraries: Libraries, rng: random.Random) -> None:
    asked = [random_line(libraries, rng.choice(BASES), rng) for _ in range(LINES)]
    sheets = list(batches(asked, SHEET))
    questions = ({"text": "\\n".join(text for _, text, _ in lines)} for lines in sheets)
    for lines, answer in zip(sheets, ask("worksheet", questions)):
        for (oracle, text, theirs), ours in zip(lines, answer, strict=True):
            tally.same(f"{oracle}, worksheet", text, ours, theirs)


def random_line(
    libraries: Libraries, base: Timebase, rng: random.Random
) -> tuple[str, str, str]:
    """Who is asked, a line, and what it comes to."""
    frame, other = random_frame(base, rng), random_frame(base, rng)
    address = libraries.address(base, frame)
    match rng.randrange(4):
        case 0:
            line = f"{address} + {other} frames"
            oracle, theirs = "libavutil", libraries.address(base, frame + other)
            if base in libraries.known_to_gstreamer:
                oracle, theirs = "GStreamer", libraries.added(base, frame, other)
        case 1:
            line = f"{address} − {other} frames"
            oracle, theirs = "libavutil", libraries.address(base, frame - other)
            if base in libraries.known_to_gstreamer and other <= frame:
                oracle, theirs = "GStreamer", libraries.added(base, frame, -other)
        case 2:
            early, late = sorted((frame, other))
            ends = libraries.address(base, early), libraries.address(base, late)
            line = f"from {ends[0]} to {ends[1]} in frames"
            oracle, theirs = "libavutil", shown_frames(late - early)
            if base in libraries.known_to_otio:
                apart = otio_frames(ends[1], base) - otio_frames(ends[0], base)
                oracle, theirs = "OpenTimelineIO", shown_frames(apart)
        case _:
            onto = rng.choice(BASES)
            line = f"{address} as {written(onto)}"
            nearest = libraries.rescaled(frame, rate_of(base), rate_of(onto))
            oracle, theirs = "libavutil", libraries.address(onto, nearest)
    return oracle, f"at {written(base)}: {line}", theirs


def otio_frames(address: str, base: Timebase) -> int:
    return round(from_timecode(address, otio_rate(base)).value)


def shown_frames(frames: int) -> str:
    return "1 frame" if frames == 1 else f"{frames} frames"


# ---------------------------------------------------------------------------------------------
# A list to add up


def check_lists(tally: Tally, libraries: Libraries, rng: random.Random) -> None:
    bases = sorted(libraries.known_to_otio)
    asked = [random_list(libraries, rng.choice(bases), rng) for _ in range(LISTS)]
    questions = (
        {"text": "\\n".join(f"{a}\\t{b}" for a, b in rows), "outs": "exclusive", **timebase(base)}
        for base, rows in asked
    )
    for (base, rows), answer in zip(asked, ask("rows", questions)):
        total = RationalTime(0, otio_rate(base))
        for start, end in rows:
            rate = otio_rate(base)
            total += from_timecode(end, rate) - from_timecode(start, rate)
        what = f"{base}, {len(rows)} rows from {rows[0][0]}"
        ours = (answer["Total"]["Frames"], answer["Rows"]["Rows added"])
        tally.same("OpenTimelineIO, lists", what, ours, (str(round(total.value)), str(len(rows))))


def random_list(
    libraries: Libraries, base: Timebase, rng: random.Random
) -> tuple[Timebase, list[tuple[str, str]]]:
    pairs = (
        sorted(random_frame(base, rng) for _ in range(2)) for _ in range(rng.randrange(1, 80))
    )
    return base, [(libraries.address(base, a), libraries.address(base, b)) for a, b in pairs if a < b]


# ---------------------------------------------------------------------------------------------
# Where each of them errs, and what is right


def check_pins(tally: Tally, libraries: Libraries) -> None:
    pin_addresses_that_do_not_exist(tally, libraries)
    pin_early_wrap(tally, libraries)
    pin_before_midnight(tally, libraries)
    pin_rates(tally, libraries)


def pin_addresses_that_do_not_exist(tally: Tally, libraries: Libraries) -> None:
    """Digits that name no frame (IEC 60461 clause 4.2.3, table 2): both take most of them."""
    drop = next(b for b in BASES if b.drop and b.rate == "29.97")
    fps25 = next(b for b in BASES if b.rate == "25")
    for base, text, otio, avutil in (
        (drop, "00:01:00;00", 1798, 1798),
        (fps25, "24:00:00:00", 2_160_000, 2_160_000),
        (fps25, "00:00:60:00", 1500, 1500),
        (fps25, "00:00:00:25", "raises", 25),
        (fps25, "01:00:00;00", "raises", "refuses"),
    ):
        theirs = (otio_or_raises(text, base), avutil_frame(libraries, text, base))
        tally.same("pinned, OpenTimelineIO and libavutil", text, (otio, avutil), theirs)
        answer = next(ask("address", [{"text": text, **timebase(base)}], values=False))
        ours = (answer["tables"], [problem["field"] for problem in answer["problems"]])
        tally.same("pinned, ours", text, ours, ([], ["text"]))


def otio_or_raises(text: str, base: Timebase) -> int | str:
    try:
        return round(from_timecode(text, otio_rate(base)).value)
    except ValueError:
        return "raises"


def avutil_frame(libraries: Libraries, text: str, base: Timebase) -> int | str:
    timecode = AvTimecode()
    from_string = libraries.avutil.library.av_timecode_init_from_string
    from_string.argtypes = [c.POINTER(AvTimecode), Rational, c.c_char_p, c.c_void_p]
    rate = Rational(base.numerator, base.denominator)
    status = from_string(c.byref(timecode), rate, text.encode(), None)
    return timecode.start if status == 0 else "refuses"


def pin_early_wrap(tally: Tally, libraries: Libraries) -> None:
    """OpenTimelineIO begins the non-drop-frame day anew after 24 times the whole frames of an hour
    of real time. By SMPTE ST 12-1 the day of addresses ends after the last frame of 23:59:59."""
    for base in (b for b in BASES if b.rate in EARLY and not b.drop):
        frame = EARLY[base.rate]
        theirs = [libraries.otio_address(base, n) for n in (frame - 1, frame)]
        last = libraries.address(base, frame - 1)
        tally.same("pinned, OpenTimelineIO", f"{base}, {frame}", [last, "00:00:00:00"], theirs)
        question = {"kind": "frame-count", "text": str(frame), **timebase(base)}
        ours = next(ask("address", [question]))["This moment"]["Time address"]
        tally.same("pinned, ours", str(base), ours, libraries.address(base, frame))


def pin_before_midnight(tally: Tally, libraries: Libraries) -> None:
    """GStreamer takes the frame number below midnight modulo 2^64 before it takes it modulo the
    day: one frame before 00:00:00:00 becomes 01:14:24:15."""
    base = next(b for b in BASES if b.rate == "25")
    tally.same("pinned, GStreamer", "-1", "01:14:24:15", libraries.added(base, 0, -1))
    ours = next(ask("worksheet", [{"text": "00:00:00:00 − 1 frame", **timebase(base)}]))
    # SMPTE ST 12-1: the day's last second is 23:59:59.
    tally.same("pinned, ours", "-1", ours, ["23:59:59:24"])


def pin_rates(tally: Tally, libraries: Libraries) -> None:
    """Rates that one of them does not know: SMPTE ST 12-1 has 47.952, ST 12-3 those above 60."""
    for base in BASES:
        try:
            libraries.otio_address(base, 0)
            known = True
        except ValueError:
            known = False
        # Drop-frame at a whole rate is common practice, and in no standard.
        expected = base.per_second <= 60 and base.is_standard
        tally.same("pinned, OpenTimelineIO's rates", str(base), expected, known)
    unknown = {str(b) for b in BASES if b not in libraries.known_to_gstreamer}
    expected = {str(b) for b in BASES if not b.is_standard or b.rate in ("47.952", "119.88")}
    tally.same("pinned, GStreamer's rates", "all", expected, unknown)


# ---------------------------------------------------------------------------------------------


LEAST = {"libavutil": 1_000_000, "GStreamer": 150_000, "OpenTimelineIO": 1_000_000}


def main() -> int:
    command = ["cargo", "build", "--release", "-q", "-p", "plumbline-sums", "--example", "sums"]
    subprocess.run(command, cwd=ROOT, check=True)
    tally, rng, libraries = Tally(), random.Random(12_1), Libraries()
    check_moments(tally, libraries, rng)
    check_typed(tally, libraries, rng)
    check_worksheet(tally, libraries, rng)
    check_lists(tally, libraries, rng)
    check_pins(tally, libraries)
    for oracle in sorted(tally.passed | tally.failed):
        print(f"{oracle}: {tally.passed[oracle]} agree, {tally.failed[oracle]} do not")
    for library in ("libavutil", "GStreamer", "OpenTimelineIO"):
        asked = sum(count for name, count in tally.passed.items() if name.startswith(library))
        print(f"{library}: {asked} in all")
        if asked < LEAST[library]:
            tally.failed[library] += 1
            print(f"FAIL {library}: {LEAST[library]} were to be asked")
    passed, failed = tally.passed.total(), tally.failed.total()
    print(f"{passed} passed, {failed} failed")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
